"""Every input that is offered is read by a rule, so that nobody is asked for what changes nothing."""

from service.evaluation.planning.dependence import Dependence
from service.rulebook.names import identifier
from tests.support.rules import real_rulebook

# Told so that a number without a scale is asked about, never guessed.
READ_AT_THE_COUNTER = {"fuel.octane"}


def read_by_rules(rulebook) -> set[str]:
    """Inputs behind a check or a scope rule, and those that a quantity names in a formula or a guard."""
    dependence = Dependence(rulebook)
    used = set().union(*(dependence.of(check) for check in rulebook.checks))
    used |= {path for rule in rulebook.scope.values() for path in rule.inputs}
    words = {
        identifier(word): field.path for field in rulebook.inputs.values() for word in field.words.values()
    }
    for node in rulebook.graph.nodes.values():
        for route in node.routes:
            used |= {words[name] for name in route.names if name in words} | set(route.when)
    return used


def test_every_input_is_used():
    rulebook = real_rulebook()
    assert set(rulebook.inputs) - read_by_rules(rulebook) <= READ_AT_THE_COUNTER
