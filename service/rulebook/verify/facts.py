"""What must hold between rule files: names exist and are given once, tables and assumptions are complete."""

from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.input import UNKNOWN, Input
from service.rulebook.model import Assumption, Table
from service.rulebook.names import ASSUMED, identifier


def verify_facts(draft: Draft, problems: Problems) -> None:
    """Inputs, tables, assumptions, cautions and display units."""
    for spec in draft.inputs.values():
        _input(spec, draft, problems)
    for table in draft.tables.values():
        _table(table, draft, problems)
    for assumption in draft.assumptions.values():
        _assumption(assumption, draft, problems)
    _collisions(draft, problems)
    _cautions(draft, problems)
    _scope(draft, problems)
    _display(draft, problems)


def _input(spec: Input, draft: Draft, problems: Problems) -> None:
    path = spec.path
    named = {
        "place": (spec.place,) if spec.place else (),
        "could_mean": tuple(spec.could_mean.values()),
        "at": spec.at,
        "or_number": spec.or_number,
    }
    for key, others in named.items():
        for other in others:
            if other not in draft.inputs:
                problems.add(
                    "inputs.yaml",
                    draft.line("inputs.yaml", path, key),
                    f"`{path}` names the input `{other}`, which is not there.",
                    instead(other, draft.inputs, "Name an input of inputs.yaml."),
                )
    words = draft.choices.get(path, ())
    for synonym, meant in spec.synonyms.items():
        if meant not in words:
            problems.add(
                "inputs.yaml",
                draft.line("inputs.yaml", path, "synonyms", synonym),
                f"`{path}` reads `{synonym}` as `{meant}`, which is none of its words.",
                instead(meant, words, f"Its words: {', '.join(words)}."),
            )


def _table(table: Table, draft: Draft, problems: Problems) -> None:
    file = f"tables/{table.name}.yaml"
    if table.key not in draft.choices:
        problems.add(
            file,
            draft.line(file, "key"),
            f"`{table.name}` is picked by `{table.key}`, which is no choice.",
            instead(table.key, draft.choices, "Name a choice of inputs.yaml."),
        )
        return
    words = draft.choices[table.key]
    for key in table.rows:
        if key != UNKNOWN and key not in words:
            problems.add(
                file,
                draft.line(file, "rows", key),
                f"`{table.name}` has the row `{key}`, which is no choice of `{table.key}`.",
                instead(key, words, f"Its words: {', '.join(words)}."),
            )
    for word in words:
        if word not in table.rows:
            problems.add(
                file,
                draft.line(file, "rows"),
                f"`{table.name}` has no row for `{table.key}` being `{word}`.",
                f"Add a row `{word}:`; it may be empty but for its source.",
            )


def _assumption(assumption: Assumption, draft: Draft, problems: Problems) -> None:
    name, file = assumption.name, draft.home[f"assumptions/{assumption.name}"]
    if assumption.stands_for and assumption.stands_for not in draft.inputs:
        problems.add(
            file,
            draft.line(file, name, "stands_for"),
            f"`{name}` stands for `{assumption.stands_for}`, which is no input.",
            instead(assumption.stands_for, draft.inputs, "Name an input of inputs.yaml."),
        )
    for position, choice in enumerate(assumption.by):
        if choice not in draft.choices:
            problems.add(
                file,
                draft.line(file, name, "by", position),
                f"`{name}` goes by `{choice}`, which is no choice.",
                instead(choice, draft.choices, "Go by a choice or a flag of inputs.yaml."),
            )
            continue
        words = draft.choices[choice]
        for number, row in enumerate(assumption.rows):
            word = row.pattern[position]
            if word not in ("*", UNKNOWN, *words):
                problems.add(
                    file,
                    draft.line(file, name, "rows", number),
                    f"`{name}` has a row for `{choice}` being `{word}`, which it never is.",
                    instead(word, words, f"Its words: {', '.join(words)}, unknown, *."),
                )


def _collisions(draft: Draft, problems: Problems) -> None:
    """Each name is given once."""
    taken = {**dict.fromkeys(FUNCTIONS, "a function"), "pi": "a number"}

    def take(name: str, what: str, file: str, line: int) -> None:
        if name in taken:
            shown = name.replace("__", ".")
            fix = "Give one of the two another name."
            problems.add(file, line, f"`{shown}` is already the name of {taken[name]}.", fix)
        taken[name] = what

    for spec in draft.inputs.values():
        for word in spec.words.values() or [spec.path]:
            take(identifier(word), "an input", "inputs.yaml", spec.line)
    for constant in draft.constants:
        file = draft.home[f"constants/{constant}"]
        take(constant, "a constant", file, draft.line(file, constant))
    for table in draft.tables.values():
        file = f"tables/{table.name}.yaml"
        for column in table.columns:
            name = identifier(f"{table.name}.{column}")
            take(name, "a table cell", file, draft.line(file, "columns", column))
    for assumption in draft.assumptions:
        file = draft.home[f"assumptions/{assumption}"]
        for end in ASSUMED:
            take(f"{end}__{assumption}", "an assumption", file, draft.line(file, assumption))
    for point_word in draft.words.values():
        for name in (f"point__{point_word.name}", point_word.name):
            take(name, "a word of the operating points", point_word.file, point_word.line)
    for quantity in draft.quantities.values():
        take(quantity.name, "a quantity", quantity.file, quantity.line)


def _cautions(draft: Draft, problems: Problems) -> None:
    for id, caution in draft.cautions.items():
        file = draft.home[f"cautions/{id}"]
        for position, moment in enumerate(caution.moments):
            if moment not in draft.moments:
                problems.add(
                    file,
                    draft.line(file, id, "moments", position),
                    f"`{id}` names the moment `{moment}`, which is not there.",
                    instead(moment, draft.moments, "Add it to moments.yaml."),
                )


def _scope(draft: Draft, problems: Problems) -> None:
    """Scope rules name checks and inputs that there are."""
    for rule in draft.scope.values():
        lists = (
            ("stops", rule.stops, draft.checks, "check"),
            ("keeps", rule.keeps or (), draft.checks, "check"),
            ("given", rule.given, draft.inputs, "input"),
            ("above", [guard.quantity for guard in rule.above], draft.inputs, "input"),
            ("asks_for", (rule.ask,) if rule.ask else (), draft.inputs, "input"),
        )
        for key, names, known, what in lists:
            for position, name in enumerate(names):
                if name not in known:
                    problems.add(
                        "scope.yaml",
                        draft.line("scope.yaml", rule.id, key, position),
                        f"`{rule.id}` names `{name}` under `{key}`, which is no {what}.",
                        instead(name, known, f"Name one of the {what}s there are."),
                    )


def _display(draft: Draft, problems: Problems) -> None:
    """Whatever is shown needs a unit of its dimension."""
    shown = {dimension: path for path, spec in draft.inputs.items() for dimension in spec.words}
    for table in draft.tables.values():
        for column in table.columns.values():
            if column.dimension:
                shown.setdefault(column.dimension, f"{table.name}.{column.name}")
    for named in (draft.constants, draft.assumptions, draft.words, draft.quantities):
        for name, entry in named.items():
            shown.setdefault(entry.dimension, name)
    for dimension, name in shown.items():
        if dimension not in draft.display:
            problems.add(
                "display.yaml",
                1,
                f"has no units to show {dimension} in, which `{name}` needs.",
                f"Add `{dimension}:` with metric, us and digits.",
            )
