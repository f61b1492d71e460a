"""Which parts of the catalog fill the open slots of a build.

Each slot's parts judged, the best complete sets, or what stands in the way.
"""

from typing import NamedTuple

from service.advice.candidates import Candidates, Fixed, added
from service.advice.choice import Chooser, Chosen, Wish, widest
from service.advice.levers import GOAL
from service.advice.part_lines import PartLines, least_margin
from service.advice.selection_request import SelectionRequest, refuse_empty
from service.advice.selection_words import SetOfParts, SetWords
from service.advice.verdict_tables import TableMaker, VerdictTable
from service.catalog.catalog import Catalog, stated_fields
from service.catalog.expand import expanded, parts_of
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.many import Outcomes, judge_many
from service.evaluation.reporting.assumptions import deciding
from service.evaluation.reporting.report import Report
from service.evaluation.request import Request
from service.json_object import JsonObject
from service.rulebook.names import identifier

# Bounds of the work, by counts: sets offered, and sets thrown away because a whole build shows what no table
# holds.
MOST_SETS = 3
MOST_ROUNDS = 60
WHY_PLACE = "It decides how much the parts have to carry."


def select(evaluator: Evaluator, catalog: Catalog, request: SelectionRequest) -> JsonObject:
    """The parts of each slot, the best sets, and what conflicts where there is none."""
    return _Selection(evaluator.speaking(request.units), catalog, request).answer()


class _Judged(NamedTuple):
    """A set that was tried: which candidate of each slot, and its parts with what they come to."""

    chosen: Chosen
    parts: SetOfParts


class _Solved(NamedTuple):
    """The best sets, the best first, and whether all were gone through."""

    sets: list[_Judged]
    proved: bool


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
        refuse_empty(request, self.open_slots)
        self.checks = request.checks or tuple(evaluator.rulebook.checks)
        stated = stated_fields(request.build)
        self.wish = Wish(request.objective, request.allow, request.budget, self.current, stated)
        self.words = SetWords(evaluator, catalog)
        asked = Request(request.build, units=request.units, checks=request.checks)
        self.lines = PartLines(evaluator, asked, self.known, self.checks)
        self.asked = asked

    def answer(self) -> JsonObject:
        maker = TableMaker(self.evaluator, self.dependence, self.known, self.open_slots)
        tables = maker.tables(self.checks)
        solved = self._sets(tables)
        lines = {slot: self.lines.of(candidates) for slot, candidates in self.open_slots.items()}
        answer: JsonObject = {
            "headline": "",
            "objective": self.request.objective,
            "allowed": self.request.allow,
            "sets": [self._set_words(chosen, solved.sets[0]) for chosen in solved.sets],
            "proved": solved.proved,
            "slots": [{"slot": slot, "parts": parts} for slot, parts in lines.items()],
        }
        if solved.sets:
            best = solved.sets[0].parts
            first = best.parts[0]
            told = [line["text"] for line in lines[first.slot] if line["number"] == first.number]
            answer["headline"] = self.words.headline(self.request.objective, best, told)
        else:
            answer["conflict"] = self._conflict(tables)
            answer["headline"] = answer["conflict"]["text"]
        return (
            answer
            | self._surroundings(solved.sets)
            | {
                "understood": [{"input": path, "text": text} for path, text in self.known.understood],
                "rulebook": self.evaluator.reporter.identity,
                "catalog": self.catalog.identity,
                "service": self.evaluator.rulebook.version,
            }
        )

    def _surroundings(self, sets: list[_Judged]) -> JsonObject:
        """What would sharpen it, what it rests on and what was not looked at, of the best set; without one of
        the build without parts.
        """
        known = self._with(sets[0].chosen) if sets else self.known
        run = self.evaluator.run(known, self.request.checks)
        reporter = self.evaluator.reporter
        report = reporter.examine(self.asked, run)
        leans = deciding(run.plan, report.by_check, [check.plan for check in report.judged.judged])
        words: JsonObject = {"scope": report.scope_words} if report.scope else {}
        return words | {
            "questions": self._questions(report),
            "assumptions": reporter.assumptions.of_plan(run.plan, leans, self.request.units, full=False),
            "open": reporter.open.words(run.plan, report.judged, needs=False).open,
        }

    def _questions(self, report: Report) -> list[JsonObject]:
        """Where a target is meant comes first: it decides what every part has to carry."""
        places = self._places_not_given()
        questions = self.evaluator.reporter.brief_questions(report, places)
        return [
            question | {"why": WHY_PLACE} if question["input"] in places else question
            for question in questions
        ]

    def _places_not_given(self) -> list[str]:
        """Where a target is meant, crank or wheels, when nobody said."""
        return [
            field.place
            for field in self.evaluator.rulebook.inputs.values()
            if field.effort == GOAL and field.place and field.place not in self.known.choices
            if any(identifier(word) in self.known.numbers for word in field.words.values())
        ]

    def _sets(self, tables: list[VerdictTable]) -> _Solved:
        """The best sets, each judged once more as a whole build; what no table holds shows there and is ruled
        out.
        """
        ruled_out: list[Chosen] = []
        chooser, proved = self._chooser(tables, ruled_out)
        sets: list[_Judged] = []
        for _ in range(MOST_ROUNDS):
            solution = chooser.best()
            if solution.chosen is None and ruled_out and not sets and self._by_margin:
                # Every set at this margin was ruled out as a whole build; the next widest margin is looked
                # for.
                chooser, margin_proved = self._chooser(tables, ruled_out)
                proved, solution = proved and margin_proved, chooser.best()
            proved = proved and solution.proved
            if solution.chosen is None:
                return _Solved(sets, proved)
            outcomes = self._judged_set(solution.chosen)
            if SEVERITY.get(outcomes.verdict, 0) <= SEVERITY[self.request.allow]:
                sets.append(self._judged(solution.chosen, outcomes))
                if len(sets) == MOST_SETS:
                    return _Solved(sets, proved)
            ruled_out.append(solution.chosen)
            chooser.forbid(solution.chosen)
        return _Solved(sets, proved and bool(sets))

    @property
    def _by_margin(self) -> bool:
        return self.request.objective == "widest_margin"

    def _chooser(self, tables: list[VerdictTable], ruled_out: list[Chosen]) -> tuple[Chooser, bool]:
        if self._by_margin:
            return widest(self.open_slots, tables, self.wish, ruled_out)
        chooser = Chooser(self.open_slots, tables, self.wish)
        chooser.require()
        return chooser, True

    def _with(self, chosen: Chosen) -> Known:
        """The build with a set of parts."""
        known = self.known
        for slot, position in chosen.items():
            known = added(known, self.open_slots[slot][position])
        return known

    def _judged_set(self, chosen: Chosen) -> Outcomes:
        """The whole build with a set of parts."""
        return judge_many(self.evaluator, [self._with(chosen)], self.request.checks)[0]

    def _judged(self, chosen: Chosen, outcomes: Outcomes) -> _Judged:
        parts = [self.open_slots[slot][position].part for slot, position in chosen.items()]
        return _Judged(chosen, SetOfParts(parts, outcomes))

    def _set_words(self, judged: _Judged, best: _Judged) -> JsonObject:
        chosen, outcomes = judged.parts, judged.parts.outcomes
        same = judged is best
        words: JsonObject = {
            "parts": {part.slot: part.number for part in chosen.parts},
            "price": chosen.price / 100,
            "price_text": self.catalog.money(chosen.price),
            "text": self.words.first(chosen) if same else self.words.other(chosen, best.parts),
            "verdict": outcomes.verdict,
            "judged": len(outcomes.checks),
            "warns": chosen.warns,
        } | least_margin(outcomes)
        if self.current:
            words["changes"] = [
                part.slot for part in chosen.parts if self.current.get(part.slot) != part.number
            ]
        return words

    def _conflict(self, tables: list[VerdictTable]) -> JsonObject:
        """The set that breaks the fewest checks, and what it breaks: the least that has to give."""
        miss = Chooser(self.open_slots, tables, self.wish).nearest_miss()
        if miss.chosen is None:
            return {"text": self.words.none([]), "checks": []}
        outcomes = self._judged_set(miss.chosen)
        allowed = SEVERITY[self.request.allow]
        over = [outcome.check for outcome in outcomes.checks if SEVERITY[outcome.verdict] > allowed]
        if outcomes.consistency and SEVERITY[outcomes.consistency] > allowed:
            over.append("spec-consistency")
        nearest = self._judged(miss.chosen, outcomes)
        return {
            "text": self.words.none(over or miss.broken),
            "checks": over or miss.broken,
            "nearest": self._set_words(nearest, nearest),
        }
