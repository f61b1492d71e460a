"""Readers of numbers."""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from service.evaluation.reading.spec_in_hand import Reader, SpecInHand, pointer_of
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.units.fault import LONGEST_TEXT, Fault
from service.units.number_form import NumberForm, Reading, show
from service.units.reading import read_number

TEXTS_KEPT = 256
# "340 L/h at 58 psi and 13.5 V", "42 lb/h @ 3 bar".
_AT = re.compile(r"\s*(?:@|\bat\b)\s*", re.IGNORECASE)
_AND = re.compile(r"\s*(?:@|,\s|\bat\b|\band\b)\s*", re.IGNORECASE)


class NumberField:
    """One input that holds a number.

    `kinds`: by the word that says of which kind a number is (AKI), the input it belongs to.
    """

    def __init__(self, field: Input, kinds: Mapping[str, str], units: str | None):
        assert field.form is not None, "a number has a form"
        self.field, self.kinds = field, kinds
        self.form: NumberForm = replace(field.form, scales=tuple(kinds))
        self.pointer = pointer_of(field)
        self.unsaid, self.units = field.taken_in.get(units or ""), units
        self.words = {dimension: identifier(word) for dimension, word in field.words.items()}
        # Shops write the same few texts again and again ("12 psi"); a text always reads the same.
        self._read_again = lru_cache(maxsize=TEXTS_KEPT)(lambda text: read_number(text, self.form))

    def reading(self, value: object) -> Reading | Fault:
        """The number a value holds."""
        short_text = type(value) is str and len(value) <= LONGEST_TEXT
        return self._read_again(value) if short_text else read_number(value, self.form)

    def read(self, value: object, spec: SpecInHand) -> None:
        """Takes the number, or the fault."""
        reading = self.reading(value)
        if isinstance(reading, Fault):
            spec.fault(self.pointer, reading)
        else:
            self.take(reading, spec)

    def take(self, reading: Reading, spec: SpecInHand) -> None:
        """A number that says its kind goes to the input of that kind."""
        scale, note = reading.scale, reading.note
        if scale is None and self.unsaid:
            scale = self.unsaid
            note = f"{show(reading.value)} {scale}, because the units are {self.units}"
        meant = self.kinds.get(scale or "", self.field.path)
        name = self.words[reading.dimension] if meant == self.field.path else identifier(meant)
        if spec.known.numbers.setdefault(name, reading.value) != reading.value:
            detail = f"{meant} is given twice, and the two differ."
            spec.fault(self.pointer, Fault("contradiction", detail, "one of the two"))
        if reading.spread:
            spec.known.tolerances[name] = reading.spread
        if note:
            spec.known.understood.append((self.field.path, note))
        if reading.place:
            spec.places.append((self.field, reading.place))


def number_reader(number: NumberField, beside: list[NumberField]) -> Reader:
    """Reads a number; what stands behind "at" goes to the inputs beside it."""
    if not beside:
        return number.read

    def read(value: object, spec: SpecInHand) -> None:
        if not isinstance(value, str) or len(value) > LONGEST_TEXT or not _AT.search(value):
            number.read(value, spec)
            return
        before, behind = _AT.split(value.strip(), maxsplit=1)
        shown = []
        for text in _AND.split(behind):
            readings = [(other, other.reading(text)) for other in beside]
            other, reading = next((pair for pair in readings if not isinstance(pair[1], Fault)), readings[0])
            if isinstance(reading, Fault):
                spec.fault(number.pointer, reading._replace(suggestion=None, options=()))
                return
            other.take(reading._replace(note=None), spec)
            shown.append(reading.note or text)
        tail = f" at {' and '.join(shown)}"
        first = number.reading(before)
        if isinstance(first, Fault):
            spec.fault(number.pointer, _with_tail(first, tail))
        else:
            number.take(first._replace(note=f"{first.note or before}{tail}"), spec)

    return read


def _with_tail(fault: Fault, tail: str) -> Fault:
    """What is suggested in place of the number alone, for all that was written."""
    suggestion = fault.suggestion and f"{fault.suggestion}{tail}"
    return fault._replace(suggestion=suggestion, options=tuple(f"{option}{tail}" for option in fault.options))
