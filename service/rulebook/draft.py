"""A rulebook whose parts have not been held against each other yet, and the problems found while that is done."""

from dataclasses import dataclass

from service.errors import Problem, RulebookError
from service.rulebook.files.yaml_file import Entries, Items
from service.rulebook.model import Assumption, Check, Moment, OperatingPoint, Quantity
from service.rulebook.names import identifier
from service.rulebook.verify.dimensions import Kind, kind_of


@dataclass
class Parts:
    """Everything the rule files say; `raw` holds the files as read, for the lines of problems."""

    inputs: dict
    sources: dict
    cautions: dict
    display: dict
    constants: dict
    tables: dict
    assumptions: dict[str, Assumption]
    quantities: dict[str, Quantity]
    words: dict[str, Quantity]
    points: dict[str, OperatingPoint]
    checks: dict[str, Check]
    choices: dict
    raw: dict[str, Entries]
    home: dict[str, str]
    moments: dict[str, Moment]

    def line(self, file: str, *path: str | int) -> int:
        """The line of a place in a file, by keys and positions; of the last step that is there."""
        node: object = self.raw[file]
        line = 1
        for step in path:
            if isinstance(node, Entries) and step in node:
                line, node = node.line_of(step), node[step]
            elif isinstance(node, Items) and isinstance(step, int):
                node = node[step]
                line = getattr(node, "line", line)
            else:
                break
        return line

    def leaves(self) -> list[str]:
        """Identifiers of everything that comes from outside, and the constants."""
        return list(self.kinds())

    def kinds(self) -> dict[str, Kind]:
        """What each leaf is."""
        kinds: dict[str, Kind] = {}
        for one in self.inputs.values():
            for dimension, word in one.words.items():
                kinds[identifier(word)] = kind_of(
                    dimension, one.reading if dimension in ("pressure", "temperature") else None
                )
            if one.kind == "curve":
                x, y = one.axes
                kinds[identifier(one.path)] = Kind(
                    (), None, (kind_of(x.dimension, x.reading), kind_of(y.dimension, y.reading)), "curve"
                )
            if one.kind == "map":
                kinds[identifier(one.path)] = Kind((), None, None, "map")
        for constant in self.constants.values():
            kinds[constant.name] = kind_of(constant.dimension, constant.reading)
        for table in self.tables.values():
            for column in table.columns.values():
                if column.dimension:
                    kinds[identifier(f"{table.name}.{column.name}")] = kind_of(
                        column.dimension, column.reading
                    )
        for one in self.assumptions.values():
            for end in ("assumed", "lowest", "highest"):
                kinds[identifier(f"{end}.{one.name}")] = kind_of(one.dimension, one.reading)
        return kinds


class Problems:
    """Collects what is wrong; raised together."""

    def __init__(self):
        self.found: list[Problem] = []

    def add(self, file: str, line: int, message: str, mend: str) -> None:
        self.found.append(Problem(file, line, message, mend))

    def raise_if_any(self) -> None:
        if self.found:
            raise RulebookError(self.found)
