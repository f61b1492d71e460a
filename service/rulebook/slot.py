"""What is ordered for a build: a kind of part, what it may speak for, and what decides its size."""

from dataclasses import dataclass, field

from service.rulebook.model import Guard

WAYS = ("at_least", "at_most")


@dataclass(frozen=True)
class Slot:
    """A place in a build that a part can fill; `sizes`: by input, whether it needs at least or at most."""

    name: str
    label: str
    short: str
    groups: tuple[str, ...]
    when: Guard = field(default_factory=dict)
    """The choices under which a build has such a part."""
    sizes: dict[str, str] = field(default_factory=dict)
    as_delivered: bool = False
    """Whether a part of it is what the car came with, and gives way to anything bought later."""
