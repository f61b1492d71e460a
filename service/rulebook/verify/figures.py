"""The figures of a reply name quantities, operating points and checks that there are."""

from service.rulebook.check import Figure
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead

FILE = "figures.yaml"


def verify_figures(draft: Draft, problems: Problems) -> None:
    """Every entry of rules/figures.yaml."""
    for figure in draft.figures.values():
        for key, name, known, what in (
            ("quantity", figure.quantity, draft.quantities, "quantity"),
            ("at", figure.point, draft.points, "operating point"),
            ("with_check", figure.with_check, draft.checks, "check"),
        ):
            if name and name not in known:
                line = draft.line(FILE, figure.id, key)
                problem = f"`{figure.id}` names `{name}`, which is no {what}."
                problems.add(FILE, line, problem, instead(name, known, f"Name a {what} of the rules."))
        _point(figure, draft, problems)


def _point(figure: Figure, draft: Draft, problems: Problems) -> None:
    """A quantity that differs from point to point needs one, another has none."""
    quantity = draft.quantities.get(figure.quantity)
    if quantity is None or quantity.at_points == bool(figure.point):
        return
    line = draft.line(FILE, figure.id)
    if quantity.at_points:
        fix = f"Add `at:`, one of {', '.join(draft.points)}."
        problems.add(FILE, line, f"`{figure.id}` does not say at which operating point.", fix)
    else:
        problem = f"`{figure.id}` has an operating point, but its quantity has none."
        problems.add(FILE, line, problem, "Take `at:` away.")
