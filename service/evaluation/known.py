"""What a client said about one build, read into SI."""

from dataclasses import dataclass, field


@dataclass(slots=True)
class Known:
    """Numbers by identifier in SI, choices by path, curves by identifier, and what was read other than as written."""

    numbers: dict[str, float] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    curves: dict[str, object] = field(default_factory=dict)
    tolerances: dict[str, tuple[float, float]] = field(default_factory=dict)
    understood: list[tuple[str, str]] = field(default_factory=list)

    def key(self) -> tuple:
        """What a plan hangs on: which names are known and which choices were made, never the values."""
        return (
            frozenset(self.numbers),
            frozenset(self.choices.items()),
            frozenset(self.curves),
            frozenset(self.tolerances),
        )
