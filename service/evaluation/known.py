"""What a client said about one build, read into SI."""

from dataclasses import dataclass, field, replace

from service.rulebook.names import identifier

# A curve is two columns, a map several lists of points; only the functions of a formula look into them.
Curve = tuple[tuple[float, ...], ...] | dict[str, tuple[tuple[float, ...], ...]]
PlanKey = tuple[frozenset[str], frozenset[tuple[str, str]], frozenset[str], frozenset[str], tuple[str, ...]]


@dataclass(slots=True)
class Known:
    """Numbers by identifier in SI, choices by path, curves by identifier, and what was read other than as
    written.

    `set_aside`: contradictions for which something that was said is not believed.
    """

    numbers: dict[str, float] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    curves: dict[str, Curve] = field(default_factory=dict)
    tolerances: dict[str, tuple[float, float]] = field(default_factory=dict)
    understood: list[tuple[str, str]] = field(default_factory=list)
    set_aside: tuple[str, ...] = ()

    def key(self) -> PlanKey:
        """What a plan depends on: which names are known and which choices were made, never the values."""
        return (
            frozenset(self.numbers),
            frozenset(self.choices.items()),
            frozenset(self.curves),
            frozenset(self.tolerances),
            self.set_aside,
        )

    def with_numbers(self, numbers: dict[str, float]) -> "Known":
        """The same build with some numbers put in; a tolerance on a number that is replaced goes with it."""
        tolerances = {name: ends for name, ends in self.tolerances.items() if name not in numbers}
        return replace(self, numbers={**self.numbers, **numbers}, tolerances=tolerances)

    def with_choice(self, path: str, word: str) -> "Known":
        """The same build with one choice made."""
        return replace(self, choices={**self.choices, path: word})

    def without(self, path: str, contradiction: str) -> "Known":
        """The same build with one thing that was said not believed."""
        name = identifier(path)
        return replace(
            self,
            numbers={key: value for key, value in self.numbers.items() if key != name},
            choices={key: word for key, word in self.choices.items() if key != path},
            set_aside=(*self.set_aside, contradiction),
        )
