"""`step:` of an input: the values people can buy or set, by unit system."""

import math

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Node, Text
from service.rulebook.input import Step
from service.units.messy_text import PLAIN
from service.units.number_form import NumberForm
from service.units.units import find_unit, offer

# A search that doubles its stride 24 times (advice/search.py) sees four times as many; past them it would
# take what it has not looked at for good.
MOST_RUNGS = 4_000_000


def parse_steps(section: Section, form: NumberForm) -> dict[str, dict[str, Step]]:
    """`step: 1 lb/h`, by display system `{metric: 0.1 bar, us: 1 psi}`, and by dimension where an input has
    several.
    """
    node = section.take("step", None)
    if node is None:
        return {}
    by_dimension: dict[str, Node] = (
        {str(dimension): texts for dimension, texts in node.items()}
        if isinstance(node, Entries) and set(node) <= set(form.dimensions)
        else {form.dimensions[0]: node}
    )
    return {
        dimension: {
            system: _step(section, form, dimension, text)
            for system, text in _by_system(section, texts).items()
        }
        for dimension, texts in by_dimension.items()
    }


def _by_system(section: Section, texts: Node) -> dict[str, Node]:
    if not isinstance(texts, Entries):
        return {"metric": texts, "us": texts}
    if set(texts) != {"metric", "us"}:
        section.fail(
            "has a `step` that is not by display system.",
            "Write `step: {metric: 0.1 bar, us: 1 psi}`, or one step for both.",
            section.line_of("step"),
        )
    return {str(system): text for system, text in texts.items()}


def _step(section: Section, form: NumberForm, dimension: str, text: Node) -> Step:
    """A number and a unit as a client may write it, so that whole multiples can be proposed to one."""
    split = PLAIN.fullmatch(text) if isinstance(text, Text) else None
    number, spelling = (float(split[1]), split[2].strip()) if split else (0.0, "")
    unit = find_unit(dimension, spelling)
    # A unit that says at the wheels would state the place of the power as well.
    if unit is None or unit.place is not None or not 0 < number < math.inf:
        section.fail(
            "has a `step` that is no number above zero with a unit that fits.",
            f"Write {offer(dimension)}.",
            section.line_of("step"),
        )
    low, high = form.possible[dimension]
    if number * unit.factor * MOST_RUNGS < high - low:
        section.fail(
            f"has a `step` of `{text}`, so small that nothing could be found within what is possible.",
            "Write the step in which it is bought or set.",
            section.line_of("step"),
        )
    return Step(number, spelling)
