"""Readers of counts and choices."""

from collections.abc import Collection

from service.evaluation.reading.numbers import NumberField
from service.evaluation.reading.spec_in_hand import Reader, SpecInHand, pointer_of
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.units.choice_reading import read_choice, read_count
from service.units.fault import Fault


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


def choice_reader(field: Input, choices: tuple[str, ...], numbers: list[NumberField]) -> Reader:
    """Reads one of a list of words, or a number that is given in its place ("93 octane" for a grade)."""
    pointer = pointer_of(field)
    # "Premium 93" and "93 pump gas" hold the number and a word that says less.
    beside = {word for words in (field.synonyms, field.not_quite) for word in words}

    def read(value: object, spec: SpecInHand) -> None:
        choice = read_choice(value, field.label, choices, field.synonyms, field.not_quite)
        if not isinstance(choice, Fault):
            word, note = choice
            spec.known.choices[field.path] = word
            if note:
                spec.known.understood.append((field.path, note))
            return
        for number in numbers:
            reading = number.reading(_without(beside, value) if isinstance(value, str) else value)
            if not isinstance(reading, Fault):
                number.take(reading, spec)
                return
        spec.fault(pointer, choice)

    return read


def _without(words: Collection[str], text: str) -> str:
    return " ".join(part for part in text.split() if part.casefold() not in words)
