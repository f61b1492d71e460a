"""One build against the rulebook: plan, run, judge, explain. The explanation comes from the run that gave the
verdict.
"""

from collections import OrderedDict
from threading import Lock

from service.evaluation.judging.consistency import contradicted
from service.evaluation.known import Known, PlanKey
from service.evaluation.planning.dependence import Dependence
from service.evaluation.planning.plan import Plan, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.reading.spec import SpecReader
from service.evaluation.reading.spec_in_hand import MAX_FAULTS
from service.evaluation.reporting.display import Display
from service.evaluation.reporting.report import Reporter
from service.evaluation.reporting.sentences import Writer
from service.evaluation.request import Request
from service.evaluation.running.run import Run, run_plan
from service.evaluation.stopwatch import Stopwatch
from service.json_object import JsonObject
from service.rulebook.input import UNKNOWN
from service.rulebook.model import Guard
from service.rulebook.rulebook import Rulebook
from service.rulebook.worded import worded

# Each plan holds thousands of small objects that every full garbage collection walks through; 512 of them
# cost 0.4 s.
PLANS_KEPT = 128


class Evaluator:
    """Evaluates builds against one rulebook; safe to share between threads."""

    def __init__(self, rulebook: Rulebook, units: str | None = None):
        self.rulebook = rulebook
        self.reader = SpecReader(rulebook, units)
        self.writer = Writer(rulebook, Display(rulebook))
        self.dependence = rulebook.kept.once(Dependence, lambda: Dependence(rulebook))
        self.reporter = Reporter(self.writer, self.dependence)
        self._readings = [
            (check, contradiction)
            for check in rulebook.checks.values()
            for contradiction in check.contradictions
            if contradiction.sets_aside
        ]
        self._speaking: dict[str, Evaluator] = {}
        self._plans: OrderedDict[tuple[PlanKey, tuple[str, ...]], Plan] = OrderedDict()
        self._lock = Lock()

    def speaking(self, units: str) -> "Evaluator":
        """The evaluator that reads and answers in the words of a system of units."""
        words = self.rulebook.wording.get(units)
        if not words:
            return self
        with self._lock:
            if units not in self._speaking:
                self._speaking[units] = Evaluator(worded(self.rulebook, words), units)
            return self._speaking[units]

    @property
    def slots(self) -> dict[str, int]:
        """Where each name stands in the values of a run."""
        return self.rulebook.graph.slots

    def read(self, build: object, most: int = MAX_FAULTS) -> Known:
        """A build read, with one reading of what it says against itself; SpecError where it holds faults."""
        known = self.reader.read(build, most=most)
        for check, contradiction in self._readings:
            if contradiction.sets_aside and self._holds(known, contradiction.when):
                plan = self.plan(known, (check.id,))
                values, failed = run_plan(plan, known, self.slots).figures
                held = {looked_at.id: slot for looked_at, slot in plan.contradictions}
                slot = held.get(contradiction.id)
                if slot is not None and slot not in failed and contradicted(contradiction, values[slot]):
                    known = known.without(contradiction.sets_aside, contradiction.id)
        return known

    def may_set_aside(self, known: Known) -> bool:
        """Whether something that was said may turn out not to be believed, whatever its numbers are."""
        return any(
            contradiction.sets_aside and self._holds(known, contradiction.when)
            for _, contradiction in self._readings
        )

    def _holds(self, known: Known, when: Guard) -> bool:
        """Whether the choices made satisfy a guard; what was said alone mostly answers that."""
        said = (
            known.choices.get(path, UNKNOWN) in when[path] for path in when if path in self.rulebook.inputs
        )
        return all(said) and Resolution(self.rulebook, known).holds(when)

    def plan(self, known: Known, checks: tuple[str, ...] = ()) -> Plan:
        """The plan for a set of names and choices; the cache is bounded, the least recently used goes."""
        key = (known.key(), checks)
        with self._lock:
            plan = self._plans.get(key)
            if plan is not None:
                self._plans.move_to_end(key)
                return plan
        plan = make_plan(Resolution(self.rulebook, known), checks)
        with self._lock:
            self._plans[key] = plan
            if len(self._plans) > PLANS_KEPT:
                self._plans.popitem(last=False)
        return plan

    def run(self, known: Known, checks: tuple[str, ...] = ()) -> Run:
        """A build run through its plan."""
        return run_plan(self.plan(known, checks), known, self.slots)

    def evaluate(self, request: Request, watch: Stopwatch | None = None) -> JsonObject:
        """The answer to one request; SpecError where the build holds faults. The watch is told when each
        phase ends.
        """
        speaking = self.speaking(request.units)
        if speaking is not self:
            return speaking.evaluate(request, watch)
        watch = watch or Stopwatch()
        known = self.read(request.build)
        watch.lap("read")
        plan = self.plan(known, request.checks)
        watch.lap("plan")
        run = run_plan(plan, known, self.slots)
        watch.lap("run")
        answer = self.reporter.report(request, run)
        answer["evaluation"] = request.digest(self.rulebook.digest)
        watch.lap("judge")
        return answer
