"""rules/checks/<check-id>.yaml: what is judged, where, against which limits, and in which words."""

from service.rulebook.inputs import UNKNOWN
from service.rulebook.model import Bound, Check, Contradiction, Example
from service.rulebook.routes import Choices, guard_of, parse_guard
from service.rulebook.section import Section, suggest
from service.rulebook.text import Sentence, parse_sentence
from service.rulebook.yaml_file import Entries, Items, Text

VERDICTS = ("pass", "warn", "fail")


def parse_check(id: str, entries: Entries, file: str, choices: Choices, dimension_of) -> Check:
    """One check; `dimension_of(name)` tells the dimension of a quantity or input, or None."""
    section = Section(file, id, entries, 1)
    collects = section.text("collects", None) is not None
    judges = None if collects else str(section.text("judges"))
    if judges and dimension_of(judges) is None:
        section.fail(f"judges `{judges}`, which is no quantity.", "", section.line_of("judges"))
    applies_when, applies_above = _applies(section, choices, dimension_of)
    second = section.entries("second_look", {})
    check = Check(
        id=id,
        title=str(section.sentence("title")),
        judges=judges,
        points=tuple(str(point) for point in section.items("at", ())),
        second_look=tuple(str(point) for point in second.get("at", ())),
        applies_when=applies_when,
        applies_above=applies_above,
        otherwise=section.sentence("otherwise", None),
        limits={} if collects else _limits(section, judges, choices, dimension_of),
        text=_texts(section, collects, bool(second)),
        levers=_levers(section),
        cautions=tuple(str(caution) for caution in section.items("caution", ())),
        examples=_examples(section),
        file=file,
        line=1,
        collects=collects,
        contradictions=_contradictions(section, choices, dimension_of) if collects else (),
        asks=tuple(str(name) for name in section.items("asks", ())),
    )
    if (applies_when or applies_above) and check.otherwise is None:
        section.fail("says when it applies but not what to say otherwise.", "Add `otherwise:` with one sentence.", section.line_of("applies_when"))
    section.finish()
    return check


def _applies(section: Section, choices: Choices, dimension_of) -> tuple[dict, tuple]:
    entries = section.entries("applies_when", {})
    above = []
    guards = {}
    for name, node in entries.items():
        if isinstance(node, Entries) and set(node) == {"above"}:
            dimension = dimension_of(name)
            if dimension is None:
                section.fail(f"applies above a value of `{name}`, which is no number.", "", name.line)
            above.append((str(name), section.si(node["above"], dimension, "applies_when")))
        else:
            guards[name] = node
    return guard_of(section, guards, choices), tuple(above)


def _limits(section: Section, judges: str, choices: Choices, dimension_of) -> dict[str, tuple[Bound, ...]]:
    limits = {}
    node = section.section("limits")
    for level in ("warn", "fail"):
        if node.has(level):
            limits[level] = _bounds(node.section(level), judges, choices, dimension_of)
            node.taken.add(level)
    if not limits:
        section.fail("has no limits.", "Give `warn:`, `fail:` or both.", section.line_of("limits"))
    node.finish()
    return limits


def _bounds(section: Section, judges: str, choices: Choices, dimension_of) -> tuple[Bound, ...]:
    source = str(section.text("source"))
    judged = str(section.text("judges", judges))
    dimension = dimension_of(judged)
    if dimension is None:
        section.fail(f"judges `{judged}`, which is no quantity.", "", section.line_of("judges"))
    bounds = []
    for side in ("below", "above"):
        if section.has(side):
            bounds.append(_bound(section, side, source, judged, dimension, choices, dimension_of))
    if not bounds:
        section.fail("gives neither `below` nor `above`.", "Write `below: 1.2` or `above: 30 deg`.")
    section.finish()
    return tuple(bounds)


def _bound(section: Section, side: str, source: str, judged: str, dimension: str, choices: Choices, dimension_of) -> Bound:
    node = section.take(side)
    if isinstance(node, Text):
        if dimension_of(node) is not None:
            if dimension_of(node) != dimension:
                section.fail(f"sets `{judged}` against `{node}`, which is another dimension.", "", node.line)
            return Bound(side, None, str(node), (), (), source, judged)
        return Bound(side, section.si(node, dimension, side), None, (), (), source, judged)
    by, rows = rows_by_choice(section, side, node, dimension, choices)
    return Bound(side, None, None, by, rows, source, judged)


def rows_by_choice(section: Section, key: str, node: object, dimension: str, choices: Choices) -> tuple[tuple[str, ...], tuple]:
    """`{by: usage, street: 1.25, unknown: 1.25}` or `{by: [a, b], rows: [[x, y, 1.25], ...]}`."""
    if not isinstance(node, Entries) or "by" not in node:
        section.fail(f"has a `{key}` that is neither a number nor a list by choice.", "Write `{by: usage, street: 1.25, unknown: 1.25}`.", section.line_of(key))
    by = [node["by"]] if isinstance(node["by"], str) else list(node["by"])
    for name in by:
        if name not in choices:
            section.fail(f"has a limit by `{name}`, which is no choice.", suggest(name, choices), name.line)
    if "rows" in node:
        raw = [(tuple(row[:-1]), row[-1], row.line) for row in node["rows"]]
    else:
        raw = [((word,), value, word.line) for word, value in node.items() if word != "by"]
    rows = []
    for words, value, line in raw:
        if len(words) != len(by):
            section.fail(f"has a row with {len(words)} choices for {len(by)} names.", "", line)
        for name, word in zip(by, words):
            if word != "*" and word not in (*choices[name], UNKNOWN):
                section.fail(f"has a limit for `{name}` being `{word}`, which it never is.", f"Its words: {', '.join(choices[name])}, unknown.{suggest(word, choices[name])}", line)
        rows.append((tuple(str(word) for word in words), section.si(value, dimension, key)))
    for position, name in enumerate(by):
        if not any(row[0][position] in (UNKNOWN, "*") for row in rows):
            section.fail(f"has no limit for an unknown `{name}`.", "Add a row `unknown:` with the limit to use when it was not said.", node.line)
    return tuple(str(name) for name in by), tuple(rows)


def _texts(section: Section, collects: bool, second: bool) -> dict[str, tuple[Sentence, ...]]:
    node = section.section("text")
    wanted = VERDICTS + (("second_look",) if second else ())
    texts = {}
    for verdict in wanted:
        if collects and verdict != "pass":
            continue
        texts[verdict] = tuple(sentence(node, text) for text in node.items(verdict))
    node.finish()
    return texts


def sentence(section: Section, text: object) -> Sentence:
    """One sentence, its placeholders vetted."""
    if not isinstance(text, Text):
        section.fail("wants sentences in its `text`.", "Write each on a `- ` line.")
    try:
        return parse_sentence(text, text.line)
    except ValueError as error:
        section.fail(str(error), "", text.line)


def _levers(section: Section) -> dict[str, str]:
    levers = {}
    for name, way in section.entries("levers", {}).items():
        if way not in ("up", "down"):
            section.fail(f"moves the lever `{name}` `{way}`.", "Use up or down.", name.line)
        levers[str(name)] = str(way)
    return levers


def _examples(section: Section) -> tuple[Example, ...]:
    examples = []
    for node in section.items("examples", Items()):
        example = Section(section.file, f"{section.name}.examples", node, getattr(node, "line", section.line))
        within = example.si(example.text("within", Text("0.1 %")), "ratio", "within")
        examples.append(Example(dict(example.entries("given")), dict(example.entries("expect")), within, str(example.text("source")), example.line))
        example.finish()
    return tuple(examples)


def _contradictions(section: Section, choices: Choices, dimension_of) -> tuple[Contradiction, ...]:
    found = []
    for id, node in section.entries("contradictions", {}).items():
        entry = Section(section.file, f"{section.name}.{id}", node, id.line)
        quantity = str(entry.text("quantity"))
        if dimension_of(quantity) is None:
            entry.fail(f"looks at `{quantity}`, which is no number.", "", entry.line_of("quantity"))
        side = "above" if entry.has("above") else "below"
        number = entry.si(entry.text(side), dimension_of(quantity), side)
        found.append(
            Contradiction(
                str(id),
                parse_guard(entry, "when", choices),
                quantity,
                side,
                number,
                str(entry.one_of("verdict", ("warn", "fail"))),
                tuple(sentence(entry, text) for text in entry.items("text")),
                str(entry.text("source")),
            )
        )
        entry.finish()
    return tuple(found)
