"""Every number of the rules names a source that there is."""

from service.rulebook.check import Check
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import suggest
from service.rulebook.files.yaml_file import Entries
from service.rulebook.model import Quantity

USUAL_SOURCES = "`common-practice`, `from-memory` or `house-choice`"


def verify_sources(draft: Draft, problems: Problems) -> None:
    """Constants, tables, assumptions, quantities, points and checks."""
    _Verifier(draft, problems).verify()


class _Verifier:
    """Looks up the sources that the entries of a draft name."""

    def __init__(self, draft: Draft, problems: Problems):
        self.draft = draft
        self.problems = problems

    def need(self, source: str, who: str, file: str, *path: str | int) -> None:
        """The source, or the complaint at the place that names it."""
        if source not in self.draft.sources:
            near = suggest(source, self.draft.sources).strip()
            fix = near or f"Add it there, or use one of the usual three: {USUAL_SOURCES}."
            line = self.draft.line(file, *path)
            self.problems.add(
                file, line, f"`{who}` names the source `{source}`, which is not in sources.yaml.", fix
            )

    def verify(self) -> None:
        draft, need = self.draft, self.need
        for spec in draft.inputs.values():
            if spec.usual_source:
                need(spec.usual_source, spec.path, "inputs.yaml", spec.path, "usual_source")
        for constant in draft.constants.values():
            file = draft.home[f"constants/{constant.name}"]
            need(constant.source, constant.name, file, constant.name, "source")
        for table in draft.tables.values():
            for row in table.rows.values():
                file = f"tables/{table.name}.yaml"
                need(row.source, f"{table.name}.{row.key}", file, "rows", row.key, "source")
        for assumption in draft.assumptions.values():
            file = draft.home[f"assumptions/{assumption.name}"]
            for number, assumed in enumerate(assumption.rows):
                need(assumed.source, assumption.name, file, assumption.name, "rows", number)
        for word in draft.words.values():
            need(word.source, word.name, word.file, "words", word.name, "source")
        for quantity in draft.quantities.values():
            self._quantity(quantity)
        for point in draft.points.values():
            for name, routes in point.words.items():
                for number, route in enumerate(routes):
                    who = f"{point.name}.{name}"
                    need(route.source, who, "operating_points.yaml", point.name, name, number, "source")
        for check in draft.checks.values():
            self._check(check)

    def _quantity(self, quantity: Quantity) -> None:
        # The results of a function step have no entry of their own: the step names their source.
        entries = self.draft.raw[quantity.file]
        step = next(
            (
                name
                for name, node in entries.items()
                if isinstance(node, Entries) and _gives(node, quantity.name)
            ),
            quantity.name,
        )
        self.need(quantity.source, quantity.name, quantity.file, step, "source")
        for number, route in enumerate(quantity.routes):
            if route.source != quantity.source:
                self.need(
                    route.source, quantity.name, quantity.file, quantity.name, "routes", number, "source"
                )
        for literal, source in _mapping(entries, step, "numbers").items():
            self.need(
                str(source), f"{quantity.name}: {literal}", quantity.file, step, "numbers", str(literal)
            )

    def _check(self, check: Check) -> None:
        need = self.need
        for level, bounds in check.limits.items():
            for bound in bounds:
                need(bound.source, check.id, check.file, "limits", level, "source")
        if check.requires:
            need(check.requires.source, check.id, check.file, "source")
        for literal, source in _mapping(self.draft.raw, check.file, "numbers").items():
            need(str(source), f"{check.id}: {literal}", check.file, "numbers", str(literal))
        for number, example in enumerate(check.examples):
            need(example.source, f"{check.id}.examples", check.file, "examples", number, "source")
        for contradiction in check.contradictions:
            path = ("contradictions", contradiction.id, "source")
            need(contradiction.source, contradiction.id, check.file, *path)


def _gives(node: Entries, name: str) -> bool:
    return name in _mapping({"entry": node}, "entry", "gives")


def _mapping(nodes: object, *path: str) -> dict[object, object]:
    """The mapping at a place of the raw files, empty where there is none."""
    for step in path:
        nodes = nodes.get(step, {}) if isinstance(nodes, dict) else {}
    return nodes if isinstance(nodes, dict) else {}
