"""Checks judge quantities where these exist, against limits of the same kind, and name only what is there."""

from service.rulebook.draft import Parts, Problems
from service.rulebook.files.section import instead
from service.rulebook.model import Check
from service.rulebook.names import identifier
from service.rulebook.verify.dimensions import Kind, kind_of, same


def verify_checks(parts: Parts, problems: Problems) -> None:
    """Points, levers, cautions, judged quantities and limits of every check."""
    for check in parts.checks.values():
        _names(check, parts, problems)
        _judged(check, parts, problems)
        _bounds(check, parts, problems)
        for name, _ in check.applies_above:
            _pointless(check, name, "applies above a value of", parts, problems, "applies_when", name)
        for one in check.contradictions:
            _pointless(check, one.quantity, "looks at", parts, problems, "contradictions", one.id, "quantity")
            if one.ask and one.ask not in parts.inputs:
                problems.add(
                    check.file,
                    parts.line(check.file, "contradictions", one.id, "asks_for"),
                    f"`{check.id}` asks for `{one.ask}`, which is no input.",
                    instead(one.ask, parts.inputs, "Name an input of inputs.yaml."),
                )


def _names(check: Check, parts: Parts, problems: Problems) -> None:
    def need(names, known, what: str, mend: str, *path: str) -> None:
        for position, name in enumerate(names):
            if name not in known:
                step = position if path[-1] != "levers" else name
                problems.add(
                    check.file,
                    parts.line(check.file, *path, step),
                    f"`{check.id}` names `{name}`, which is {what}.",
                    instead(name, known, mend),
                )

    points = f"There are {', '.join(parts.points)}."
    need(check.points, parts.points, "no operating point", points, "at")
    need(check.also_at, parts.points, "no operating point", points, "also_at")
    need(check.second_look, parts.points, "no operating point", points, "second_look", "at")
    need(check.levers, parts.inputs, "no input", "Name an input of inputs.yaml.", "levers")
    for name in check.levers:
        one = parts.inputs.get(name)
        if one and not one.steps and one.kind != "count":
            mend = (
                "Add `step: {metric: 0.1 bar, us: 1 psi}` to it in inputs.yaml."
                if one.kind == "number"
                else "Name an input that is a number."
            )
            problems.add(
                check.file,
                parts.line(check.file, "levers", name),
                f"`{check.id}` moves the lever `{name}`, which has no step to move it by.",
                mend,
            )
    need(check.cautions, parts.cautions, "no caution", "Add it to cautions.yaml.", "caution")
    need(check.shows, parts.quantities, "no quantity", "Name a quantity.", "shows")
    if check.watch:
        need(check.watch.moments, parts.moments, "no moment", "Add it to moments.yaml.", "watch", "moments")


def _judged(check: Check, parts: Parts, problems: Problems) -> None:
    if check.judges is None:
        return
    judged = parts.quantities.get(check.judges)
    line = parts.line(check.file, "judges")
    if judged is None:
        problems.add(
            check.file,
            line,
            f"`{check.id}` judges `{check.judges}`, which is no quantity.",
            f"Add a quantity with the route `{check.judges}` and judge that.",
        )
    elif judged.at_points and not check.points:
        problems.add(
            check.file,
            line,
            f"`{check.id}` judges `{check.judges}`, which hangs on operating points.",
            "Add `at: [...]` with its operating points.",
        )
    elif check.points and not judged.at_points:
        problems.add(
            check.file,
            parts.line(check.file, "at"),
            f"`{check.id}` judges `{check.judges}`, which does not hang on operating points.",
            "Drop `at:`.",
        )


def _bounds(check: Check, parts: Parts, problems: Problems) -> None:
    kinds = parts.kinds() | {q.name: kind_of(q.dimension, q.reading) for q in parts.quantities.values()}
    for level, bounds in check.limits.items():
        for bound in bounds:
            if bound.judges != check.judges:
                where = ("limits", level, "judges")
                if bound.judges not in parts.quantities:
                    problems.add(
                        check.file,
                        parts.line(check.file, *where),
                        f"`{check.id}` judges `{bound.judges}`, which is no quantity.",
                        f"Add a quantity with the route `{bound.judges}` and judge that.",
                    )
                    continue
                _pointless(check, bound.judges, "judges", parts, problems, *where)
            if bound.quantity:
                where = ("limits", level, bound.side)
                _pointless(check, bound.quantity, "is limited by", parts, problems, *where)
                _same_reading(check, bound.judges, bound.quantity, kinds, parts, problems, *where)


def _same_reading(
    check: Check,
    judged: str,
    limit: str,
    kinds: dict[str, Kind],
    parts: Parts,
    problems: Problems,
    *where: str,
) -> None:
    complaint = (
        same(kinds[identifier(limit)], kinds[judged])
        if identifier(limit) in kinds and judged in kinds
        else None
    )
    if complaint:
        problems.add(
            check.file,
            parts.line(check.file, *where),
            f"`{check.id}` sets `{judged}` against `{limit}`, which {complaint}",
            "Give limit and judged quantity the same reading.",
        )


def _pointless(check: Check, name: str, verb: str, parts: Parts, problems: Problems, *where: str) -> None:
    """A quantity at operating points has no value for a check that is judged at none."""
    quantity = parts.quantities.get(name)
    if name in parts.words or (
        quantity and quantity.at_points and (not check.points or where[0] != "limits")
    ):
        problems.add(
            check.file,
            parts.line(check.file, *where),
            f"`{check.id}` {verb} `{name}`, which hangs on operating points.",
            "Make a quantity of its value at one point, at_<point>(name), and name that.",
        )
