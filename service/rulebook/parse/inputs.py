"""rules/inputs.yaml: what a client may say."""

from collections.abc import Callable
from dataclasses import dataclass

from service.rulebook.files.section import Section, instead
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.input import Axis, Input, NotQuite
from service.rulebook.names import WORD
from service.rulebook.parse.proposals import parse_proposal, parse_sizes
from service.rulebook.parse.spellings import parse_bare, parse_short_for, parse_taken_in, parse_texts
from service.rulebook.parse.steps import parse_steps
from service.units.number_form import NumberForm
from service.units.units import DIMENSIONS

# A choice and the reason.
LEAST_OF_NOT_QUITE = 2
KINDS = ("number", "choice", "flag", "count", "curve", "map")


@dataclass(frozen=True)
class _Common:
    """What every kind of input says of itself."""

    path: str
    kind: str
    label: str
    ask: str
    line: int


def parse_input(section: Section) -> Input:
    """One entry of inputs.yaml."""
    if not all(WORD.match(part) for part in section.name.split(".")) or section.name.count(".") > 1:
        section.fail(
            "is not a name the language has.", "Use lower-case words joined by underscores, one dot at most."
        )
    kind = section.one_of("kind", KINDS)
    common = _Common(
        section.name, kind, str(section.text("label")), str(section.sentence("ask")), section.line
    )
    parsed = _READERS[kind](section, common)
    section.finish()
    return parsed


def _number(section: Section, common: _Common) -> Input:
    reading = section.one_of("reading", ("gauge", "absolute", "difference", "level"), None)
    words = _words(section)
    possible = _ranges(section, "possible", words)
    if "pressure" in words and reading is None:
        section.fail("is a pressure without a reading.", "Add `reading: gauge`, `absolute` or `difference`.")
    place = section.text("place", None)
    usual = _ranges(section, "usual", words) if section.has("usual") else {}
    could_mean = parse_texts(section, "could_mean")
    form = NumberForm(
        label=common.label,
        dimensions=tuple(words),
        possible=possible,
        reading=reading,
        range=section.one_of("range", ("judge_high", "judge_low"), None),
        forms=section.words("forms"),
        has_place=place is not None,
        usual=usual,
        bare=parse_bare(section, words),
        short_for=parse_short_for(section, words),
        scales=tuple(could_mean),
    )
    steps = parse_steps(section, form)
    return Input(
        **vars(common),
        **parse_proposal(section, common.label)._asdict(),
        reading=reading,
        words=words,
        form=form,
        usual=usual,
        usual_source=str(section.text("usual_source")) if usual else None,
        steps=steps,
        sizes=parse_sizes(section, form, steps),
        stepped_in=_stepped_in(section, words),
        place=str(place) if place else None,
        rarely_known=section.one_of("rarely_known", ("yes",), None) is not None,
        could_mean=could_mean,
        taken_in=parse_taken_in(section, could_mean),
        at=section.words("at"),
    )


def _stepped_in(section: Section, words: dict[str, str]) -> dict[str, str]:
    """In which dimension an input is bought, by display system, where it may be given in several."""
    listed = section.entries("stepped_in", Entries())
    for system, dimension in listed.items():
        if system not in ("metric", "us") or dimension not in words:
            section.fail(
                f"is stepped in `{dimension}` for `{system}`, which it cannot be.",
                f"Write `stepped_in: {{us: dimension}}` with one of {', '.join(words)}.",
                system.line,
            )
    return {str(system): str(dimension) for system, dimension in listed.items()}


def _words(section: Section) -> dict[str, str]:
    if not section.has("words"):
        return {str(section.dimension()): str(section.name)}
    words = section.entries("words")
    for dimension in words:
        if dimension not in DIMENSIONS:
            section.fail(
                f"has a word for `{dimension}`, which is no dimension.",
                instead(dimension, DIMENSIONS, "Name a dimension of units.py."),
                dimension.line,
            )
    return {str(dimension): str(word) for dimension, word in words.items()}


def _ranges(section: Section, key: str, words: dict[str, str]) -> dict[str, tuple[float, float]]:
    """Low and high in SI by dimension; `possible` needs them for every word of the input."""
    if key == "possible" and not section.has(key):
        section.fail(
            "lacks `possible`.",
            "Add the range beyond which the value cannot be right: `possible: [low, high]`.",
        )
    node = section.take(key)
    pairs = dict(node) if isinstance(node, Entries) else dict.fromkeys(map(Text, words), node)
    ranges = {}
    for dimension, pair in pairs.items():
        if dimension not in words or not isinstance(pair, Items) or len(pair) != 2:
            section.fail(
                f"has a `{key}` that is not a pair for its dimension.",
                f"Write `{key}: [low, high]`.",
                section.line_of(key),
            )
        low, high = (section.si(text, dimension, key) for text in pair)
        if not low < high:
            section.fail(
                f"has a `{key}` whose low end is not below its high end.",
                f"Write `{key}: [low, high]`.",
                section.line_of(key),
            )
        ranges[str(dimension)] = (low, high)
    if set(ranges) != set(words) and key == "possible":
        section.fail(
            "lacks `possible` for one of its words.",
            "Write `possible: {mass_flow: [low, high], volume_flow: [low, high]}`.",
            section.line_of(key),
        )
    return ranges


def _choice(section: Section, common: _Common) -> Input:
    choices_from = section.text("choices_from", None)
    choices = Entries() if choices_from else section.entries("choices")
    return Input(
        **vars(common),
        choices={str(word): str(phrase) for word, phrase in choices.items()},
        choices_from=str(choices_from) if choices_from else None,
        unknown=str(section.sentence("unknown", "not given")),
        synonyms={str(word): str(choice) for word, choice in section.entries("synonyms", Entries()).items()},
        not_quite=_not_quite(section),
        or_number=section.words("or_number"),
    )


def _not_quite(section: Section) -> dict[str, NotQuite]:
    """Words that are refused with the nearest choice and the difference, or with the reason alone."""
    refused = {}
    for word, pair in section.entries("not_quite", Entries()).items():
        if isinstance(pair, Text):
            refused[str(word)] = NotQuite((), str(pair))
            continue
        if not isinstance(pair, Items) or len(pair) < LEAST_OF_NOT_QUITE:
            section.fail(
                "has a `not_quite` that is not a choice and a reason.",
                "Write `not_quite: {word: [choice, the difference in one sentence]}`, or the reason alone.",
                word.line,
            )
        *choices, difference = map(str, pair)
        refused[str(word)] = NotQuite(tuple(choices), difference)
    return refused


def _flag(section: Section, common: _Common) -> Input:
    return Input(
        **vars(common),
        choices={"yes": "yes", "no": "no"},
        unknown=str(section.sentence("unknown", "not given")),
    )


def _count(section: Section, common: _Common) -> Input:
    low, high = _whole_pair(section, "possible")
    return Input(
        **vars(common),
        **parse_proposal(section, common.label)._asdict(),
        words={"count": common.path},
        possible_count=(low, high),
    )


def _whole_pair(section: Section, key: str) -> tuple[int, int]:
    low, high = (section.whole(text, key) for text in section.pair(key))
    if not low < high:
        section.fail(
            f"has a `{key}` whose low end is not below its high end.",
            f"Write `{key}: [low, high]`.",
            section.line_of(key),
        )
    return low, high


def _curve(section: Section, common: _Common) -> Input:
    points = _whole_pair(section, "points")
    axes = tuple(_axis(section.section(key)) for key in ("x", "y"))
    return Input(
        **vars(common), axes=axes, points=points, shape=section.one_of("shape", ("falling", "rising"), None)
    )


def _axis(section: Section) -> Axis:
    reading = section.one_of("reading", ("gauge", "absolute", "difference"), None)
    axis = Axis(str(section.text("word")), section.dimension(), reading)
    section.finish()
    return axis


def _map(section: Section, common: _Common) -> Input:
    points = _whole_pair(section, "points")
    lists = {}
    for part in section.entries("lists"):
        axes = section.section("lists").items(part)
        name = f"{section.name}.{part}"
        lists[str(part)] = tuple(
            _axis(Section(section.file, name, node, getattr(node, "line", part.line))) for node in axes
        )
    return Input(**vars(common), lists=lists, required=section.words("required"), points=points)


_READERS: dict[str, Callable[[Section, _Common], Input]] = {
    "number": _number,
    "choice": _choice,
    "flag": _flag,
    "count": _count,
    "curve": _curve,
    "map": _map,
}
