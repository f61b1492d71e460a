"""How people write the numbers of an input: what they leave out, and what goes without saying."""

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items
from service.units.units import find_unit, offer


def parse_texts(section: Section, key: str) -> dict[str, str]:
    """A text for each word under a key."""
    return {str(word): str(text) for word, text in section.entries(key, Entries()).items()}


def parse_taken_in(section: Section, could_mean: dict[str, str]) -> dict[str, str]:
    """Of which kind a number is where that goes without saying, by display system."""
    listed = section.entries("taken_in", Entries())
    for system, word in listed.items():
        if system not in ("metric", "us") or word not in could_mean:
            section.fail(
                f"is taken for `{word}` in `{system}`, which it cannot be.",
                f"Write `taken_in: {{us: word}}` with one of {', '.join(could_mean) or 'could_mean'}.",
                system.line,
            )
    return {str(system): str(word) for system, word in listed.items()}


def parse_short_for(section: Section, words: dict[str, str]) -> dict[str, str]:
    """What the trade leaves out of a unit; each is short for a unit that the input takes."""
    listed = section.entries("short_for", Entries())
    for word, unit in listed.items():
        if not any(find_unit(dimension, str(unit)) for dimension in words):
            section.fail(
                f"reads `{word}` as `{unit}`, which is no unit of it.",
                f"Write {' or '.join(offer(dimension) for dimension in words)}.",
                word.line,
            )
    return {word.casefold(): str(unit) for word, unit in listed.items()}


def parse_bare(section: Section, words: dict[str, str]) -> dict[str, tuple[float, float]]:
    """By unit, within which range people leave it out."""
    ranges = {}
    listed = section.entries("bare", Entries())
    for unit, pair in listed.items():
        dimension = next((dimension for dimension in words if find_unit(dimension, unit)), None)
        if dimension is None or not isinstance(pair, Items) or len(pair) != 2:
            section.fail(
                f"has `{unit}` under `bare`, which is not a unit of it with a pair.",
                "Write `bare: {unit: [low, high]}`.",
                unit.line,
            )
        low, high = (section.si(text, dimension, "bare") for text in pair)
        ranges[str(unit)] = (low, high)
    return ranges
