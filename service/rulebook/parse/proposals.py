"""`effort:`, `usual_sizes:` and `remedy:` of an input: what it takes to change it, and how that is said."""

from typing import NamedTuple

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.input import EFFORTS, Sizes, Step
from service.units.number_form import NumberForm
from service.units.units import find_unit, offer

SYSTEMS = ("metric", "us")
VALUE = "{value}"


class Proposal(NamedTuple):
    """What an input says of being changed: what that takes, and the words for a new value."""

    effort: str
    remedy: str


def parse_proposal(section: Section, label: str) -> Proposal:
    """A part that is bolted on, and the label with the value, where nothing else is written."""
    inside = label if label[:2].isupper() else label[:1].lower() + label[1:]
    remedy = section.sentence("remedy", f"{inside} of {VALUE}")
    if str(remedy).count(VALUE) != 1 or str(remedy).count("{") != 1:
        section.fail(
            "has a `remedy` that does not hold {value} once.",
            'Write `remedy: "a clutch for {value}"`.',
            section.line_of("remedy"),
        )
    return Proposal(section.one_of("effort", EFFORTS, "bolt_on"), str(remedy))


def parse_sizes(section: Section, form: NumberForm, steps: dict[str, dict[str, Step]]) -> tuple[Sizes, ...]:
    """The sizes people can buy, by unit; of a number without a unit, by display system."""
    listed = section.entries("usual_sizes", Entries())
    return tuple(_sizes(section, form, steps, key, node) for key, node in listed.items())


def _sizes(
    section: Section, form: NumberForm, steps: dict[str, dict[str, Step]], key: Text, node: object
) -> Sizes:
    dimension, unit, system = form.dimensions[0], str(key), None
    if key in SYSTEMS and dimension in steps:
        system, unit = str(key), steps[dimension][key].unit
    found = [name for name in form.dimensions if find_unit(name, unit) is not None]
    if not found:
        section.fail(
            f"has `usual_sizes` in `{key}`, which is no unit of it.",
            f"Write a unit, such as {offer(dimension)}, or metric or us.",
            key.line,
        )
    sizes = Sizes(found[0], system, unit, ())
    return sizes._replace(numbers=_numbers(section, form, sizes, key, node))


def _numbers(section: Section, form: NumberForm, sizes: Sizes, key: Text, node: object) -> tuple[float, ...]:
    if not isinstance(node, Items):
        section.fail("needs a list of sizes.", f"Write `{key}: [19, 24, 30]`.", key.line)
    dimension = sizes.dimension
    low, high = form.usual.get(dimension) or form.possible[dimension]
    values = [section.si(f"{text} {sizes.unit}".rstrip(), dimension, "usual_sizes") for text in node]
    if not values or values != sorted(set(values)) or not low <= values[0] <= values[-1] <= high:
        section.fail(
            "has `usual_sizes` that do not rise, or lie outside what is usual for it.",
            "Write them from the smallest to the largest.",
            key.line,
        )
    return tuple(float(str(text)) for text in node)
