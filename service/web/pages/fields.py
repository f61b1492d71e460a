"""The fields of a form, made of the rulebook's inputs: a foreman's new input is here by itself."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from service.errors import SpecFault
from service.rulebook.input import Input
from service.rulebook.rulebook import Rulebook
from service.units.signs import SIGNS, sign
from service.units.units import DIMENSIONS
from service.web.pages.asked import Asked
from service.web.pages.build import PARTS, text_of
from service.web.pages.examples import example_in_rules
from service.web.pages.point_lines import example_of

# What a clerk asks of nearly every job; the order is that of a conversation.
USUAL = (
    "usage",
    "engine.cylinders",
    "engine.displacement",
    "induction.kind",
    "induction.boost",
    "fuel.grade",
    "fuel_system.injector_flow",
    "target.power",
)
# So many are named; a form is no list of all there are.
MOST_UNITS = 4


class Option(NamedTuple):
    """A word that a request may have, and how it reads."""

    word: str
    text: str


@dataclass(frozen=True)
class Field:
    """One line of a form."""

    path: str
    label: str
    ask: str
    kind: str
    hint: str
    options: tuple[Option, ...]
    free: bool
    """Whether something else than the options may be written: "93 AKI" for a fuel."""
    value: str = ""
    fault: SpecFault | None = None

    @property
    def said(self) -> str:
        """The value in the words of the rulebook."""
        return self.said_of(self.value)

    @property
    def meant(self) -> tuple[str, ...]:
        """What a faulty value may have meant, as a build takes it."""
        if self.fault is None:
            return ()
        return self.fault.options or ((self.fault.suggestion,) if self.fault.suggestion else ())

    def said_of(self, word: str) -> str:
        """A word of a choice as it reads; everything else as it is."""
        return next((option.text for option in self.options if option.word == word), word)


class Group(NamedTuple):
    """Fields of one part of a build."""

    name: str
    label: str
    fields: list[Field]

    @property
    def given(self) -> int:
        """How many are filled in."""
        return sum(bool(field.value) for field in self.fields)

    @property
    def faulty(self) -> bool:
        return any(field.fault for field in self.fields)


class Form:
    """Every field for one build, with the faults that the API found in it."""

    def __init__(self, asked: Asked, faults: Sequence[SpecFault] = ()):
        self.asked = asked
        self.faults = {_path_of(fault.pointer): fault for fault in reversed(faults)}
        paths = {*asked.rulebook.inputs, *(f"{PARTS}.{slot}" for slot in asked.rulebook.slots)}
        self.unplaced = [fault for fault in faults if _path_of(fault.pointer) not in paths]
        """Faults that belong to no field, such as a name that the rulebook does not have."""

    def field(self, path: str) -> Field:
        """One field; KeyError where the rulebook has none of that name."""
        if path.startswith(f"{PARTS}."):
            return self._part(path)
        source = self.asked.rulebook.inputs[path]
        return Field(
            path,
            source.label,
            source.ask,
            source.kind,
            hint_of(self.asked.rulebook, source),
            options_of(self.asked.rulebook, source),
            bool(source.or_number),
            text_of(source, self.asked.build.get(path, "")),
            self.faults.get(path),
        )

    def has(self, path: str) -> bool:
        """Whether there is such a field."""
        return path in self.asked.rulebook.inputs

    def fields(self, paths: Iterable[str]) -> list[Field]:
        """Those of them that the rulebook has."""
        return [self.field(path) for path in paths if path in self.asked.rulebook.inputs]

    @property
    def usual(self) -> list[Field]:
        """The fields that are always shown."""
        return self.fields(USUAL)

    @property
    def given(self) -> list[Field]:
        """What the build says beside the usual."""
        inputs = self.asked.rulebook.inputs
        paths = [path for path in inputs if path in self.asked.build and path not in USUAL]
        parts = [path for path in self.asked.build if path.startswith(f"{PARTS}.")]
        return [self.field(path) for path in parts + paths]

    @property
    def groups(self) -> list[Group]:
        """All that is not usual, by group, in the order of the rulebook."""
        groups: dict[str, Group] = {}
        for path, source in self.asked.rulebook.inputs.items():
            if path not in USUAL:
                label = source.group.replace("_", " ").capitalize() or "The job"
                groups.setdefault(source.group, Group(source.group, label, [])).fields.append(
                    self.field(path)
                )
        return list(groups.values()) + self._parts()

    def _parts(self) -> list[Group]:
        if self.asked.state.catalog is None:
            return []
        slots = [slot for slot in self.asked.rulebook.slots if slot in self.asked.state.catalog.slots]
        return [Group(PARTS, "Parts by number", [self._part(f"{PARTS}.{slot}") for slot in slots])]

    def _part(self, path: str) -> Field:
        slot = self.asked.rulebook.slots.get(path.removeprefix(f"{PARTS}."))
        label = slot.label if slot else path
        value = str(self.asked.build.get(path, ""))
        ask = f"Which {slot.short.removeprefix('a ').removeprefix('an ')}?" if slot else ""
        return Field(path, label, ask, "part", "part number", (), True, value, self.faults.get(path))


def hint_of(rulebook: Rulebook, source: Input) -> str:
    """How people write it: an example, and the units; the words of a choice are its options."""
    if source.kind in ("curve", "map"):
        return f"a point a line: {example_of(source)}"
    if source.or_number:
        numbers = (rulebook.inputs[path].label.lower() for path in source.or_number)
        return f"pick one, or write the {' or '.join(numbers)}"
    if source.kind not in ("number", "count"):
        return ""
    example = example_in_rules(rulebook, source.path)
    offered = [unit for dimension in source.words for unit in DIMENSIONS[dimension].offered]
    units = ", ".join(
        [sign(unit).strip() for unit in dict.fromkeys(offered) if unit not in ("", "%")][:MOST_UNITS]
    )
    return "; ".join(
        filter(
            None, [f"such as {signed_text(example)}" if example else "", f"takes {units}" if units else ""]
        )
    )


def signed_text(text: str) -> str:
    """`25 degC` as people write it."""
    number, _, unit = text.rpartition(" ")
    return f"{number}{sign(unit)}" if unit in SIGNS else text


def options_of(rulebook: Rulebook, source: Input) -> tuple[Option, ...]:
    """What a choice may be."""
    if source.kind not in ("choice", "flag"):
        return ()
    if source.kind == "flag":
        return (Option("yes", "yes"), Option("no", "no"))
    return tuple(Option(word, rulebook.phrase(source.path, word)) for word in rulebook.words_of(source))


def _path_of(pointer: str) -> str:
    """`/build/engine/bore` as `engine.bore`; faults deep in a curve belong to the curve."""
    parts = pointer.removeprefix("/build").strip("/").replace("~1", "/").replace("~0", "~").split("/")
    return ".".join(parts[:2]) if len(parts) > 1 and not parts[1].isdigit() else parts[0]
