"""Which verdicts change between two rulebooks, over a folder of builds."""

from pathlib import Path

from service.commands.request_file import read_request
from service.errors import ServiceError, SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from service.rulebook.load import load_rulebook


def compare_rules(old: Path, new: Path, builds: Path) -> int:
    """Print one line for each verdict that differs; 1 when any does."""
    evaluators = [Evaluator(load_rulebook(folder)) for folder in (old, new)]
    files = sorted(builds.glob("*.json"))
    if not files:
        raise ServiceError(f"{builds} holds no *.json files.")
    changes = 0
    for path in files:
        before, after = (_verdicts(evaluator, path) for evaluator in evaluators)
        for check in dict.fromkeys([*before, *after]):
            if before.get(check) != after.get(check):
                changes += 1
                print(f"{path.name}: {check}: {before.get(check, 'absent')} -> {after.get(check, 'absent')}")
    print(f"{len(files)} builds, {changes} verdict{'' if changes == 1 else 's'} changed.")
    return 1 if changes else 0


def _verdicts(evaluator: Evaluator, path: Path) -> dict[str, str]:
    asked = read_request(path)
    try:
        answer = evaluator.evaluate(Request(asked.get("build", asked), include=("needs",)))
    except SpecError as error:
        return {"the spec": f"refused ({error.faults[0].pointer})"}
    verdicts = {entry["check"]: entry["verdict"] for entry in answer["checks"]}
    for check in answer["open"]["checks"]:
        verdicts.setdefault(check, "not_checked")
    return verdicts | dict.fromkeys(answer["not_applicable"]["checks"], "not_applicable")
