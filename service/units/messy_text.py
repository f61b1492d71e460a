"""Text that is not plainly a number and a unit: ranges, grades, open ends, decimal commas, two numbers at
once.
"""

import re
from typing import NamedTuple

from service.units.fault import Fault
from service.units.number_form import NumberForm, Reading, amount, show
from service.units.plain_number import Tolerance, read_plain, standard, with_tolerance
from service.units.spelling import find, is_percent
from service.units.trade_text import plainer

# House choice: "15 psi (1 bar)" is one number given twice.
TWO_AGREE_WITHIN = 0.05

_DIGITS = r"(?:[0-9]+(?:\.[0-9]+)?|(?<![0-9.])\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
PLAIN = re.compile(rf"([+-]?{_DIGITS}) ?(.*)", re.DOTALL)
# A digit that follows a letter belongs to a unit (cm2, inH2O).
_NUMBER = re.compile(rf"(?<![A-Za-z0-9])({_DIGITS})")
_SEPARATOR = re.compile(r"(to|\.{2,3}|-)\s*(-?)$")
_PLUS_MINUS = re.compile(r"\s*(?:±|\+/?-)\s*(-?)$")
_TO_ONE = re.compile(rf"({_DIGITS})\s*(?::|to)\s*1(?:\.0+)?")
_ETHANOL_GRADE = re.compile(r"[eE]([0-9]{1,3})")

# "6,000" is never six, and who writes these units writes a point for decimals (common practice); inches are
# written by all.
_AMERICAN = frozenset({"ft", "mi", "lb", "lbf", "hp", "whp", "bhp", "lb-ft", "lb/h", "cfm", "ci", "mph"})

_SIGNS = {"": "", "+": "", "-": "-"}
_DASHES = str.maketrans({"−": "-", "–": "-", "—": "-", "…": "..."})
_OPEN = frozenset(
    {
        ">",
        "<",
        ">=",
        "<=",
        "≥",
        "≤",
        "over",
        "above",
        "under",
        "below",
        "at least",
        "at most",
        "up to",
        "min",
        "max",
    }
)


def read_text(text: str, form: NumberForm) -> Reading | Fault:
    """Text read as one number of the form, or the fault with what was probably meant."""
    text = text.strip().translate(_DASHES)
    plain = plainer(text, form)
    reading = _read(plain, form)
    return _noted(reading, plain) if plain != text else reading


def _read(text: str, form: NumberForm) -> Reading | Fault:
    if any(character.isdecimal() and not character.isascii() for character in text):
        return form.fault("not-ascii-digits", "please write the number with the digits 0 to 9")
    if "to_one" in form.forms and (match := _TO_ONE.fullmatch(text)):
        return _renoted(read_plain(float(match[1]), "", form), show(float(match[1])))
    if "ethanol_grade" in form.forms and (match := _ETHANOL_GRADE.fullmatch(text)):
        share = int(match[1]) / 100
        return _renoted(read_plain(share, "", form), f"E{int(match[1])} = {show(share)}")
    plain = PLAIN.fullmatch(text)
    if plain and (not plain[2] or find(plain[2].strip(), form)):
        return read_plain(float(plain[1]), plain[2].strip(), form)
    before, *pieces = _NUMBER.split(text)
    numbers, gaps = pieces[::2], [gap.strip() for gap in pieces[1::2]]
    if not numbers:
        return form.fault("no-number", "there is no number in this")
    if len(numbers) == 1:
        return _read_one(before.strip(), numbers[0], gaps[0], form)
    if any(gap == "," for gap in pieces[1:-1:2]):
        return _comma(_SIGNS.get(before.strip(), ""), numbers, gaps[-1], form)
    plus_minus = _PLUS_MINUS.search(gaps[0])
    if len(numbers) == 2 and before.strip() in _SIGNS and plus_minus:
        number = float(_SIGNS[before.strip()] + numbers[0])
        width = float(plus_minus[1] + numbers[1])
        return _tolerance(number, gaps[0][: plus_minus.start()], width, gaps[1], form)
    separator = _SEPARATOR.search(gaps[0])
    if len(numbers) == 2 and before.strip() in _SIGNS and separator:
        first = (_SIGNS[before.strip()] + numbers[0], gaps[0][: separator.start()].strip() or gaps[1])
        return _range(first, (separator[2] + numbers[1], gaps[1] or first[1]), form)
    return _two(numbers, gaps, form)


def _noted(reading: Reading | Fault, plain: str) -> Reading | Fault:
    """A reading that repeats the number where it was written otherwise."""
    return reading._replace(note=plain) if isinstance(reading, Reading) and not reading.note else reading


def _renoted(reading: Reading | Fault, note: str) -> Reading | Fault:
    # A unit suggested for the number taken out of such a form would be nonsense ("6 %" for "E600").
    return reading._replace(note=note) if isinstance(reading, Reading) else reading._replace(suggestion=None)


def _read_one(before: str, number: str, after: str, form: NumberForm) -> Reading | Fault:
    if "+" in after or before.casefold() in _OPEN:
        instead = standard(number, after.replace("+", " ").strip(), form)
        return form.fault(
            "open-ended", f"{show(float(number))} is one end only; please give the number itself", instead
        )
    if before not in _SIGNS:
        return form.fault("unreadable", "this does not start with a number", standard(number, after, form))
    return read_plain(float(_SIGNS[before] + number), after, form)


def _comma(sign: str, numbers: list[str], spelling: str, form: NumberForm) -> Reading | Fault:
    """Thousands where the number could be nothing else."""
    thousands = decimal = None
    if len(numbers) == 2:
        whole, part = numbers
        if whole.isdigit() and whole != "0" and re.fullmatch(r"[0-9]{3}(\.[0-9]+)?", part):
            thousands = standard(f"{sign}{whole}{part}", spelling, form)
        if whole.isdigit() and part.isdigit():
            decimal = standard(f"{sign}{whole}.{part}", spelling, form)
    if thousands and (not decimal or part == "000" or thousands.split()[-1] in _AMERICAN):
        return _noted(read_plain(float(sign + whole + part), spelling, form), thousands)
    return form.fault(
        "decimal-comma",
        "the comma could be a decimal point or thousands; please write the number without it",
        thousands or decimal,
    )


class _End(NamedTuple):
    """One end of a range: as read, as written, and its unit."""

    reading: Reading
    number: float
    unit: str


def _range(first: tuple[str, str], second: tuple[str, str], form: NumberForm) -> Reading | Fault:
    if form.range is None:
        return form.fault("range", "this is a range; please give one number")
    ends: list[_End] = []
    for number, written in (first, second):
        reading, spelling = read_plain(float(number), written, form), find(written, form)
        if isinstance(reading, Fault):
            # What would fix one end alone is no range any more.
            return reading._replace(suggestion=None)
        assert spelling is not None, "a number that was read has a unit"
        ends.append(_End(reading, float(number), spelling.unit.text))
    low, high = sorted(ends, key=lambda end: end.reading.value)
    if low.reading.dimension != high.reading.dimension:
        return form.fault("two-numbers", "please give one number; these are two of different kinds")
    shown = show(low.number) if low.unit == high.unit else amount(low.number, low.unit)
    judged, side = (high, "high") if form.range == "judge_high" else (low, "low")
    place = low.reading.place or high.reading.place
    tail = f" at the {place}" if place else ""
    if not place and judged.reading.dimension == "pressure" and form.reading == "absolute":
        tail = " absolute"
    span = f"{shown} to {amount(high.number, high.unit)}"
    note = f"{amount(judged.number, judged.unit)}{tail}, the {side} end of {span}"
    return Reading(judged.reading.dimension, judged.reading.value, note, place)


def _tolerance(
    number: float, written: str, tolerance: float, after: str, form: NumberForm
) -> Reading | Fault:
    """ "13 psi ±0.5", "450 ±10 whp", "13 psi ±5 %": one number and how far it may be off."""
    if written.endswith("(") and after.endswith(")"):
        written, after = written[:-1].rstrip(), after[:-1].rstrip()
    share = is_percent(after) and not is_percent(written)
    # A plain number stays one beside a share ("9.3 ±5 %"); one that cannot be plain is in percent itself ("60
    # ±5 %").
    if share and not written and find(after, form) and isinstance(read_plain(number, "", form), Fault):
        share = False
    spelling = written if written or share else after
    reading = read_plain(number, spelling, form)
    if isinstance(reading, Fault):
        return reading
    unit = find(spelling, form)
    assert unit is not None, "a number that was read has a unit"
    width = Tolerance(tolerance / 100, None) if share else Tolerance(tolerance, after or written)
    return with_tolerance(reading, number, unit, width, form)


def _two(numbers: list[str], gaps: list[str], form: NumberForm) -> Fault:
    spelling = gaps[0].rstrip(" /(=,;[|&~≈")
    spellings = (spelling, gaps[-1].rstrip(" )]"))
    readings = [read_plain(float(number), gap, form) for number, gap in zip(numbers, spellings, strict=False)]
    agree = len(numbers) == len(readings) and _agree(*readings)
    return form.fault(
        "two-numbers",
        "please give one number",
        standard(numbers[0], spelling, form) if agree else None,
    )


def _agree(first: Reading | Fault, second: Reading | Fault) -> bool:
    """Whether two numbers say the same thing in two units."""
    if isinstance(first, Fault) or isinstance(second, Fault) or first.dimension != second.dimension:
        return False
    return abs(first.value - second.value) <= TWO_AGREE_WITHIN * abs(first.value)
