"""The client's build spec read into SI: all faults of a request at once, and nothing it wrote is repeated but in our own words."""

from collections.abc import Callable
from functools import lru_cache

from service.errors import SpecError, SpecFault
from service.evaluation.known import Known
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest, read_choice, read_count
from service.units.fault import LONGEST_TEXT, Fault
from service.units.number_form import NumberForm
from service.units.reading import read_number

MAX_FAULTS = 50
TEXTS_KEPT = 256
Reader = Callable[[object, "_Spec"], None]


class _Spec:
    """One spec while it is read."""

    __slots__ = ("faults", "known", "most", "places")

    def __init__(self, most: int):
        self.most = most
        self.known = Known()
        self.faults: list[SpecFault] = []
        self.places: list[tuple[Input, str]] = []

    @property
    def full(self) -> bool:
        """Whether as many faults are named as one answer holds; looking for more would only cost time."""
        return len(self.faults) >= self.most

    def fault(self, pointer: str, fault: Fault) -> None:
        if not self.full:
            self.faults.append(SpecFault(pointer, *fault))


class SpecReader:
    """Reads build specs against the inputs of one rulebook."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.groups: dict[str, dict[str, Reader]] = {}
        self.top: dict[str, Reader] = {}
        for one in rulebook.inputs.values():
            place = self.groups.setdefault(one.group, {}) if one.group else self.top
            place[one.name] = _reader(one, rulebook)

    def read(self, build: object, root: str = "/build", most: int = MAX_FAULTS) -> Known:
        """The known names of a build, or SpecError with every fault found, up to so many."""
        spec = _Spec(most)
        if not isinstance(build, dict):
            raise SpecError(
                [
                    SpecFault(
                        root,
                        "wrong-type",
                        "The build is not a JSON object.",
                        "an object of groups such as engine, induction, fuel",
                    )
                ]
            )
        for key, value in build.items():
            if spec.full:
                break
            if key in self.groups:
                self._group(key, value, spec, root)
            elif key in self.top:
                self.top[key](value, spec)
            else:
                spec.fault(
                    f"{root}/{pointer_part(key)}", self._unknown_key(key, [*self.groups, *self.top], "group")
                )
        self._places(spec, root)
        if spec.faults:
            raise SpecError(_without_sea_level(spec.faults) if _says_air(build) else spec.faults)
        return spec.known

    def _group(self, group: str, value: object, spec: _Spec, root: str) -> None:
        if not isinstance(value, dict):
            spec.fault(
                f"{root}/{group}",
                Fault(
                    "wrong-type",
                    f"The group {group} is not a JSON object.",
                    f"an object with fields such as {', '.join(list(self.groups[group])[:3])}",
                ),
            )
            return
        readers = self.groups[group]
        for key, field in value.items():
            if spec.full:
                break
            reader = readers.get(key)
            if reader:
                reader(field, spec)
            else:
                spec.fault(
                    f"{root}/{group}/{pointer_part(key)}",
                    self._unknown_key(key, readers, f"field of {group}"),
                )

    def _unknown_key(self, key: str, known, what: str) -> Fault:
        close = nearest(key[:64], known)
        if close is None:
            elsewhere = [path for path in self.rulebook.inputs if path.rpartition(".")[2] == key]
            close = elsewhere[0] if elsewhere else None
        return Fault(
            "unknown-key",
            f"There is no such {what}.",
            "one of the names listed by GET /v1/inputs" if close is None else close,
            close,
        )

    def _places(self, spec: _Spec, root: str) -> None:
        """A spelling such as whp says the place too; said twice it has to agree."""
        for one, place in spec.places:
            said = spec.known.choices.setdefault(one.place, place)
            if said != place:
                pointer = f"{root}/{one.path.replace('.', '/')}"
                spec.fault(
                    pointer,
                    Fault(
                        "contradiction",
                        f"The unit says at the {place}, {one.place} says {said}.",
                        "one of the two",
                        None,
                    ),
                )


def _says_air(build: dict) -> bool:
    conditions = build.get("conditions")
    return isinstance(conditions, dict) and not {"ambient_pressure", "altitude"}.isdisjoint(conditions)


def _without_sea_level(faults: list[SpecFault]) -> list[SpecFault]:
    """A gauge pressure reckoned for sea level is no suggestion for a build that says what its own air is."""
    return [fault._replace(suggestion=None) if fault.code == "wrong-reading" else fault for fault in faults]


def pointer_part(key: str) -> str:
    """A client's key inside a JSON Pointer: escaped and capped."""
    kept = "".join(letter if letter.isprintable() else "?" for letter in key[:40])
    return kept.replace("~", "~0").replace("/", "~1")


def _reader(one: Input, rulebook: Rulebook) -> Reader:
    return {
        "number": _number,
        "count": _count,
        "choice": _choice,
        "flag": _choice,
        "curve": _curve,
        "map": _map,
    }[one.kind](one, rulebook)


def _pointer(one: Input) -> str:
    return f"/build/{one.path.replace('.', '/')}"


def _number(one: Input, rulebook: Rulebook) -> Reader:
    pointer, form, path = _pointer(one), one.form, one.path
    words = {dimension: identifier(word) for dimension, word in one.words.items()}
    # Shops write the same few texts again and again ("12 psi"); a text always reads the same.
    read_again = lru_cache(maxsize=TEXTS_KEPT)(lambda text: read_number(text, form))

    def read(value: object, spec: _Spec) -> None:
        made = (
            read_again(value)
            if type(value) is str and len(value) <= LONGEST_TEXT
            else read_number(value, form)
        )
        if type(made) is Fault:
            spec.fault(pointer, made)
            return
        spec.known.numbers[words[made.dimension]] = made.value
        if made.spread:
            spec.known.tolerances[words[made.dimension]] = made.spread
        if made.note:
            spec.known.understood.append((path, made.note))
        if made.place:
            spec.places.append((one, made.place))

    return read


def _count(one: Input, rulebook: Rulebook) -> Reader:
    pointer, name = _pointer(one), identifier(one.path)

    def read(value: object, spec: _Spec) -> None:
        made = read_count(value, one.label, one.possible_count)
        if isinstance(made, Fault):
            spec.fault(pointer, made)
        else:
            spec.known.numbers[name] = float(made)

    return read


def _choice(one: Input, rulebook: Rulebook) -> Reader:
    pointer, choices = _pointer(one), rulebook.words_of(one)

    def read(value: object, spec: _Spec) -> None:
        made = read_choice(value, one.label, choices, one.synonyms, one.not_quite)
        if isinstance(made, Fault):
            spec.fault(pointer, made)
            return
        spec.known.choices[one.path] = made[0]
        if made[1]:
            spec.known.understood.append((one.path, made[1]))

    return read


def _axis_form(label: str, dimension: str, reading: str | None) -> NumberForm:
    return NumberForm(
        label=label,
        dimensions=(dimension,),
        possible={dimension: (float("-inf"), float("inf"))},
        reading=reading,
    )


def _curve(one: Input, rulebook: Rulebook) -> Reader:
    pointer, name = _pointer(one), identifier(one.path)
    words = [axis.word for axis in one.axes]
    forms = [_axis_form(one.label, axis.dimension, axis.reading) for axis in one.axes]
    low, high = one.points

    def read(value: object, spec: _Spec) -> None:
        if not isinstance(value, list) or not low <= len(value) <= high:
            spec.fault(
                pointer,
                Fault(
                    "wrong-type",
                    f"{one.label} is not a list of {low} to {high} points.",
                    f'[{{"{words[0]}": "...", "{words[1]}": "..."}}, ...]',
                ),
            )
            return
        points = []
        for position, point in enumerate(value):
            made = _point(point, words, forms, f"{pointer}/{position}", spec)
            if made:
                points.append(made)
        if len(points) < len(value):
            return
        points.sort()
        xs, ys = (tuple(column) for column in zip(*points))
        if any(a == b for a, b in zip(xs, xs[1:])):
            spec.fault(
                pointer,
                Fault(
                    "not-a-curve",
                    f"{one.label} has two points at the same {words[0]}.",
                    f"one {words[1]} for each {words[0]}",
                ),
            )
        elif one.shape and any((b > a) == (one.shape == "falling") and a != b for a, b in zip(ys, ys[1:])):
            spec.fault(
                pointer,
                Fault(
                    "not-a-curve",
                    f"{one.label} is not {one.shape} throughout.",
                    f"{words[1]} {one.shape} as {words[0]} rises",
                ),
            )
        else:
            spec.known.curves[name] = (xs, ys)

    return read


def _point(
    point: object, words: list[str], forms: list[NumberForm], pointer: str, spec: _Spec
) -> tuple[float, ...] | None:
    if not isinstance(point, dict) or set(point) != set(words):
        spec.fault(
            pointer, Fault("wrong-type", "This point does not have just its two words.", " and ".join(words))
        )
        return None
    made = []
    for word, form in zip(words, forms):
        number = read_number(point[word], form)
        if isinstance(number, Fault):
            spec.fault(f"{pointer}/{word}", number)
        elif number.spread:
            spec.fault(
                f"{pointer}/{word}",
                form.fault("tolerance", "a point of a curve takes no tolerance; the number alone is wanted"),
            )
        else:
            made.append(number.value)
    return tuple(made) if len(made) == len(words) else None


def _map(one: Input, rulebook: Rulebook) -> Reader:
    pointer, name = _pointer(one), identifier(one.path)
    lists = {
        part: (
            [axis.word for axis in axes],
            [_axis_form(one.label, axis.dimension, axis.reading) for axis in axes],
        )
        for part, axes in one.lists.items()
    }

    def read(value: object, spec: _Spec) -> None:
        if not isinstance(value, dict) or not set(value) <= set(lists):
            spec.fault(
                pointer, Fault("wrong-type", f"{one.label} is not an object of lists.", ", ".join(lists))
            )
            return
        missing = [part for part in one.required if part not in value]
        if missing:
            spec.fault(pointer, Fault("incomplete", f"{one.label} lacks a list.", ", ".join(missing)))
            return
        before = len(spec.faults)
        made = {}
        for part, points in value.items():
            words, forms = lists[part]
            low, high = one.points
            if not isinstance(points, list) or not low <= len(points) <= high:
                spec.fault(
                    f"{pointer}/{part}",
                    Fault(
                        "wrong-type", f"This is not a list of {low} to {high} points.", " and ".join(words)
                    ),
                )
                continue
            rows = [
                _point(point, words, forms, f"{pointer}/{part}/{position}", spec)
                for position, point in enumerate(points)
            ]
            made[part] = tuple(row for row in rows if row)
        if len(spec.faults) == before:
            spec.known.curves[name] = made

    return read
