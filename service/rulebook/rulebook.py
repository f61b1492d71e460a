"""The loaded rulebook: everything the rule files say, verified and compiled."""

from dataclasses import dataclass, field

from service.kept import Kept
from service.rulebook.check import Check, Figure, Moment, ScopeRule
from service.rulebook.formulas.compilers import FormulaCompiler
from service.rulebook.formulas.graph import Graph
from service.rulebook.input import UNKNOWN, Input
from service.rulebook.model import Assumption, Caution, Constant, OperatingPoint, Quantity, Source, Table
from service.rulebook.names import at_point, identifier
from service.rulebook.slot import Slot


@dataclass(frozen=True)
class Rulebook:
    """Immutable: one rulebook per process."""

    version: str
    digest: str
    inputs: dict[str, Input]
    sources: dict[str, Source]
    cautions: dict[str, Caution]
    moments: dict[str, Moment]
    display: dict[str, dict[str, str]]
    wording: dict[str, dict[str, str]]
    """By system of units: words of the rules, and what is said in their place."""
    constants: dict[str, Constant]
    tables: dict[str, Table]
    assumptions: dict[str, Assumption]
    quantities: dict[str, Quantity]
    point_words: dict[str, Quantity]
    points: dict[str, OperatingPoint]
    checks: dict[str, Check]
    scope: dict[str, ScopeRule]
    figures: dict[str, Figure]
    slots: dict[str, Slot]
    choices: dict[str, tuple[str, ...]]
    graph: Graph
    compiler: FormulaCompiler
    # Not of a rulebook that `replace` makes of another.
    kept: Kept = field(default_factory=Kept, init=False, repr=False, compare=False)

    def identify(self, name: str, point: str | None) -> str:
        """The identifier of a rule name: at the operating point where it depends on one."""
        quantity = self.quantities.get(name)
        return at_point(name, point) if quantity and quantity.at_points and point else identifier(name)

    def phrase(self, choice: str, word: str) -> str:
        """How a choice reads in a sentence."""
        if choice in self.inputs:
            spec = self.inputs[choice]
            if word == UNKNOWN:
                return spec.unknown
            if spec.choices_from:
                return self.tables[spec.choices_from].rows[word].label
            return spec.choices[word]
        return word.replace("_", " ")

    def words_of(self, spec: Input) -> tuple[str, ...]:
        """The words a choice input may have."""
        return self.choices[spec.path]
