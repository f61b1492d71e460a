"""rules/inputs.yaml: what a client may say."""

import math
from dataclasses import dataclass, field

from service.rulebook.files.section import Section, instead
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.names import WORD
from service.units.messy_text import PLAIN
from service.units.number_form import NumberForm
from service.units.units import DIMENSIONS, find_unit, offer

KINDS = ("number", "choice", "flag", "count", "curve", "map")
UNKNOWN = "unknown"


@dataclass(frozen=True)
class Axis:
    """One axis of a curve: its word on the wire, dimension and reading."""

    word: str
    dimension: str
    reading: str | None


@dataclass(frozen=True)
class Input:
    """One field of the build spec."""

    path: str
    kind: str
    label: str
    ask: str
    line: int
    reading: str | None = None
    words: dict[str, str] = field(default_factory=dict)
    form: NumberForm | None = None
    usual: dict[str, tuple[float, float]] = field(default_factory=dict)
    usual_source: str | None = None
    steps: dict[str, dict[str, tuple[float, str]]] = field(default_factory=dict)
    possible_count: tuple[int, int] = (0, 0)
    choices: dict[str, str] = field(default_factory=dict)
    choices_from: str | None = None
    unknown: str = ""
    synonyms: dict[str, str] = field(default_factory=dict)
    not_quite: dict[str, tuple[str, str]] = field(default_factory=dict)
    place: str | None = None
    rarely_known: bool = False
    could_mean: tuple[str, ...] = ()
    axes: tuple[Axis, ...] = ()
    points: tuple[int, int] = (2, 50)
    shape: str | None = None
    lists: dict[str, tuple[Axis, ...]] = field(default_factory=dict)
    required: tuple[str, ...] = ()

    @property
    def group(self) -> str:
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        return self.path.rpartition(".")[2]


def parse_inputs(entries: Entries, file: str) -> dict[str, Input]:
    """Every input by its path."""
    return {str(path): _input(Section(file, path, entries[path], path.line)) for path in entries}


def _input(section: Section) -> Input:
    if not all(WORD.match(part) for part in section.name.split(".")) or section.name.count(".") > 1:
        section.fail(
            "is not a name the language has.", "Use lower-case words joined by underscores, one dot at most."
        )
    kind = section.one_of("kind", KINDS)
    common = {
        "path": str(section.name),
        "kind": str(kind),
        "label": str(section.text("label")),
        "ask": str(section.sentence("ask")),
        "line": section.line,
    }
    made = _READERS[kind](section, common)
    section.finish()
    return made


def _number(section: Section, common: dict) -> Input:
    reading = section.one_of("reading", ("gauge", "absolute", "difference", "level"), None)
    words = _words(section)
    possible = _ranges(section, "possible", words)
    if possible is None:
        section.fail(
            "lacks `possible`.",
            "Add the range beyond which the value cannot be right: `possible: [low, high]`.",
        )
    if "pressure" in words and reading is None:
        section.fail("is a pressure without a reading.", "Add `reading: gauge`, `absolute` or `difference`.")
    place = section.text("place", None)
    usual = _ranges(section, "usual", words) or {}
    form = NumberForm(
        label=common["label"],
        dimensions=tuple(words),
        possible=possible,
        reading=reading,
        range=section.one_of("range", ("judge_high", "judge_low"), None),
        forms=tuple(str(form) for form in section.items("forms", ())),
        has_place=place is not None,
        usual=usual,
    )
    return Input(
        **common,
        reading=reading,
        words=words,
        form=form,
        usual=usual,
        usual_source=section.text("usual_source", None),
        steps=_steps(section, form),
        place=place,
        rarely_known=section.one_of("rarely_known", ("yes",), None) is not None,
        could_mean=tuple(str(path) for path in section.items("could_mean", ())),
    )


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


def _ranges(section: Section, key: str, words: dict[str, str]) -> dict[str, tuple[float, float]] | None:
    node = section.take(key, None)
    if node is None:
        return None
    if not isinstance(node, Entries):
        node = {dimension: node for dimension in words}
    ranges = {}
    for dimension, pair in node.items():
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


def _steps(section: Section, form: NumberForm) -> dict[str, dict[str, tuple[float, str]]]:
    """`step: 1 lb/h`, by display system `{metric: 0.1 bar, us: 1 psi}`, and by dimension where an input has several."""
    node = section.take("step", None)
    if node is None:
        return {}
    if not (isinstance(node, Entries) and set(node) <= set(form.dimensions)):
        node = {form.dimensions[0]: node}
    return {
        str(dimension): {
            system: _step(section, form, dimension, text)
            for system, text in _by_system(section, texts).items()
        }
        for dimension, texts in node.items()
    }


def _by_system(section: Section, texts: object) -> dict[str, str]:
    if not isinstance(texts, Entries):
        return {"metric": texts, "us": texts}
    if set(texts) != {"metric", "us"}:
        section.fail(
            "has a `step` that is not by display system.",
            "Write `step: {metric: 0.1 bar, us: 1 psi}`, or one step for both.",
            section.line_of("step"),
        )
    return {str(system): text for system, text in texts.items()}


def _step(section: Section, form: NumberForm, dimension: str, text: object) -> tuple[float, str]:
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
    return number, spelling


def _choice(section: Section, common: dict) -> Input:
    choices_from = section.text("choices_from", None)
    choices = {} if choices_from else section.entries("choices")
    return Input(
        **common,
        choices={str(word): str(phrase) for word, phrase in choices.items()},
        choices_from=choices_from,
        unknown=str(section.sentence("unknown", "not stated")),
        synonyms={str(word): str(choice) for word, choice in section.entries("synonyms", {}).items()},
        not_quite=_not_quite(section),
    )


def _not_quite(section: Section) -> dict[str, tuple[str, str]]:
    """Words that are refused with the nearest choice and the difference."""
    made = {}
    for word, pair in section.entries("not_quite", {}).items():
        if not isinstance(pair, Items) or len(pair) != 2:
            section.fail(
                "has a `not_quite` that is not a choice and a reason.",
                "Write `not_quite: {word: [choice, the difference in one sentence]}`.",
                word.line,
            )
        made[str(word)] = (str(pair[0]), str(pair[1]))
    return made


def _flag(section: Section, common: dict) -> Input:
    return Input(
        **common, choices={"yes": "yes", "no": "no"}, unknown=str(section.sentence("unknown", "not stated"))
    )


def _count(section: Section, common: dict) -> Input:
    low, high = _whole_pair(section, "possible")
    return Input(**common, words={"count": common["path"]}, possible_count=(low, high))


def _whole_pair(section: Section, key: str) -> tuple[int, int]:
    low, high = (section.whole(text, key) for text in section.pair(key))
    if not low < high:
        section.fail(
            f"has a `{key}` whose low end is not below its high end.",
            f"Write `{key}: [low, high]`.",
            section.line_of(key),
        )
    return low, high


def _curve(section: Section, common: dict) -> Input:
    points = _whole_pair(section, "points")
    axes = tuple(_axis(section.section(key)) for key in ("x", "y"))
    return Input(
        **common, axes=axes, points=points, shape=section.one_of("shape", ("falling", "rising"), None)
    )


def _axis(section: Section) -> Axis:
    axis = Axis(
        str(section.text("word")),
        str(section.dimension()),
        section.one_of("reading", ("gauge", "absolute", "difference"), None),
    )
    section.finish()
    return axis


def _map(section: Section, common: dict) -> Input:
    points = _whole_pair(section, "points")
    lists = {}
    for part in section.entries("lists"):
        axes = section.section("lists").items(part)
        lists[str(part)] = tuple(
            _axis(Section(section.file, f"{section.name}.{part}", node, node.line)) for node in axes
        )
    required = tuple(str(part) for part in section.items("required"))
    return Input(**common, lists=lists, required=required, points=points)


_READERS = {
    "number": _number,
    "choice": _choice,
    "flag": _flag,
    "count": _count,
    "curve": _curve,
    "map": _map,
}
