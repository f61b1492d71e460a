"""From one JSON value of a client to a number in SI, a count or a choice, or to a fault that says how to mend it.

Nothing a client wrote is repeated: notes and faults hold only numbers that were read and words of our own.
"""

import re
import sys
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from types import MappingProxyType
from typing import NamedTuple

from service.rulebook.units import DIMENSIONS, STANDARD_ATMOSPHERE, Unit, find_unit, offer

LONGEST_TEXT = 64
LARGEST = sys.float_info.max
# House choice: "15 psi (1 bar)" is one number said twice.
TWO_AGREE_WITHIN = 0.05
# "About" figures are rounded to three digits, and to tenths below TENTHS_BELOW where that moves them by no more than ROUND_WITHIN.
ROUND_WITHIN = 0.02
TENTHS_BELOW = 100

_DIGITS = r"(?:[0-9]+(?:\.[0-9]+)?|(?<![0-9.])\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_PLAIN = re.compile(rf"([+-]?{_DIGITS}) ?(.*)", re.DOTALL)
# A digit that follows a letter belongs to a unit (cm2, inH2O).
_NUMBER = re.compile(rf"(?<![A-Za-z0-9])({_DIGITS})")
_SEPARATOR = re.compile(r"(to|\.{2,3}|-)\s*(-?)$")
_TO_ONE = re.compile(rf"({_DIGITS})\s*(?::|to)\s*1(?:\.0+)?")
_ETHANOL_GRADE = re.compile(r"[eE]([0-9]{1,3})")

_SIGNS = {"": "", "+": "", "-": "-"}
_DASHES = str.maketrans({"−": "-", "–": "-", "—": "-", "…": "..."})
_OPEN = frozenset({">", "<", ">=", "<=", "≥", "≤", "over", "above", "under", "below", "at least", "at most", "up to", "min", "max"})
_READING_WORDS = {"absolute": "absolute", "abs": "absolute", "gauge": "gauge", "gage": "gauge", "a": "absolute", "g": "gauge"}
# What the trade leaves out (common practice): a weight said for a flow, a pressure or a torque; a volume said for a flow.
_SAID_FOR = {
    ("lb", "mass_flow"): "lb/h",
    ("lb", "pressure"): "psi",
    ("lb", "torque"): "lb-ft",
    ("kg", "mass_flow"): "kg/h",
    ("kg", "pressure"): "kg/cm2",
    ("cc", "volume_flow"): "cc/min",
    ("L", "volume_flow"): "L/h",
    ("gal", "volume_flow"): "gal/h",
}
_NO_SYNONYMS: Mapping[str, str] = MappingProxyType({})


class Fault(NamedTuple):
    """What is wrong with a value, what would fit, and the probable right form."""

    code: str
    detail: str
    expected: str | None = None
    suggestion: str | None = None


class Reading(NamedTuple):
    """A number in SI, with a note where it was not written in standard form and the place its unit named."""

    dimension: str
    value: float
    note: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True)
class NumberForm:
    """What one number of the build spec may look like; ranges in SI for each dimension it may be given in.

    `reading` gauge, absolute or difference for pressures; `range` judge_high or judge_low where "7 to 14 psi" is taken;
    `forms` may hold to_one ("8.5:1") and ethanol_grade ("E60"); `usual` only sharpens suggestions.
    """

    label: str
    dimensions: tuple[str, ...]
    possible: dict[str, tuple[float, float]]
    reading: str | None = None
    range: str | None = None
    forms: tuple[str, ...] = ()
    has_place: bool = False
    usual: dict[str, tuple[float, float]] = field(default_factory=dict)
    quick: dict[str, tuple[str, float, float, float, float]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        quick: dict[str, tuple[str, float, float, float, float]] = {}
        for dimension in self.dimensions:
            low, high = self.possible[dimension]
            for spelling, unit in DIMENSIONS[dimension].units.items():
                found = _Found(dimension, unit, None, spelling)
                if spelling == unit.text and _note(1.0, found, self) is None:
                    quick.setdefault(spelling, (dimension, unit.factor, unit.offset, low, high))
        object.__setattr__(self, "quick", quick)

    @property
    def expected(self) -> str:
        """What fits, in words."""
        return ", or ".join(offer(dimension) for dimension in self.dimensions)

    def fault(self, code: str, detail: str, suggestion: str | None = None) -> Fault:
        return Fault(code, f"{self.label}: {detail}.", self.expected, suggestion)


class _Found(NamedTuple):
    dimension: str
    unit: Unit
    said: str | None  # "absolute" or "gauge" where the unit text says so
    written: str


def read_number(value: object, form: NumberForm) -> Reading | Fault:
    """A JSON value read as one number of the given form, in SI; never raises for a JSON value."""
    kind = type(value)
    if kind is str:
        if len(value) > LONGEST_TEXT:
            return form.fault("too-long", f"the text is longer than {LONGEST_TEXT} characters")
        match = _PLAIN.match(value)
        quick = form.quick.get(match[2]) if match else None
        if quick is not None:
            dimension, factor, offset, low, high = quick
            number = float(match[1]) * factor + offset
            if low <= number <= high:
                return Reading(dimension, number)
        return _read_text(value, form)
    if kind is float or kind is int:
        return _read_plain(value, "", form)
    if kind is dict:
        if value.keys() != {"value", "unit"}:
            return form.fault("wrong-shape", "an object holds exactly `value` and `unit`")
        number, unit = value["value"], value["unit"]
        if type(number) not in (int, float) or type(unit) is not str:
            return form.fault("wrong-type", "`value` is a number and `unit` is text")
        if len(unit) > LONGEST_TEXT:
            return form.fault("too-long", f"the unit is longer than {LONGEST_TEXT} characters")
        return _read_plain(number, unit.strip(), form)
    return form.fault("wrong-type", "this is not a number")


def read_count(value: object, label: str, possible: tuple[int, int]) -> int | Fault:
    """A JSON integer within its possible range."""
    low, high = possible
    expected = f"a whole number from {low} to {high}"
    if type(value) is not int:
        number = float(value) if type(value) is float or (type(value) is str and re.fullmatch("[0-9]{1,9}", value)) else 0.5
        fits = number.is_integer() and low <= number <= high
        return Fault("wrong-type", f"{label}: this is not a whole number.", expected, str(int(number)) if fits else None)
    if not low <= value <= high:
        return Fault("out-of-range", f"{label}: this number cannot be right.", expected)
    return value


def read_choice(
    value: object, label: str, choices: Collection[str], synonyms: Mapping[str, str] = _NO_SYNONYMS
) -> tuple[str, str | None] | Fault:
    """A word out of a list, and a note where a trade word was taken for it; JSON true and false mean yes and no."""
    if type(value) is bool and "yes" in choices and "no" in choices:
        value = "yes" if value else "no"
    expected = "one of " + ", ".join(choices)
    if type(value) is not str:
        return Fault("wrong-type", f"{label}: this is not a word.", expected)
    if value in choices:
        return value, None
    if len(value) > LONGEST_TEXT:
        return Fault("too-long", f"{label}: the text is longer than {LONGEST_TEXT} characters.", expected)
    word = _as_word(value)
    for choice in choices:
        if _as_word(choice) == word:
            return choice, None
    taken = {_as_word(synonym): choice for synonym, choice in synonyms.items()}
    if word in taken:
        return taken[word], f"read as {taken[word]}"
    close = nearest(word, [*choices, *taken])
    return Fault("unknown-word", f"{label}: that word is not known here.", expected, taken.get(close, close))


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The known word most like the one written, letter case apart, or None."""
    known = {own.casefold(): own for own in reversed(list(words))}
    close = get_close_matches(word.casefold(), known, n=1) if len(word) <= LONGEST_TEXT else []
    return known[close[0]] if close else None


def _as_word(text: str) -> str:
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").split())


def _read_plain(number: float, spelling: str, form: NumberForm) -> Reading | Fault:
    if not -LARGEST <= number <= LARGEST:
        return form.fault("not-finite", "this is not a finite number")
    number = float(number)
    found = _find(spelling, form)
    if found is None:
        return _unfit(number, spelling, form)
    dimension, unit, said, _ = found
    if said is not None and said != form.reading:
        return _wrong_reading(number, found, form)
    if unit.place is not None and not form.has_place:
        instead = _amount(number, unit.text) if unit.place == "crank" else None
        return form.fault("wrong-unit", f"the unit says at the {unit.place}, and this field has no place", instead)
    value = number * unit.factor + unit.offset
    low, high = form.possible[dimension]
    if not low <= value <= high:
        ends = [f"{(end - unit.offset) / unit.factor:.4g}" for end in (low, high)]
        detail = f"{_amount(number, unit.text)} cannot be right; possible is {_amount_text(' to '.join(ends), unit.text)}"
        return form.fault("out-of-range", detail, _likely(number, form, unit))
    return Reading(dimension, value, _note(number, found, form), unit.place)


def _find(spelling: str, form: NumberForm) -> _Found | None:
    for dimension in form.dimensions:
        if unit := find_unit(dimension, spelling):
            return _Found(dimension, unit, None, spelling)
    if "pressure" in form.dimensions:
        bare = spelling.casefold().rstrip(" .)")
        for word, said in _READING_WORDS.items():
            written = bare.removesuffix(word).rstrip(" (.,")
            if bare.endswith(word) and (unit := find_unit("pressure", written)):
                return _Found("pressure", unit, said, written)
    return None


def _note(number: float, found: _Found, form: NumberForm) -> str | None:
    dimension, unit, said, written = found
    amount = _amount(number, unit.text)
    if unit.place:
        return f"{amount} at the {unit.place}"
    if unit.text == "%":
        return f"{amount} = {_show(number * unit.factor)}"
    if dimension == "pressure" and form.reading == "absolute" and said is None:
        return f"{amount} read as absolute"
    if written.replace(" ", "").casefold() == unit.text.replace(" ", "").casefold():
        return None
    return f"{amount} absolute" if said == "absolute" else amount


def _unfit(number: float, spelling: str, form: NumberForm) -> Fault:
    if not spelling:
        return form.fault("unit-missing", f"{_show(number)} has no unit", _likely(number, form))
    wanted = " or ".join(DIMENSIONS[dimension].phrase for dimension in form.dimensions)
    for dimension in DIMENSIONS.values():
        if unit := find_unit(dimension.name, spelling):
            detail = f"{_amount(number, unit.text)} is {dimension.phrase}; {wanted} is wanted"
            meant = [_SAID_FOR[key] for key in ((unit.text, own) for own in form.dimensions) if key in _SAID_FOR]
            return form.fault("wrong-unit", detail, _standard(_show(number), meant[0], form) if meant else None)
    spellings = {word: unit for dimension in form.dimensions for word, unit in DIMENSIONS[dimension].units.items() if word}
    close = nearest(spelling, spellings)
    return form.fault("unknown-unit", "that unit is not known here", _standard(_show(number), close, form) if close else None)


def _wrong_reading(number: float, found: _Found, form: NumberForm) -> Fault:
    _, unit, said, _ = found
    amount = f"{_amount(number, unit.text)} {said}"
    if form.reading not in ("gauge", "absolute"):
        return form.fault("wrong-reading", f"{amount} is given; a pressure difference is neither absolute nor gauge")
    step = STANDARD_ATMOSPHERE if said == "gauge" else -STANDARD_ATMOSPHERE
    rough = _rough(number + step / unit.factor)
    detail = f"{form.reading} pressure is wanted; {amount} would be about {rough} {unit.text} {form.reading} at sea level"
    return form.fault("wrong-reading", detail, _standard(rough, unit.text + (" abs" if said == "gauge" else ""), form))


def _likely(number: float, form: NumberForm, given: Unit | None = None) -> str | None:
    """The same number with the unit that was probably meant: a usual value first, then a unit of the same kind."""
    fitting = []
    for dimension in form.dimensions:
        low, high = form.possible[dimension]
        least, most = form.usual.get(dimension, (1.0, 0.0))
        for text in DIMENSIONS[dimension].offered:
            unit = DIMENSIONS[dimension].units[text]
            value = number * unit.factor + unit.offset
            if low <= value <= high:
                kin = given is not None and text.partition("/")[0] == given.text.partition("/")[0]
                fitting.append((not least <= value <= most, not kin, text))
    if not fitting:
        return None
    unusual, _, text = min(fitting, key=lambda row: row[:2])
    if given is None and unusual and len(fitting) > 1:
        return None
    return _amount(number, text)


def _read_text(text: str, form: NumberForm) -> Reading | Fault:
    text = text.strip().translate(_DASHES)
    if any(character.isdecimal() and not character.isascii() for character in text):
        return form.fault("not-ascii-digits", "numbers are written with the digits 0 to 9")
    if "to_one" in form.forms and (match := _TO_ONE.fullmatch(text)):
        return _renoted(_read_plain(float(match[1]), "", form), _show(float(match[1])))
    if "ethanol_grade" in form.forms and (match := _ETHANOL_GRADE.fullmatch(text)):
        share = int(match[1]) / 100
        return _renoted(_read_plain(share, "", form), f"E{int(match[1])} = {_show(share)}")
    plain = _PLAIN.fullmatch(text)
    if plain and (not plain[2] or _find(plain[2].strip(), form)):
        return _read_plain(float(plain[1]), plain[2].strip(), form)
    before, *pieces = _NUMBER.split(text)
    numbers, gaps = pieces[::2], [gap.strip() for gap in pieces[1::2]]
    if not numbers:
        return form.fault("no-number", "this holds no number")
    if len(numbers) == 1:
        return _read_one(before.strip(), numbers[0], gaps[0], form)
    if any(gap == "," for gap in pieces[1:-1:2]):
        return _comma(_SIGNS.get(before.strip(), ""), numbers, gaps[-1], form)
    separator = _SEPARATOR.search(gaps[0])
    if len(numbers) == 2 and before.strip() in _SIGNS and separator and not gaps[0].endswith("+/-"):
        first = (_SIGNS[before.strip()] + numbers[0], gaps[0][: separator.start()].strip() or gaps[1])
        return _range(first, (separator[2] + numbers[1], gaps[1] or first[1]), form)
    return _two(numbers, gaps, form)


def _renoted(reading: Reading | Fault, note: str) -> Reading | Fault:
    # A unit suggested for the number taken out of such a form would be nonsense ("6 %" for "E600").
    return reading._replace(note=note) if isinstance(reading, Reading) else reading._replace(suggestion=None)


def _read_one(before: str, number: str, after: str, form: NumberForm) -> Reading | Fault:
    if "+" in after or before.casefold() in _OPEN:
        instead = _standard(number, after.replace("+", " ").strip(), form)
        return form.fault("open-ended", f"{_show(float(number))} is one end only; the number to be judged is wanted", instead)
    if before not in _SIGNS:
        return form.fault("unreadable", "this does not start with a number", _standard(number, after, form))
    return _read_plain(float(_SIGNS[before] + number), after, form)


def _comma(sign: str, numbers: list[str], spelling: str, form: NumberForm) -> Fault:
    readings = []
    if len(numbers) == 2:
        whole, part = numbers
        if whole.isdigit() and whole != "0" and re.fullmatch(r"[0-9]{3}(\.[0-9]+)?", part):
            readings.append(f"{whole}{part}")
        if whole.isdigit() and part.isdigit():
            readings.append(f"{whole}.{part}")
    instead = next(filter(None, (_standard(sign + reading, spelling, form) for reading in readings)), None)
    return form.fault("decimal-comma", "a comma may stand for a decimal point or for thousands; the number is written without it", instead)


def _range(first: tuple[str, str], second: tuple[str, str], form: NumberForm) -> Reading | Fault:
    if form.range is None:
        return form.fault("range", "this is a range; one number is wanted")
    ends = []
    for number, spelling in (first, second):
        reading = _read_plain(float(number), spelling, form)
        if isinstance(reading, Fault):
            # What would mend one end alone is no range any more.
            return reading._replace(suggestion=None)
        ends.append((reading, float(number), _find(spelling, form)))
    (low, low_number, low_found), (high, high_number, high_found) = sorted(ends, key=lambda end: end[0].value)
    if low.dimension != high.dimension:
        return form.fault("two-numbers", "this holds two numbers of different kinds; one is wanted")
    shown = _show(low_number) if low_found.unit.text == high_found.unit.text else _amount(low_number, low_found.unit.text)
    end, number, found = (high, high_number, high_found) if form.range == "judge_high" else (low, low_number, low_found)
    place = low.place or high.place
    tail = f" at the {place}" if place else " absolute" if found.dimension == "pressure" and form.reading == "absolute" else ""
    side = "high" if form.range == "judge_high" else "low"
    span = f"{shown} to {_amount(high_number, high_found.unit.text)}"
    return Reading(end.dimension, end.value, f"{_amount(number, found.unit.text)}{tail}, the {side} end of {span}", place)


def _two(numbers: list[str], gaps: list[str], form: NumberForm) -> Fault:
    if len(numbers) == 2 and (gaps[0].endswith(("±", "+/-"))):
        spelling = gaps[0].removesuffix("±").removesuffix("+/-").strip() or gaps[1]
        return form.fault("two-numbers", "this is a number with a tolerance; the number alone is wanted", _standard(numbers[0], spelling, form))
    spelling = gaps[0].rstrip(" /(=,;[|&~≈")
    readings = [_read_plain(float(number), gap, form) for number, gap in zip(numbers, (spelling, gaps[-1].rstrip(" )]")))]
    agree = (
        len(numbers) == 2
        and all(isinstance(reading, Reading) for reading in readings)
        and readings[0].dimension == readings[1].dimension
        and abs(readings[0].value - readings[1].value) <= TWO_AGREE_WITHIN * abs(readings[0].value)
    )
    return form.fault("two-numbers", "this holds more than one number; one is wanted", _standard(numbers[0], spelling, form) if agree else None)


def _standard(number: str, spelling: str, form: NumberForm) -> str | None:
    """A number and its unit in our own words, where that can be read in this form."""
    if isinstance(_read_plain(float(number), spelling, form), Fault):
        return None
    dimension, unit, said, _ = _find(spelling, form)
    text = next(word for word, own in DIMENSIONS[dimension].units.items() if own is unit)
    shown = number if len(number) <= 12 else _show(float(number))
    return _amount_text(shown, f"{text} abs" if said == "absolute" else text)


def _amount(number: float, unit: str) -> str:
    return _amount_text(_show(number), unit)


def _amount_text(number: str, unit: str) -> str:
    return f"{number} {unit}".rstrip()


def _rough(number: float) -> str:
    tenths_do = abs(round(number, 1) - number) <= ROUND_WITHIN * abs(number) and abs(number) < TENTHS_BELOW
    return f"{number:.1f}" if tenths_do else _show(float(f"{number:.3g}"))


def _show(number: float) -> str:
    """Up to ten significant digits, no trailing zeros."""
    return f"{number:.10g}"
