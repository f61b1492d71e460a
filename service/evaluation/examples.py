"""The worked examples inside the rule files, run when the rulebook loads: a foreman's mistake stops the start."""

from service.errors import Problem, RulebookError, SpecError
from service.evaluation.evaluate import Evaluator, Request
from service.evaluation.known import Known
from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.running.run import run
from service.rulebook.model import Check, Example
from service.rulebook.names import identifier, split_point
from service.rulebook.rulebook import Rulebook
from service.units.units import to_si


def build_of(rulebook: Rulebook, given: dict) -> dict:
    """Dotted names and texts as a foreman writes them -> the JSON a client would send."""
    build: dict = {}
    for path, text in given.items():
        group, _, name = path.rpartition(".")
        one = rulebook.inputs.get(path)
        value = int(text) if one and one.kind == "count" and str(text).isdigit() else plain_json(text)
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
    """Run every example of every check; RulebookError lists those that do not come out. Returns how many ran."""
    problems: list[Problem] = []
    ran = 0
    for check in evaluator.rulebook.checks.values():
        for example in check.examples:
            ran += 1
            problems += [
                Problem(
                    check.file,
                    example.line,
                    f"example of `{check.id}`: {complaint}",
                    "Mend the example or the rule.",
                )
                for complaint in _complaints(evaluator, check, example)
            ]
    if problems:
        raise RulebookError(problems)
    return ran


def _complaints(evaluator: Evaluator, check: Check, example: Example) -> list[str]:
    rulebook = evaluator.rulebook
    build = build_of(rulebook, example.given)
    try:
        known = evaluator.reader.read(build)
    except SpecError as error:
        return [
            f"its `given` is refused: {fault.pointer.removeprefix('/build/')}: {fault.detail}"
            for fault in error.faults
        ]
    answer = evaluator.evaluate(Request(build, checks=(check.id,)))
    complaints = []
    wanted = dict(example.expect)
    verdict = wanted.pop("verdict", None)
    if verdict is not None:
        got = next((entry["verdict"] for entry in answer["checks"] if entry["check"] == check.id), None)
        if got is None:
            got = (
                "not_applicable"
                if any(entry["check"] == check.id for entry in answer["not_applicable"])
                else "not_checked"
            )
        if got != verdict:
            complaints.append(f"expects the verdict {verdict}, the rules give {got}.")
    if wanted:
        values, failed = _values(evaluator, known, tuple(_target(str(name)) for name in wanted))
        complaints += [
            complaint
            for name, text in wanted.items()
            if (complaint := _compare(evaluator, name, text, example, values, failed))
        ]
    return complaints


def _values(evaluator: Evaluator, known: Known, names: tuple[str, ...]):
    """A run that works out the names an example expects, whichever they are."""
    plan = make_plan(evaluator.rulebook, Resolution(evaluator.rulebook, known), (), names)
    return run(plan, known, evaluator.rulebook.graph.slots)


def _compare(
    evaluator: Evaluator, name: str, text: str, example: Example, values: list, failed: dict
) -> str | None:
    rulebook = evaluator.rulebook
    target = _target(name)
    base, _ = split_point(target)
    quantity = rulebook.quantities.get(base) or rulebook.point_words.get(base)
    if quantity is None or target not in rulebook.graph.slots:
        return f"expects `{name}`, which is no quantity; write its name, or at_peak_power(name)."
    try:
        wanted = to_si(str(text), quantity.dimension)
    except ValueError as error:
        return f"expects `{name}: {text}`: {error}"
    slot = rulebook.graph.slots[target]
    got = values[slot]
    shower = evaluator.writer.shower_of(target, "metric")
    if got is None or slot in failed:
        return f"expects `{name}`, which these numbers do not give."
    if abs(got - wanted) > example.within * abs(wanted):
        return f"expects `{name}` {text}, the rules give {shower.text(got)} ({100 * (got - wanted) / wanted if wanted else 0:+.2f} %)."
    return None


def _target(name: str) -> str:
    if name.startswith("at_") and name.endswith(")"):
        point, _, inner = name[3:-1].partition("(")
        return f"{identifier(inner)}__at__{point}"
    return identifier(name)
