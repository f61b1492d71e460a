"""A build tried with other values in a few places: only what hangs on them is run again."""

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency import findings
from service.evaluation.judging.judge import SEVERITY, Judgement, judge
from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan, slots_read
from service.evaluation.running.reruns import Changed, Reruns
from service.evaluation.running.run import run
from service.rulebook.formulas.graph import Graph


class Trial:
    """One build and the places that are changed, over the checks asked for (all where none is named)."""

    def __init__(self, evaluator: Evaluator, known: Known, checks: tuple[str, ...], values: dict[str, float]):
        self.evaluator = evaluator
        self.known = with_numbers(known, values)
        self.plan = evaluator.plan(self.known, checks)
        slots = evaluator.rulebook.graph.slots
        self.base = Changed(*run(self.plan, self.known, slots))
        self.slots = {name: slots[name] for name in values}
        if self.plan.reruns is None:
            self.plan.reruns = Reruns(self.plan.steps, _judged(self.plan, evaluator.rulebook.graph))
        self.chain = self.plan.reruns.chain(*self.slots.values())

    def at(self, values: dict[str, float]) -> Changed:
        """The run with other values in the places to change."""
        return self.plan.reruns.run(
            self.base, [(self.chain, {self.slots[name]: value for name, value in values.items()})]
        )[0]

    def verdicts(self, values: dict[str, float], until: str | None = None) -> dict[str, str]:
        """The verdict of every check that can be judged; `until`: stop at the first one worse than that."""
        return self.verdicts_of(self.at(values), values, until)

    def verdicts_of(
        self, changed: Changed, values: dict[str, float], until: str | None = None
    ) -> dict[str, str]:
        made = {}
        for one in self.plan.checks:
            judgement = judge(one, *changed)
            if isinstance(judgement, Judgement):
                made[one.check.id] = judgement.verdict
                if until and SEVERITY[judgement.verdict] > SEVERITY[until]:
                    return made
        if self.plan.consistency:
            reporter = self.evaluator.reporter
            found = findings(
                self.evaluator.rulebook,
                reporter.writer,
                reporter.usual,
                self.plan,
                with_numbers(self.known, values),
                *changed,
                "metric",
            )
            made[self.plan.consistency.id] = max(
                (one.verdict for one in found), key=SEVERITY.__getitem__, default="pass"
            )
        return made


def with_numbers(known: Known, values: dict[str, float]) -> Known:
    """The same build with some numbers put in; a tolerance on a number that is replaced goes with it."""
    tolerances = {name: ends for name, ends in known.tolerances.items() if name not in values}
    return Known(
        numbers={**known.numbers, **values},
        choices=known.choices,
        curves=known.curves,
        tolerances=tolerances,
        understood=known.understood,
    )


def _judged(plan: Plan, graph: Graph) -> set[int]:
    """Every slot a verdict of the plan reads, and those by which the spec is held against itself."""
    slots = {slot for one in plan.checks for slot in slots_read(one)}
    slots.update(slot for _, slot in plan.contradictions)
    slots.update(
        graph.slots[name]
        for comparison in plan.comparisons
        for route in comparison.routes
        for name in route.names
    )
    return slots
