"""What is ordered for a build: a kind of part, what it may speak for, and what decides its size."""

from dataclasses import dataclass, field

WAYS = ("at_least", "at_most")


@dataclass(frozen=True)
class Slot:
    """A place in a build that a part can fill; `sizes`: by input, whether it needs at least or at most."""

    name: str
    label: str
    short: str
    groups: tuple[str, ...]
    sizes: dict[str, str] = field(default_factory=dict)
