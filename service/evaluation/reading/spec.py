"""The client's build spec read into SI: all faults of a request at once, and nothing it wrote is repeated but
in our own words.
"""

from collections.abc import Iterable

from service.errors import SpecError, SpecFault
from service.evaluation.known import Known
from service.evaluation.reading.curves import curve_reader, map_reader
from service.evaluation.reading.fields import choice_reader, count_reader
from service.evaluation.reading.numbers import NumberField, number_reader
from service.evaluation.reading.spec_in_hand import MAX_FAULTS, Reader, SpecInHand
from service.json_object import JsonObject
from service.rulebook.input import Input
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.units.fault import Fault

# Longer keys are cut before a word like them is looked for.
LONGEST_KEY = 64
_GIVEN_TWICE = Fault("contradiction", "This is given inside its group as well.", "one of the two")


class SpecReader:
    """Reads build specs against the inputs of one rulebook.

    `units`: the display system that is spoken, in which some things go without saying.
    """

    def __init__(self, rulebook: Rulebook, units: str | None = None):
        self.rulebook = rulebook
        self.groups: dict[str, dict[str, Reader]] = {}
        self.top: dict[str, Reader] = {}
        self._numbers = _number_fields(rulebook, units)
        for field in rulebook.inputs.values():
            place = self.groups.setdefault(field.group, {}) if field.group else self.top
            place[field.name] = self._reader(field)

    def read(self, build: object, root: str = "/build", most: int = MAX_FAULTS) -> Known:
        """The known names of a build, or SpecError with every fault, up to so many."""
        if not isinstance(build, dict):
            expected = "an object of groups such as engine, induction, fuel"
            raise SpecError([SpecFault(root, "wrong-type", "The build is not a JSON object.", expected)])
        spec = SpecInHand(most)
        for key, value in build.items():
            if spec.full:
                break
            if key in self.groups:
                self._group(key, value, spec, root)
            elif key in self.top:
                self.top[key](value, spec)
            elif key in self.rulebook.inputs:
                group, _, name = key.partition(".")
                fields = build.get(group)
                if isinstance(fields, dict) and name in fields:
                    spec.fault(f"{root}/{pointer_part(key)}", _GIVEN_TWICE)
                else:
                    self.groups[group][name](value, spec)
            else:
                fault = self._unknown_key(key, [*self.groups, *self.top], "A build has no such group.")
                spec.fault(f"{root}/{pointer_part(key)}", fault)
        _places(spec, root)
        if spec.faults:
            raise SpecError(_without_sea_level(spec.faults) if _says_air(build) else spec.faults)
        return spec.known

    def _reader(self, field: Input) -> Reader:
        match field.kind:
            case "number":
                return number_reader(self._numbers[field.path], [self._numbers[path] for path in field.at])
            case "count":
                return count_reader(field)
            case "curve":
                return curve_reader(field)
            case "map":
                return map_reader(field)
        numbers = [self._numbers[path] for path in field.or_number]
        return choice_reader(field, self.rulebook.words_of(field), numbers)

    def _group(self, group: str, value: object, spec: SpecInHand, root: str) -> None:
        readers = self.groups[group]
        if not isinstance(value, dict):
            detail = f"The group {group} is not a JSON object."
            expected = f"an object with fields such as {', '.join(list(readers)[:3])}"
            spec.fault(f"{root}/{group}", Fault("wrong-type", detail, expected))
            return
        for key, field in value.items():
            if spec.full:
                break
            reader = readers.get(key)
            if reader:
                reader(field, spec)
            else:
                fault = self._unknown_key(key, readers, f"`{group}` has no such field.")
                spec.fault(f"{root}/{group}/{pointer_part(key)}", fault)

    def _unknown_key(self, key: str, known: Iterable[str], detail: str) -> Fault:
        close = nearest(key[:LONGEST_KEY], known)
        if close is None:
            elsewhere = (path for path in self.rulebook.inputs if path.rpartition(".")[2] == key)
            close = next(elsewhere, None)
        expected = "one of the names listed by GET /v1/inputs" if close is None else close
        return Fault("unknown-key", detail, expected, close)


def _places(spec: SpecInHand, root: str) -> None:
    """A spelling such as whp gives the place too; given twice it has to agree."""
    for field, place in spec.places:
        stated = spec.known.choices.setdefault(field.place or "", place)
        if stated != place:
            detail = f"The unit means at the {place}, but {field.place} says {stated}."
            pointer = f"{root}/{field.path.replace('.', '/')}"
            spec.fault(pointer, Fault("contradiction", detail, "one of the two", None))


def _says_air(build: JsonObject) -> bool:
    conditions = build.get("conditions")
    return isinstance(conditions, dict) and not {"ambient_pressure", "altitude"}.isdisjoint(conditions)


def _without_sea_level(faults: list[SpecFault]) -> list[SpecFault]:
    """A gauge pressure worked out at sea level is no suggestion where the build says what its own air is."""
    return [fault._replace(suggestion=None) if fault.code == "wrong-reading" else fault for fault in faults]


def pointer_part(key: str) -> str:
    """A client's key inside a JSON Pointer: escaped and capped."""
    kept = "".join(letter if letter.isprintable() else "?" for letter in key[:40])
    return kept.replace("~", "~0").replace("/", "~1")


def _number_fields(rulebook: Rulebook, units: str | None) -> dict[str, NumberField]:
    """By path; a number that may be of several kinds shares their words with the inputs of those kinds."""
    kinds = {
        path: field.could_mean
        for field in rulebook.inputs.values()
        for path in (field.path, *field.could_mean.values())
        if field.could_mean
    }
    return {
        field.path: NumberField(field, kinds.get(field.path, {}), units)
        for field in rulebook.inputs.values()
        if field.kind == "number"
    }
