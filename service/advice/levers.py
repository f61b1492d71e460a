"""What a customer could set or buy instead: the levers of the checks, each on the ladder of what exists."""

from typing import NamedTuple

from service.advice.ladder import Ladder, ladder_of_sizes
from service.evaluation.known import Known
from service.json_object import JsonObject
from service.rulebook.check import Check
from service.rulebook.input import EFFORTS, Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook

# Nobody can buy or set what follows from other things.
RESULT = "result"
GOAL = "goal"


class Lever(NamedTuple):
    """An input that may help, and the way to move it."""

    ladder: Ladder
    way: str

    @property
    def path(self) -> str:
        return self.ladder.input.path

    @property
    def key(self) -> tuple[str, str]:
        """What tells levers of one build apart."""
        return self.path, self.way

    @property
    def effort(self) -> int:
        """What it takes to move it, the least first."""
        return EFFORTS.index(self.ladder.input.effort)


class Move(NamedTuple):
    """A lever moved to a rung."""

    lever: Lever
    rung: int

    @property
    def ladder(self) -> Ladder:
        return self.lever.ladder

    @property
    def value(self) -> float:
        return self.ladder.value(self.rung)

    @property
    def change(self) -> JsonObject:
        """The piece of a build that makes it."""
        return self.ladder.change(self.rung)

    @property
    def text(self) -> str:
        """'Injector flow: 60 lb/h or more instead of 42 lb/h'."""
        beyond = "more" if self.lever.way == "up" else "less"
        text = f"{self.ladder.input.label}: {self.ladder.text(self.rung)} or {beyond}"
        return text + self._instead()

    @property
    def phrase(self) -> str:
        """'60 lb/h injectors'."""
        return self.ladder.input.remedy.replace("{value}", self.ladder.text(self.rung))

    @property
    def sentence(self) -> str:
        """'60 lb/h injectors instead of 42 lb/h.'"""
        phrase = self.phrase + self._instead()
        return f"{phrase[:1].upper()}{phrase[1:]}."

    def can_go_on(self, lever: Lever) -> bool:
        """Whether a lever is this one, and has room left."""
        return lever.way == self.lever.way and self.rung != self.ladder.rungs(lever.way)[1]

    def _instead(self) -> str:
        now = self.ladder.text_now()
        return "" if now is None else f" instead of {now}"


Moves = tuple[Move, ...]


def values_of(moves: Moves) -> dict[str, float]:
    """What moves put into a build, by name in SI."""
    return {move.ladder.name: move.value for move in moves}


def change_of(moves: Moves) -> JsonObject:
    """What moves put into a build, as a client writes it."""
    change: JsonObject = {}
    for move in moves:
        for key, fields in move.change.items():
            change[key] = {**change.get(key, {}), **fields} if isinstance(fields, dict) else fields
    return change


def put_into(build: JsonObject, change: JsonObject) -> JsonObject:
    """A build with a piece of one put in; names with dots give way to it."""
    changed = dict(build)
    for group, fields in change.items():
        if not isinstance(fields, dict):
            changed[group] = fields
            continue
        for name in fields:
            changed.pop(f"{group}.{name}", None)
        changed[group] = {**changed.get(group, {}), **fields}
    return changed


def _can_move(ladder: Ladder, way: str) -> bool:
    """A goal that nobody named cannot be given up."""
    return ladder.has_room(way) and (ladder.input.effort != GOAL or ladder.now is not None)


class Levers:
    """The levers of one build, each ladder made once."""

    def __init__(self, rulebook: Rulebook, known: Known, system: str):
        self.rulebook = rulebook
        self.known = known
        self.system = system
        self._ladders: dict[str, Ladder | None] = {}
        self._order = {path: position for position, path in enumerate(rulebook.inputs)}

    def of(self, check: Check) -> list[Lever]:
        """Those of a check that have room in their direction, in the order in which it names them."""
        ladders = ((self._ladder(path), way) for path, way in check.levers.items())
        return [Lever(ladder, way) for ladder, way in ladders if ladder and _can_move(ladder, way)]

    def place(self, lever: Lever) -> int:
        """Where the input of a lever stands among all."""
        return self._order[lever.path]

    def _ladder(self, path: str) -> Ladder | None:
        if path not in self._ladders:
            field = self.rulebook.inputs[path]
            offered = field.effort != RESULT and self._says_it(field)
            ladder = ladder_of_sizes(self.rulebook, path, self.known, self.system) if offered else None
            self._ladders[path] = ladder
        return self._ladders[path]

    def _says_it(self, field: Input) -> bool:
        """Of several inputs that say one thing, RON and AKI, the one to say it in: that given, else that sold
        under this system of units.
        """
        inputs = self.rulebook.inputs.values()
        meant = (tuple(dict.fromkeys(other.could_mean.values())) for other in inputs)
        same = next((paths for paths in meant if field.path in paths), (field.path,))
        if given := [path for path in same if identifier(path) in self.known.numbers]:
            return field.path in given
        sold = [path for path in same if self._is_sold(self.rulebook.inputs[path])]
        return not sold or field.path in sold

    def _is_sold(self, field: Input) -> bool:
        return any(sizes.system in (None, self.system) for sizes in field.sizes)
