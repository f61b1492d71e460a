"""What is certainly known when something is judged: whatever every way to it needs."""

from service.rulebook.formulas.graph import Graph, Node, RouteNode


class Certain:
    """The names that are known whenever a name is known: itself, what all its routes share, and what follows
    from those.
    """

    def __init__(self, graph: Graph, facts: set[str]):
        self.graph = graph
        self.facts = facts
        self._sure: dict[str, set[str]] = {}

    def of(self, name: str) -> set[str]:
        """The names that are known whenever this one is."""
        if name not in self._sure:
            node = self.graph.nodes.get(name)
            routes = [self.all_of(route.names) for route in node.routes] if node else []
            shared = set.intersection(*routes) if routes else set()
            self._sure[name] = {name} | shared | (self._siblings(node) if node else set())
        return self._sure[name]

    def all_of(self, names: tuple[str, ...] | list[str]) -> set[str]:
        """The names that are known whenever all of these are."""
        return {certain for name in names for certain in self.of(name)}

    def _siblings(self, node: Node) -> set[str]:
        """One call fills all results of a function step."""
        function = node.quantity.function
        if function is None:
            return set()
        return {
            other.id
            for other in self.graph.nodes.values()
            if other.quantity.function is function and other.point == node.point
        }

    def follows(self, name: str, sure: set[str]) -> bool:
        """Whether a name is known once the sure ones are: by a route without guards that reads sure names and
        facts only.
        """
        if name in sure or name in self.facts:
            return True
        node = self.graph.nodes.get(name)
        return node is not None and any(
            _unguarded(route) and all(self.follows(used, sure) for used in route.names)
            for route in node.routes
        )


def _unguarded(node: RouteNode) -> bool:
    route = node.route
    return not (route.when or route.given or route.without or route.valid)
