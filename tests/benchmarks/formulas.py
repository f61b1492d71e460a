"""All formulas of a full spec with every step kept: compiled against pre-parsed simpleeval."""

import statistics
import time

from service.evaluation.evaluate import Evaluator
from service.evaluation.running.run import run_plan
from service.rulebook.load import load_rulebook
from service.settings import rules_folder


def report(build: dict, rounds: int) -> None:
    """Print the ratio of the two evaluators; function steps (physics) are left out of both, since they are
    the same code.
    """
    folder = rules_folder()
    runs = {}
    for name in ("compiled", "reference"):
        evaluator = Evaluator(load_rulebook(folder, name))
        known = evaluator.reader.read(build)
        plan = evaluator.plan(known)
        values, failed = run_plan(plan, known, evaluator.rulebook.graph.slots).figures
        # What lies outside its validity in this build is left out of both.
        plan.steps = [step for step in plan.steps if not step.rows and step.slot not in failed]
        plan.template = values.copy()
        runs[name] = (plan, known, evaluator.rulebook.graph.slots)
    timed = [{name: _microseconds(*arguments) for name, arguments in runs.items()} for _ in range(rounds)]
    ratios = [one["reference"] / one["compiled"] for one in timed]
    compiled = statistics.median(one["compiled"] for one in timed)
    reference = statistics.median(one["reference"] for one in timed)
    print(
        f"{len(runs['compiled'][0].steps)} formulas, all steps kept: compiled {compiled:.1f} us, "
        f"pre-parsed simpleeval {reference:.1f} us, ratio {statistics.median(ratios):.1f} "
        f"[{min(ratios):.1f}..{max(ratios):.1f}]"
    )


def _microseconds(plan, known, slots, calls: int = 400) -> float:
    start = time.process_time()
    for _ in range(calls):
        run_plan(plan, known, slots)
    return (time.process_time() - start) / calls * 1e6
