"""Which parts of the catalog fill the open slots of a build: each slot's parts judged, the best complete sets, or what stands in the way."""

from dataclasses import dataclass

from service.advice.candidates import added, candidates
from service.advice.choice import Chooser, Found, Wish, widest
from service.advice.dependence import Dependence
from service.advice.verdict_tables import VerdictTable, verdict_tables
from service.catalog.catalog import Catalog, stated_fields
from service.catalog.expand import expanded, parts_of
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.many import Outcomes, judge_many

# Bounds of the work, by counts: sets offered, and sets thrown away because a whole build shows what no table holds.
MOST_SETS = 3
MOST_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class SelectionRequest:
    """A build, the slots to fill, and what is wanted of the set."""

    build: dict
    slots: tuple[str, ...]
    objective: str = "cheapest"
    verdict: str = "warn"
    budget: int | None = None
    checks: tuple[str, ...] = ()
    in_stock: bool = True


def select(evaluator: Evaluator, catalog: Catalog, dependence: Dependence, request: SelectionRequest) -> dict:
    """The parts of each slot, the best sets, and what conflicts where there is none."""
    return _Selection(evaluator, catalog, dependence, request).answer()


class _Selection:
    def __init__(
        self, evaluator: Evaluator, catalog: Catalog, dependence: Dependence, request: SelectionRequest
    ):
        self.evaluator, self.catalog, self.dependence, self.request = evaluator, catalog, dependence, request
        named = request.build.get("parts", {})
        chosen = parts_of(request.build, catalog)
        self.current = {slot: number for slot, number in named.items() if slot in request.slots}
        self.fixed = [part for part in chosen if part.slot not in request.slots]
        self.build = expanded(request.build, self.fixed)
        self.known = evaluator.reader.read(self.build)
        self.open_slots = {
            slot: candidates(evaluator.reader, catalog, request.build, self.fixed, slot, request.in_stock)
            for slot in request.slots
        }
        empty = [slot for slot, parts in self.open_slots.items() if not parts]
        if empty:
            raise SpecError(
                [
                    SpecFault(
                        f"/slots/{request.slots.index(slot)}",
                        "no-candidate",
                        f"The catalog has no part of the slot {slot} that is in stock and goes with the parts chosen.",
                        "a slot with parts; see GET /v1/parts",
                    )
                    for slot in empty
                ]
            )
        self.checks = request.checks or tuple(evaluator.rulebook.checks)
        self.wish = Wish(
            request.objective, request.verdict, request.budget, self.current, stated_fields(request.build)
        )

    def answer(self) -> dict:
        tables = verdict_tables(self.evaluator, self.dependence, self.known, self.open_slots, self.checks)
        sets, proved = self._sets(tables)
        answer = {
            "objective": self.request.objective,
            "allowed": self.request.verdict,
            "sets": sets,
            "proved": proved,
            "slots": [self._slot(slot) for slot in self.open_slots],
        }
        if not sets:
            answer["conflict"] = self._conflict(tables)
        return answer | {
            "understood": [{"input": path, "text": text} for path, text in self.known.understood],
            "rulebook": self.evaluator.reporter.identity,
            "catalog": self.catalog.identity,
            "service": self.evaluator.rulebook.version,
        }

    def _sets(self, tables: list[VerdictTable]) -> tuple[list[dict], bool]:
        """The best sets, each judged once more as a whole build; what no table holds is found there and ruled out."""
        ruled_out: list[dict[str, int]] = []
        chooser, proved = self._chooser(tables, ruled_out)
        sets: list[dict] = []
        for _ in range(MOST_ROUNDS):
            found = chooser.best()
            if found.chosen is None and ruled_out and not sets and self.request.objective == "widest_margin":
                # Every set at this margin was ruled out as a whole build; the next widest margin is looked for.
                chooser, sure = self._chooser(tables, ruled_out)
                proved, found = proved and sure, chooser.best()
            proved = proved and found.proved
            if found.chosen is None:
                return sets, proved
            outcomes = self._judged(found.chosen)
            if SEVERITY.get(outcomes.verdict, 0) <= SEVERITY[self.request.verdict]:
                sets.append(self._set(found, outcomes))
                if len(sets) == MOST_SETS:
                    return sets, proved
            ruled_out.append(found.chosen)
            chooser.forbid(found.chosen)
        return sets, proved and bool(sets)

    def _chooser(self, tables: list[VerdictTable], ruled_out: list[dict[str, int]]) -> tuple[Chooser, bool]:
        if self.request.objective == "widest_margin":
            return widest(self.open_slots, tables, self.wish, ruled_out)
        chooser = Chooser(self.open_slots, tables, self.wish)
        chooser.require()
        return chooser, True

    def _judged(self, chosen: dict[str, int]) -> Outcomes:
        known = self.known
        for slot, position in chosen.items():
            known = added(known, self.open_slots[slot][position])
        return judge_many(self.evaluator, [known], self.request.checks)[0]

    def _set(self, found: Found, outcomes: Outcomes) -> dict:
        parts = [self.open_slots[slot][position].part for slot, position in found.chosen.items()]
        price = sum(part.price for part in parts)
        made = {
            "parts": {part.slot: part.number for part in parts},
            "price": price / 100,
            "text": self.catalog.money(price),
            "verdict": outcomes.verdict,
            "judged": len(outcomes.checks),
            "warns": [one.check.check.id for one in outcomes.checks if one.verdict == "warn"],
        }
        margins = [(one.margin, one.check.check.id) for one in outcomes.checks if one.margin is not None]
        if margins:
            margin, check = min(margins)
            made["least_margin"] = {"check": check, "margin": round(margin, 4)}
        if self.current:
            made["changes"] = [part.slot for part in parts if self.current.get(part.slot) != part.number]
        return made

    def _slot(self, slot: str) -> dict:
        """Each part of a slot by itself, over the checks that can tell: the other open slots are left unknown."""
        parts = self.open_slots[slot]
        telling = tuple(
            check
            for check in self.checks
            if any(path in self.dependence.of(check) for part in parts for path in part.adds)
        )
        made = []
        for part, outcomes in zip(
            parts,
            judge_many(self.evaluator, [added(self.known, part) for part in parts], telling)
            if telling
            else [None] * len(parts),
        ):
            entry = {
                "number": part.part.number,
                "title": part.part.title,
                "price": part.part.price / 100,
                "stock": part.part.stock,
            }
            judged = outcomes.checks if outcomes else []
            entry["verdict"] = max(
                (one.verdict for one in judged), key=SEVERITY.__getitem__, default="not_checked"
            )
            margins = [(one.margin, one.check.check.id) for one in judged if one.margin is not None]
            if margins:
                margin, check = min(margins)
                entry |= {"least_margin": {"check": check, "margin": round(margin, 4)}}
            made.append(entry)
        return {"slot": slot, "parts": made}

    def _conflict(self, tables: list[VerdictTable]) -> dict:
        """The set that breaks the fewest checks, and what it breaks: the least that has to give."""
        chooser = Chooser(self.open_slots, tables, self.wish)
        found, broken = chooser.nearest_miss()
        if found.chosen is None:
            return {
                "text": "The parts in stock do not go together, or their least price is over the budget.",
                "checks": [],
            }
        outcomes = self._judged(found.chosen)
        over = [
            one.check.check.id
            for one in outcomes.checks
            if SEVERITY[one.verdict] > SEVERITY[self.request.verdict]
        ]
        if outcomes.consistency and SEVERITY[outcomes.consistency] > SEVERITY[self.request.verdict]:
            over.append("spec-consistency")
        titles = "; ".join(self.evaluator.rulebook.checks[check].title for check in over)
        return {
            "text": f"No set keeps every check; the nearest breaks {len(over)}: {titles}.",
            "checks": over or broken,
            "nearest": self._set(found, outcomes),
        }
