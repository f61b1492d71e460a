"""rules/checks/<check-id>.yaml: what is judged, where, against which limits, and in which words."""

from itertools import product

from service.rulebook.files.section import Section, instead, suggest
from service.rulebook.files.text import Sentence, sentence
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.model import Bound, Check, Contradiction, Example
from service.rulebook.names import identifier, shown
from service.rulebook.parse.inputs import UNKNOWN
from service.rulebook.parse.routes import Choices, guard_of, parse_guard
from service.rulebook.parse.watches import parse_watch
from service.units.units import DIMENSIONS, offer

VERDICTS = ("pass", "warn", "fail")
Numbers = dict[str, str]
"""Identifier of a quantity or input -> its dimension."""


def parse_check(id: str, entries: Entries, file: str, choices: Choices, numbers: Numbers) -> Check:
    """One check; `numbers` tells the dimension of every quantity and input by its identifier."""
    section = Section(file, id, entries, 1)
    collects = section.text("collects", None) is not None
    judges = None if collects else str(section.text("judges"))
    if judges:
        _dimension(section, judges, numbers, "judges", section.line_of("judges"))
    applies_when, applies_above = _applies(section, choices, numbers)
    second = _second_look(section)
    limits = {} if collects else _limits(section, judges, choices, numbers)
    check = Check(
        id=id,
        title=str(section.sentence("title")),
        judges=judges,
        points=tuple(str(point) for point in section.items("at", ())),
        also_at=tuple(str(point) for point in section.items("also_at", ())),
        second_look=second,
        applies_when=applies_when,
        applies_above=applies_above,
        otherwise=section.sentence("otherwise", None),
        limits=limits,
        text=_texts(section, limits, bool(second), section.has("eased_when")),
        levers=_levers(section),
        cautions=tuple(str(caution) for caution in section.items("caution", ())),
        examples=_examples(section),
        file=file,
        line=1,
        collects=collects,
        contradictions=_contradictions(section, choices, numbers) if collects else (),
        shows=tuple(str(name) for name in section.items("shows", ())),
        eased_when=parse_guard(section, "eased_when", choices),
        watch=parse_watch(section.section("watch")) if section.has("watch") else None,
    )
    if (applies_when or applies_above) and check.otherwise is None:
        section.fail(
            "says when it applies but not what to say otherwise.",
            "Add `otherwise:` with one sentence.",
            section.line_of("applies_when"),
        )
    section.finish()
    return check


def _dimension(section: Section, name: str, numbers: Numbers, verb: str, line: int) -> str:
    if identifier(name) not in numbers:
        section.fail(
            f"{verb} `{name}`, which is no quantity.",
            instead(name, [shown(known) for known in numbers], "Add it to a file in quantities/."),
            line,
        )
    return numbers[identifier(name)]


def _second_look(section: Section) -> tuple[str, ...]:
    if not section.has("second_look"):
        return ()
    second = section.section("second_look")
    section.taken.add("second_look")
    points = tuple(str(point) for point in second.items("at"))
    second.finish()
    return points


def _applies(section: Section, choices: Choices, numbers: Numbers) -> tuple[dict, tuple]:
    entries = section.entries("applies_when", {})
    above = []
    guards = {}
    for name, node in entries.items():
        if isinstance(node, Entries) and set(node) == {"above"}:
            dimension = _dimension(section, name, numbers, "applies above a value of", name.line)
            above.append((str(name), section.si(node["above"], dimension, "applies_when")))
        else:
            guards[name] = node
    return guard_of(section, guards, choices), tuple(above)


def _limits(
    section: Section, judges: str, choices: Choices, numbers: Numbers
) -> dict[str, tuple[Bound, ...]]:
    limits = {}
    node = section.section("limits")
    for level in ("warn", "fail"):
        if node.has(level):
            limits[level] = _level(node, level, judges, choices, numbers)
    if not limits:
        section.fail("has no limits.", "Give `warn:`, `fail:` or both.", section.line_of("limits"))
    node.finish()
    return limits


def _level(node: Section, level: str, judges: str, choices: Choices, numbers: Numbers) -> tuple[Bound, ...]:
    """One entry of limits, or a list of them where a level looks at several quantities."""
    if not isinstance(node.node[level], Items):
        return _bounds(node.section(level), judges, choices, numbers)
    entries = [Section(node.file, f"{node.name}.{level}", entry, entry.line) for entry in node.items(level)]
    return tuple(bound for entry in entries for bound in _bounds(entry, judges, choices, numbers))


def _bounds(section: Section, judges: str, choices: Choices, numbers: Numbers) -> tuple[Bound, ...]:
    source = str(section.text("source"))
    judged = str(section.text("judges", judges))
    dimension = _dimension(section, judged, numbers, "judges", section.line_of("judges"))
    bounds = []
    for side in ("below", "above"):
        if section.has(side):
            bounds.append(_bound(section, side, source, judged, dimension, choices, numbers))
    if not bounds:
        section.fail("gives neither `below` nor `above`.", "Write `below: 1.2` or `above: 30 deg`.")
    section.finish()
    return tuple(bounds)


def _bound(
    section: Section, side: str, source: str, judged: str, dimension: str, choices: Choices, numbers: Numbers
) -> Bound:
    node = section.take(side)
    if isinstance(node, Text):
        limit = numbers.get(identifier(node))
        if limit is not None:
            if limit != dimension:
                section.fail(
                    f"sets {DIMENSIONS[dimension].phrase}, `{judged}`, against {DIMENSIONS[limit].phrase}, `{node}`.",
                    f"Name a quantity that is {DIMENSIONS[dimension].phrase}, or write {offer(dimension)}.",
                    node.line,
                )
            return Bound(side, None, str(node), (), (), source, judged)
        return Bound(side, section.si(node, dimension, side), None, (), (), source, judged)
    by, rows = rows_by_choice(section, side, node, dimension, choices)
    return Bound(side, None, None, by, rows, source, judged)


def rows_by_choice(
    section: Section, key: str, node: object, dimension: str, choices: Choices
) -> tuple[tuple[str, ...], tuple]:
    """`{by: usage, street: 1.25, unknown: 1.25}` or `{by: [a, b], rows: [[x, y, 1.25], ...]}`."""
    if not isinstance(node, Entries) or "by" not in node:
        section.fail(
            f"has a `{key}` that is neither a number nor a list by choice.",
            "Write `{by: usage, street: 1.25, unknown: 1.25}`.",
            section.line_of(key),
        )
    by = Section(section.file, section.name, node, node.line).items("by")
    for name in by:
        if not isinstance(name, Text) or name not in choices:
            section.fail(
                f"has a limit by `{name}`, which is no choice.",
                instead(name, choices, "Go by a choice or a flag of inputs.yaml."),
                name.line,
            )
    if "rows" in node:
        raw = [
            _row(section, row, node.line_of("rows"))
            for row in Section(section.file, section.name, node, node.line).items("rows")
        ]
    else:
        raw = [((word,), value, word.line) for word, value in node.items() if word != "by"]
    rows = []
    for words, value, line in raw:
        if len(words) != len(by):
            section.fail(
                f"has a row with {len(words)} choices for {len(by)} names.",
                f"Write [{', '.join(by)}, limit].",
                line,
            )
        for name, word in zip(by, words):
            if word != "*" and word not in (*choices[name], UNKNOWN):
                section.fail(
                    f"has a limit for `{name}` being `{word}`, which it never is.",
                    f"Its words: {', '.join(choices[name])}, unknown.{suggest(word, choices[name])}",
                    line,
                )
        rows.append((tuple(str(word) for word in words), section.si(value, dimension, key)))
    for position, name in enumerate(by):
        if not any(row[0][position] in (UNKNOWN, "*") for row in rows):
            section.fail(
                f"has no limit for an unknown `{name}`.",
                "Add a row `unknown:` with the limit to use when it was not said.",
                node.line,
            )
    for words in product(*((*choices[name], UNKNOWN) for name in by)):
        if not any(all(own in ("*", word) for own, word in zip(row, words)) for row, _ in rows):
            section.fail(
                f"has no limit for {', '.join(f'`{name}` being `{word}`' for name, word in zip(by, words))}.",
                "Add a row for it; `*` matches every word.",
                node.line,
            )
    return tuple(str(name) for name in by), tuple(rows)


def _row(section: Section, row: object, line: int) -> tuple[tuple, object, int]:
    if not isinstance(row, Items) or not row or not all(isinstance(cell, Text) for cell in row[:-1]):
        section.fail(
            "has a row that is not `[choices..., limit]`.",
            "Write `- [a, b, 1.25]`.",
            getattr(row, "line", line),
        )
    return tuple(row[:-1]), row[-1], row.line


def _texts(section: Section, levels, second: bool, eased: bool) -> dict[str, tuple[Sentence, ...]]:
    node = section.section("text")
    wanted = (
        [verdict for verdict in VERDICTS if verdict in levels or verdict == "pass"]
        + (["second_look"] if second else [])
        + (["eased"] if eased else [])
    )
    texts = {}
    for verdict in wanted:
        sentences = node.items(verdict)
        if node.node.flow or (sentences.flow and len(sentences) > 1):
            node.fail(
                f"holds sentences inside brackets under `{verdict}`, where YAML splits them at every comma.",
                "Write one `- ` line for each sentence.",
                sentences.line,
            )
        texts[verdict] = tuple(sentence(node, text) for text in sentences)
    node.finish()
    return texts


def _levers(section: Section) -> dict[str, str]:
    levers = {}
    for name, way in section.entries("levers", {}).items():
        if way not in ("up", "down"):
            section.fail(
                f"moves the lever `{name}` `{way}`.", f"Write `{name}: up` or `{name}: down`.", name.line
            )
        levers[str(name)] = str(way)
    return levers


def _examples(section: Section) -> tuple[Example, ...]:
    examples = []
    for node in section.items("examples", Items()):
        example = Section(section.file, f"{section.name}.examples", node, getattr(node, "line", section.line))
        within = example.si(example.text("within", Text("0.1 %")), "ratio", "within")
        examples.append(
            Example(
                _given(example),
                dict(example.entries("expect")),
                within,
                str(example.text("source")),
                example.line,
            )
        )
        example.finish()
    return tuple(examples)


def _given(example: Section) -> dict:
    given = example.entries("given")
    for name in given:
        group = name.rpartition(".")[0]
        if group in given:
            example.fail(
                f"gives `{name}` beside `{group}`, which is no group then.",
                "Give an input its value or a group its fields, not both.",
                name.line,
            )
    return dict(given)


def _contradictions(section: Section, choices: Choices, numbers: Numbers) -> tuple[Contradiction, ...]:
    found = []
    for id, node in section.entries("contradictions", {}).items():
        entry = Section(section.file, f"{section.name}.{id}", node, id.line)
        quantity = str(entry.text("quantity"))
        dimension = _dimension(entry, quantity, numbers, "looks at", entry.line_of("quantity"))
        side = "above" if entry.has("above") else "below"
        number = entry.si(entry.text(side), dimension, side)
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
                entry.text("asks_for", None),
            )
        )
        entry.finish()
    return tuple(found)
