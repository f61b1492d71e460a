"""Which parts of the catalog fill the open slots of a build.

Each slot's parts judged, the best complete sets, or what stands in the way.
"""

from dataclasses import dataclass

from service.advice.candidates import Candidate, Candidates, Fixed, added
from service.advice.choice import Chooser, Chosen, Wish, widest
from service.advice.verdict_tables import TableMaker, VerdictTable
from service.catalog.catalog import Catalog, stated_fields
from service.catalog.expand import expanded, parts_of
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.many import Outcomes, judge_many
from service.json_object import JsonObject

# Bounds of the work, by counts: sets offered, and sets thrown away because a whole build shows what no table
# holds.
MOST_SETS = 3
MOST_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class SelectionRequest:
    """A build, the slots to fill, and what is wanted of the set."""

    build: JsonObject
    slots: tuple[str, ...]
    objective: str = "cheapest"
    allow: str = "warn"
    budget: int | None = None
    checks: tuple[str, ...] = ()
    in_stock: bool = True


def select(evaluator: Evaluator, catalog: Catalog, request: SelectionRequest) -> JsonObject:
    """The parts of each slot, the best sets, and what conflicts where there is none."""
    return _Selection(evaluator, catalog, request).answer()


class _Selection:
    def __init__(self, evaluator: Evaluator, catalog: Catalog, request: SelectionRequest):
        self.evaluator, self.catalog, self.request = evaluator, catalog, request
        self.dependence = evaluator.dependence
        named = request.build.get("parts", {})
        self.current = {slot: number for slot, number in named.items() if slot in request.slots}
        fixed = [
            part
            for part in parts_of(request.build, catalog, evaluator.rulebook.slots)
            if part.slot not in request.slots
        ]
        self.known = evaluator.read(expanded(request.build, fixed, request.slots))
        candidates = Candidates(evaluator.reader, catalog, request.build, Fixed(fixed, request.slots))
        self.open_slots = {slot: candidates.of(slot, request.in_stock) for slot in request.slots}
        _refuse_empty(request, self.open_slots)
        self.checks = request.checks or tuple(evaluator.rulebook.checks)
        stated = stated_fields(request.build)
        self.wish = Wish(request.objective, request.allow, request.budget, self.current, stated)

    def answer(self) -> JsonObject:
        maker = TableMaker(self.evaluator, self.dependence, self.known, self.open_slots)
        tables = maker.tables(self.checks)
        sets, proved = self._sets(tables)
        answer: JsonObject = {
            "objective": self.request.objective,
            "allowed": self.request.allow,
            "sets": sets,
            "proved": proved,
            "slots": [
                {"slot": slot, "parts": self._parts(candidates)}
                for slot, candidates in self.open_slots.items()
            ],
        }
        if not sets:
            answer["conflict"] = self._conflict(tables)
        return answer | {
            "understood": [{"input": path, "text": text} for path, text in self.known.understood],
            "rulebook": self.evaluator.reporter.identity,
            "catalog": self.catalog.identity,
            "service": self.evaluator.rulebook.version,
        }

    def _sets(self, tables: list[VerdictTable]) -> tuple[list[JsonObject], bool]:
        """The best sets, each judged once more as a whole build; what no table holds shows there and is ruled
        out.
        """
        ruled_out: list[Chosen] = []
        chooser, proved = self._chooser(tables, ruled_out)
        sets: list[JsonObject] = []
        for _ in range(MOST_ROUNDS):
            solution = chooser.best()
            if solution.chosen is None and ruled_out and not sets and self._by_margin:
                # Every set at this margin was ruled out as a whole build; the next widest margin is looked
                # for.
                chooser, margin_proved = self._chooser(tables, ruled_out)
                proved, solution = proved and margin_proved, chooser.best()
            proved = proved and solution.proved
            if solution.chosen is None:
                return sets, proved
            outcomes = self._judged_set(solution.chosen)
            if SEVERITY.get(outcomes.verdict, 0) <= SEVERITY[self.request.allow]:
                sets.append(self._set(solution.chosen, outcomes))
                if len(sets) == MOST_SETS:
                    return sets, proved
            ruled_out.append(solution.chosen)
            chooser.forbid(solution.chosen)
        return sets, proved and bool(sets)

    @property
    def _by_margin(self) -> bool:
        return self.request.objective == "widest_margin"

    def _chooser(self, tables: list[VerdictTable], ruled_out: list[Chosen]) -> tuple[Chooser, bool]:
        if self._by_margin:
            return widest(self.open_slots, tables, self.wish, ruled_out)
        chooser = Chooser(self.open_slots, tables, self.wish)
        chooser.require()
        return chooser, True

    def _judged_set(self, chosen: Chosen) -> Outcomes:
        """The whole build with a set of parts."""
        known = self.known
        for slot, position in chosen.items():
            known = added(known, self.open_slots[slot][position])
        return judge_many(self.evaluator, [known], self.request.checks)[0]

    def _set(self, chosen: Chosen, outcomes: Outcomes) -> JsonObject:
        parts = [self.open_slots[slot][position].part for slot, position in chosen.items()]
        price = sum(part.price for part in parts)
        words: JsonObject = {
            "parts": {part.slot: part.number for part in parts},
            "price": price / 100,
            "text": self.catalog.money(price),
            "verdict": outcomes.verdict,
            "judged": len(outcomes.checks),
            "warns": [outcome.check for outcome in outcomes.checks if outcome.verdict == "warn"],
        } | _least_margin(outcomes)
        if self.current:
            words["changes"] = [part.slot for part in parts if self.current.get(part.slot) != part.number]
        return words

    def _parts(self, candidates: list[Candidate]) -> list[JsonObject]:
        """Each part of a slot by itself, over the checks that can tell: the other open slots are left
        unknown.
        """
        paths = {path for candidate in candidates for path in candidate.adds}
        telling = tuple(check for check in self.checks if not paths.isdisjoint(self.dependence.of(check)))
        nothing = Outcomes("not_checked", None, [])
        outcomes_of = [nothing] * len(candidates)
        if telling:
            builds = [added(self.known, candidate) for candidate in candidates]
            outcomes_of = judge_many(self.evaluator, builds, telling)
        return [
            {
                "number": candidate.part.number,
                "title": candidate.part.title,
                "price": candidate.part.price / 100,
                "stock": candidate.part.stock,
                "verdict": max(
                    (outcome.verdict for outcome in outcomes.checks),
                    key=SEVERITY.__getitem__,
                    default="not_checked",
                ),
            }
            | _least_margin(outcomes)
            for candidate, outcomes in zip(candidates, outcomes_of, strict=True)
        ]

    def _conflict(self, tables: list[VerdictTable]) -> JsonObject:
        """The set that breaks the fewest checks, and what it breaks: the least that has to give."""
        miss = Chooser(self.open_slots, tables, self.wish).nearest_miss()
        if miss.chosen is None:
            text = "The parts in stock do not go together, or their least price is over the budget."
            return {"text": text, "checks": []}
        outcomes = self._judged_set(miss.chosen)
        allowed = SEVERITY[self.request.allow]
        over = [outcome.check for outcome in outcomes.checks if SEVERITY[outcome.verdict] > allowed]
        if outcomes.consistency and SEVERITY[outcomes.consistency] > allowed:
            over.append("spec-consistency")
        titles = "; ".join(self.evaluator.rulebook.checks[check].title for check in over)
        return {
            "text": f"No set keeps every check; the nearest breaks {len(over)}: {titles}.",
            "checks": over or miss.broken,
            "nearest": self._set(miss.chosen, outcomes),
        }


def _refuse_empty(request: SelectionRequest, open_slots: dict[str, list[Candidate]]) -> None:
    """SpecError for slots that no part can fill."""
    faults = [
        SpecFault(
            f"/slots/{request.slots.index(slot)}",
            "no-candidate",
            f"The catalog has no part of the slot {slot} that is in stock and goes with the parts chosen.",
            "a slot with parts; see GET /v1/parts",
        )
        for slot, candidates in open_slots.items()
        if not candidates
    ]
    if faults:
        raise SpecError(faults)


def _least_margin(outcomes: Outcomes) -> JsonObject:
    least = outcomes.least_margin()
    return {} if least is None else {"least_margin": {"check": least[1], "margin": round(least[0], 4)}}
