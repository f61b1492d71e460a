"""What must hold between rule files: names exist and are given once, sources exist, units and readings fit."""

from service.rulebook.draft import Parts, Problems
from service.rulebook.files.section import instead
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.names import identifier
from service.rulebook.parse.inputs import UNKNOWN
from service.rulebook.verify.checks import verify_checks
from service.rulebook.verify.formulas import verify_formulas

ASSUMED = ("assumed", "lowest", "highest")


def verify(parts: Parts) -> None:
    """Everything but the sentences, which need the graph."""
    problems = Problems()
    _inputs(parts, problems)
    _tables(parts, problems)
    _assumptions(parts, problems)
    _collisions(parts, problems)
    _cautions(parts, problems)
    _display(parts, problems)
    verify_formulas(parts, problems)
    _sources(parts, problems)
    verify_checks(parts, problems)
    problems.raise_if_any()


def _inputs(parts: Parts, problems: Problems) -> None:
    for path, one in parts.inputs.items():
        for key, others in (("place", (one.place,) if one.place else ()), ("could_mean", one.could_mean)):
            for other in others:
                if other not in parts.inputs:
                    problems.add(
                        "inputs.yaml",
                        parts.line("inputs.yaml", path, key),
                        f"`{path}` names the input `{other}`, which is not there.",
                        instead(other, parts.inputs, "Name an input of inputs.yaml."),
                    )
        for said, meant in one.synonyms.items():
            if meant not in parts.choices[path]:
                problems.add(
                    "inputs.yaml",
                    parts.line("inputs.yaml", path, "synonyms", said),
                    f"`{path}` takes `{said}` for `{meant}`, which is none of its words.",
                    instead(meant, parts.choices[path], f"Its words: {', '.join(parts.choices[path])}."),
                )


def _tables(parts: Parts, problems: Problems) -> None:
    for table in parts.tables.values():
        file = f"tables/{table.name}.yaml"
        if table.key not in parts.choices:
            problems.add(
                file,
                parts.line(file, "key"),
                f"`{table.name}` is picked by `{table.key}`, which is no choice.",
                instead(table.key, parts.choices, "Name a choice of inputs.yaml."),
            )
            continue
        words = parts.choices[table.key]
        for key in table.rows:
            if key != UNKNOWN and key not in words:
                problems.add(
                    file,
                    parts.line(file, "rows", key),
                    f"`{table.name}` has the row `{key}`, which is no choice of `{table.key}`.",
                    instead(key, words, f"Its words: {', '.join(words)}."),
                )
        for word in words:
            if word not in table.rows:
                problems.add(
                    file,
                    parts.line(file, "rows"),
                    f"`{table.name}` has no row for `{table.key}` being `{word}`.",
                    f"Add a row `{word}:`; it may be empty but for its source.",
                )


def _assumptions(parts: Parts, problems: Problems) -> None:
    for one in parts.assumptions.values():
        file = parts.home[f"assumptions/{one.name}"]
        if one.stands_for and one.stands_for not in parts.inputs:
            problems.add(
                file,
                parts.line(file, one.name, "stands_for"),
                f"`{one.name}` stands for `{one.stands_for}`, which is no input.",
                instead(one.stands_for, parts.inputs, "Name an input of inputs.yaml."),
            )
        for position, choice in enumerate(one.by):
            if choice not in parts.choices:
                problems.add(
                    file,
                    parts.line(file, one.name, "by", position),
                    f"`{one.name}` goes by `{choice}`, which is no choice.",
                    instead(choice, parts.choices, "Go by a choice or a flag of inputs.yaml."),
                )
                continue
            for number, row in enumerate(one.rows):
                word = row.pattern[position]
                if word not in ("*", UNKNOWN, *parts.choices[choice]):
                    problems.add(
                        file,
                        parts.line(file, one.name, "rows", number),
                        f"`{one.name}` has a row for `{choice}` being `{word}`, which it never is.",
                        instead(
                            word,
                            parts.choices[choice],
                            f"Its words: {', '.join(parts.choices[choice])}, unknown, *.",
                        ),
                    )


def _collisions(parts: Parts, problems: Problems) -> None:
    taken = {**dict.fromkeys(FUNCTIONS, "a function"), "pi": "a number"}

    def take(name: str, what: str, file: str, line: int) -> None:
        if name in taken:
            problems.add(
                file,
                line,
                f"`{name.replace('__', '.')}` is already the name of {taken[name]}.",
                "Give one of the two another name.",
            )
        taken[name] = what

    for one in parts.inputs.values():
        for word in one.words.values() or [one.path]:
            take(identifier(word), "an input", "inputs.yaml", one.line)
    for constant in parts.constants:
        file = parts.home[f"constants/{constant}"]
        take(constant, "a constant", file, parts.line(file, constant))
    for table in parts.tables.values():
        file = f"tables/{table.name}.yaml"
        for column in table.columns:
            take(
                identifier(f"{table.name}.{column}"),
                "a table cell",
                file,
                parts.line(file, "columns", column),
            )
    for name in parts.assumptions:
        file = parts.home[f"assumptions/{name}"]
        for end in ASSUMED:
            take(f"{end}__{name}", "an assumption", file, parts.line(file, name))
    for word in parts.words.values():
        take(f"point__{word.name}", "a word of the operating points", word.file, word.line)
        take(word.name, "a word of the operating points", word.file, word.line)
    for quantity in parts.quantities.values():
        take(quantity.name, "a quantity", quantity.file, quantity.line)


def _cautions(parts: Parts, problems: Problems) -> None:
    for id, caution in parts.cautions.items():
        file = parts.home[f"cautions/{id}"]
        for position, moment in enumerate(caution.moments):
            if moment not in parts.moments:
                problems.add(
                    file,
                    parts.line(file, id, "moments", position),
                    f"`{id}` names the moment `{moment}`, which is not there.",
                    instead(moment, parts.moments, "Add it to moments.yaml."),
                )


def _display(parts: Parts, problems: Problems) -> None:
    """Whatever is shown needs a unit of its dimension."""
    shown = [(path, dimension) for path, one in parts.inputs.items() for dimension in one.words]
    shown += [
        (one.name, one.dimension)
        for one in (
            *parts.constants.values(),
            *parts.assumptions.values(),
            *parts.words.values(),
            *parts.quantities.values(),
        )
    ]
    shown += [
        (f"{table.name}.{column.name}", column.dimension)
        for table in parts.tables.values()
        for column in table.columns.values()
        if column.dimension
    ]
    for dimension, name in {dimension: name for name, dimension in reversed(shown)}.items():
        if dimension not in parts.display:
            problems.add(
                "display.yaml",
                1,
                f"has no units to show {dimension} in, which `{name}` needs.",
                f"Add `{dimension}:` with metric, us and digits.",
            )


def _sources(parts: Parts, problems: Problems) -> None:
    def need(source: str, who: str, file: str, *path: str | int) -> None:
        if source not in parts.sources:
            problems.add(
                file,
                parts.line(file, *path),
                f"`{who}` names the source `{source}`, which is not in sources.yaml.",
                instead(source, parts.sources, "Add it there."),
            )

    for constant in parts.constants.values():
        need(
            constant.source, constant.name, parts.home[f"constants/{constant.name}"], constant.name, "source"
        )
    for table in parts.tables.values():
        for row in table.rows.values():
            need(
                row.source, f"{table.name}.{row.key}", f"tables/{table.name}.yaml", "rows", row.key, "source"
            )
    for one in parts.assumptions.values():
        for number, row in enumerate(one.rows):
            need(row.source, one.name, parts.home[f"assumptions/{one.name}"], one.name, "rows", number)
    for word in parts.words.values():
        need(word.source, word.name, word.file, "words", word.name, "source")
    for quantity in parts.quantities.values():
        # The results of a function step have no entry of their own: the step names their source.
        step = next(
            (
                name
                for name, node in parts.raw[quantity.file].items()
                if quantity.name in node.get("gives", ())
            ),
            quantity.name,
        )
        need(quantity.source, quantity.name, quantity.file, step, "source")
        for number, route in enumerate(quantity.routes):
            if route.source != quantity.source:
                need(route.source, quantity.name, quantity.file, quantity.name, "routes", number, "source")
        for literal, source in parts.raw[quantity.file][step].get("numbers", {}).items():
            need(source, f"{quantity.name}: {literal}", quantity.file, step, "numbers", literal)
    for point in parts.points.values():
        for word, routes in point.words.items():
            for number, route in enumerate(routes):
                need(
                    route.source,
                    f"{point.name}.{word}",
                    "operating_points.yaml",
                    point.name,
                    word,
                    number,
                    "source",
                )
    for check in parts.checks.values():
        for level, bounds in check.limits.items():
            for bound in bounds:
                need(bound.source, check.id, check.file, "limits", level, "source")
        for number, example in enumerate(check.examples):
            need(example.source, f"{check.id}.examples", check.file, "examples", number, "source")
        for contradiction in check.contradictions:
            need(
                contradiction.source,
                contradiction.id,
                check.file,
                "contradictions",
                contradiction.id,
                "source",
            )
