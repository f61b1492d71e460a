"""One build against the rulebook: plan, run, judge, explain. The explanation comes from the run that gave the verdict."""

from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from threading import Lock

import orjson

from service.evaluation.known import Known
from service.evaluation.planning.plan import Plan, make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.reading.spec import SpecReader
from service.evaluation.reporting.display import Display
from service.evaluation.reporting.report import Reporter
from service.evaluation.reporting.sentences import Writer
from service.evaluation.running.run import run
from service.evaluation.stopwatch import Stopwatch
from service.rulebook.rulebook import Rulebook

# Each plan holds thousands of small objects that every full garbage collection walks through; 512 of them cost a pause of 0.4 s.
PLANS_KEPT = 128


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked: the build as the client wrote it, how much of the answer is wanted, and which catalog its parts came from."""

    build: dict
    detail: str = "summary"
    units: str = "metric"
    checks: tuple[str, ...] = ()
    require: tuple[str, ...] = ()
    include: tuple[str, ...] = ("ranges", "questions")
    moment: str | None = None
    catalog: str | None = None

    def digest(self, rulebook_digest: str) -> str:
        """Identifies the evaluation: the request in canonical form, the rulebook and the catalog."""
        asked = [
            self.build,
            self.detail,
            self.units,
            self.checks,
            self.require,
            self.include,
            self.moment,
            rulebook_digest,
            self.catalog,
        ]
        return f"sha256:{sha256(orjson.dumps(asked, option=orjson.OPT_SORT_KEYS)).hexdigest()}"


class Evaluator:
    """Evaluates builds against one rulebook; safe to share between threads."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.reader = SpecReader(rulebook)
        self.writer = Writer(rulebook, Display(rulebook))
        self.reporter = Reporter(rulebook, self.writer)
        self._plans: OrderedDict[tuple, Plan] = OrderedDict()
        self._lock = Lock()

    def plan(self, known: Known, checks: tuple[str, ...] = ()) -> Plan:
        """The plan for a set of names and choices; the cache is bounded, the least recently used goes."""
        key = (*known.key(), checks)
        with self._lock:
            plan = self._plans.get(key)
            if plan is not None:
                self._plans.move_to_end(key)
                return plan
        plan = make_plan(self.rulebook, Resolution(self.rulebook, known), checks)
        with self._lock:
            self._plans[key] = plan
            if len(self._plans) > PLANS_KEPT:
                self._plans.popitem(last=False)
        return plan

    def evaluate(self, request: Request, watch: Stopwatch | None = None) -> dict:
        """The answer to one request; SpecError where the build holds faults. The watch is told when each phase ends."""
        watch = watch or Stopwatch()
        known = self.reader.read(request.build)
        watch.lap("read")
        plan = self.plan(known, request.checks)
        watch.lap("plan")
        values, failed = run(plan, known, self.rulebook.graph.slots)
        watch.lap("run")
        answer = self.reporter.report(request, known, plan, values, failed)
        answer["evaluation"] = request.digest(self.rulebook.digest)
        watch.lap("judge")
        return answer
