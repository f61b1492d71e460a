"""Readers of numbers, counts and choices."""

from functools import lru_cache

from service.evaluation.reading.spec_in_hand import Reader, SpecInHand, pointer_of
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import read_choice, read_count
from service.units.fault import LONGEST_TEXT, Fault
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number

TEXTS_KEPT = 256


def number_reader(field: Input, form: NumberForm) -> Reader:
    """Reads a number with its unit into SI."""
    pointer, path = pointer_of(field), field.path
    words = {dimension: identifier(word) for dimension, word in field.words.items()}

    # Shops write the same few texts again and again ("12 psi"); a text always reads the same.
    @lru_cache(maxsize=TEXTS_KEPT)
    def read_again(text: str) -> Reading | Fault:
        return read_number(text, form)

    def read(value: object, spec: SpecInHand) -> None:
        short_text = type(value) is str and len(value) <= LONGEST_TEXT
        reading = read_again(value) if short_text else read_number(value, form)
        if isinstance(reading, Fault):
            spec.fault(pointer, reading)
            return
        name = words[reading.dimension]
        spec.known.numbers[name] = reading.value
        if reading.spread:
            spec.known.tolerances[name] = reading.spread
        if reading.note:
            spec.known.understood.append((path, reading.note))
        if reading.place:
            spec.places.append((field, reading.place))

    return read


def count_reader(field: Input) -> Reader:
    """Reads a whole number."""
    pointer, name = pointer_of(field), identifier(field.path)

    def read(value: object, spec: SpecInHand) -> None:
        count = read_count(value, field.label, field.possible_count)
        if isinstance(count, Fault):
            spec.fault(pointer, count)
        else:
            spec.known.numbers[name] = float(count)

    return read


def choice_reader(field: Input, rulebook: Rulebook) -> Reader:
    """Reads one of a list of words."""
    pointer, choices = pointer_of(field), rulebook.words_of(field)

    def read(value: object, spec: SpecInHand) -> None:
        choice = read_choice(value, field.label, choices, field.synonyms, field.not_quite)
        if isinstance(choice, Fault):
            spec.fault(pointer, choice)
            return
        word, note = choice
        spec.known.choices[field.path] = word
        if note:
            spec.known.understood.append((field.path, note))

    return read
