"""The worked examples inside the rule files, run before a rulebook serves: a foreman's mistake stops the
start.
"""

from collections.abc import Mapping

from service.errors import Problem, RulebookError, SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.request import Request
from service.evaluation.running.run import Figures, Run, run_plan
from service.json_object import JsonObject
from service.rulebook.check import Check, Example
from service.rulebook.names import identifier, split_point
from service.rulebook.rulebook import Rulebook
from service.units.units import to_si


def build_of(rulebook: Rulebook, given: Mapping[str, object]) -> JsonObject:
    """Dotted names and texts as a foreman writes them -> the JSON a client would send."""
    build: JsonObject = {}
    for path, text in given.items():
        group, _, name = path.rpartition(".")
        field = rulebook.inputs.get(path)
        counts = field is not None and field.kind == "count" and str(text).isdigit()
        value = int(str(text)) if counts else plain_json(text)
        (build.setdefault(group, {}) if group else build)[str(name)] = value
    return build


def plain_json(node: object) -> object:
    """Loader nodes as plain JSON values."""
    if isinstance(node, dict):
        return {str(key): plain_json(value) for key, value in node.items()}
    if isinstance(node, list):
        return [plain_json(value) for value in node]
    return str(node)


def run_examples(evaluator: Evaluator) -> int:
    """Run every example of every check and count them; RulebookError lists those that fail."""
    problems: list[Problem] = []
    ran = 0
    for check in evaluator.rulebook.checks.values():
        for example in check.examples:
            ran += 1
            for complaint in _complaints(evaluator, check, example):
                what = f"example of `{check.id}`: {complaint}"
                problems.append(Problem(check.file, example.line, what, "Fix the example or the rule."))
    if problems:
        raise RulebookError(problems)
    return ran


def _complaints(evaluator: Evaluator, check: Check, example: Example) -> list[str]:
    build = build_of(evaluator.rulebook, example.given)
    try:
        known = evaluator.read(build)
    except SpecError as error:
        return [
            f"its `given` is refused: {fault.pointer.removeprefix('/build/')}: {fault.detail}"
            for fault in error.faults
        ]
    expected = dict(example.expect)
    verdict = expected.pop("verdict", None)
    run = _run(evaluator, check, known, tuple(_target(str(name)) for name in expected))
    complaints = []
    if verdict is not None:
        judged = _verdict(evaluator, check, build, run)
        if judged != verdict:
            complaints.append(f"expects the verdict {verdict}, the rules give {judged}.")
    for name, text in expected.items():
        if complaint := _compare(evaluator, name, str(text), example.within, run.figures):
            complaints.append(complaint)
    return complaints


def _run(evaluator: Evaluator, check: Check, known: Known, names: tuple[str, ...]) -> Run:
    """A run of the check that also works out the names an example expects, whichever they are."""
    plan = make_plan(Resolution(evaluator.rulebook, known), (check.id,), names)
    return run_plan(plan, known, evaluator.slots)


def _verdict(evaluator: Evaluator, check: Check, build: JsonObject, run: Run) -> str:
    """The verdict of the check, or the list it stands in instead."""
    report = evaluator.reporter.examine(Request(build, checks=(check.id,), include=()), run)
    for entry in report.entries:
        if entry.check == check.id:
            return entry.verdict
    return "not_applicable" if report.judged.not_applicable else "not_checked"


def _compare(evaluator: Evaluator, name: str, text: str, within: float, figures: Figures) -> str | None:
    """What is wrong with a number an example expects."""
    rulebook = evaluator.rulebook
    target = _target(name)
    base, _ = split_point(target)
    quantity = rulebook.quantities.get(base) or rulebook.point_words.get(base)
    if quantity is None or target not in evaluator.slots:
        return f"expects `{name}`, which is no quantity; write its name, or at_peak_power(name)."
    try:
        expected = to_si(str(text), quantity.dimension)
    except ValueError as error:
        return f"expects `{name}: {text}`: {error}"
    value = figures.values[evaluator.slots[target]]
    if value != value:
        return f"expects `{name}`, which these numbers do not give."
    if abs(value - expected) > within * abs(expected):
        shown = evaluator.writer.shower_of(target, "metric").text(value)
        off = 100 * (value - expected) / expected if expected else 0
        return f"expects `{name}` {text}, the rules give {shown} ({off:+.2f} %)."
    return None


def _target(name: str) -> str:
    if name.startswith("at_") and name.endswith(")"):
        point, _, inner = name[3:-1].partition("(")
        return f"{identifier(inner)}__at__{point}"
    return identifier(name)
