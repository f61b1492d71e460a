"""What a rule file may set a number against: every quantity, input and constant by its identifier."""

from typing import NamedTuple

from service.rulebook.files.section import Section, instead
from service.rulebook.files.yaml_file import Text
from service.rulebook.names import identifier, shown


class Measured(NamedTuple):
    """What a limit has to know of a name: its dimension, and whether people read it in percent."""

    dimension: str
    in_percent: bool = False


Numbers = dict[str, Measured]
"""Identifier of a quantity, an input or a constant -> what it is."""


def measured(section: Section, name: str, numbers: Numbers, verb: str, line: int) -> Measured:
    """What a name is, or the complaint that there is none."""
    if identifier(name) not in numbers:
        section.fail(
            f"{verb} `{name}`, which is no quantity.",
            instead(name, [shown(known) for known in numbers], "Add it to a file in quantities/."),
            line,
        )
    return numbers[identifier(name)]


def limit_number(section: Section, node: object, judged: Measured, key: str) -> float:
    """A limit in SI; where people read percent, the sign is needed: 92 is 9,200 %."""
    if judged.in_percent and isinstance(node, Text) and not node.endswith("%"):
        try:
            share = 100 * float(node)
        except ValueError:
            share = None
        if share is not None:
            section.fail(
                f"has `{node}` under `{key}`, which is {share:,.6g} %.",
                f"Did you mean `{node} %`? What is judged is read in percent; write the sign.",
                node.line,
            )
    return section.si(node, judged.dimension, key)
