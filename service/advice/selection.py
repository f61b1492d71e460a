"""Which parts of the catalog fill the open slots of a build.

Each slot's parts judged, the best complete sets, or what stands in the way.
"""

from typing import NamedTuple

from service.advice.boxes import Chosen
from service.advice.candidates import Candidates, Fixed
from service.advice.levers import GOAL
from service.advice.part_lines import PartLines, least_margin
from service.advice.selection_request import SelectionRequest, refuse_empty
from service.advice.selection_words import SetOfParts, SetWords
from service.advice.set_search import SetSearch
from service.advice.wish import Wish
from service.catalog.catalog import Catalog, stated_fields
from service.catalog.expand import expanded, parts_of
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.many import Outcomes
from service.evaluation.reporting.assumptions import deciding
from service.evaluation.reporting.report import Report
from service.evaluation.request import Request
from service.json_object import JsonObject
from service.rulebook.names import identifier

# Sets offered.
MOST_SETS = 3
WHY_PLACE = "It decides how much the parts have to carry."


def select(evaluator: Evaluator, catalog: Catalog, request: SelectionRequest) -> JsonObject:
    """The parts of each slot, the best sets, and what conflicts where there is none."""
    return _Selection(evaluator.speaking(request.units), catalog, request).answer()


class _Judged(NamedTuple):
    """A set that was tried: which candidate of each slot, and its parts with what they come to."""

    chosen: Chosen
    parts: SetOfParts


class _Selection:
    def __init__(self, evaluator: Evaluator, catalog: Catalog, request: SelectionRequest):
        self.evaluator, self.catalog, self.request = evaluator, catalog, request
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
        wish = Wish(request.objective, request.allow, request.budget, self.current, stated)
        self.search = SetSearch(evaluator, self.known, self.open_slots, wish, request.checks)
        self.words = SetWords(evaluator, catalog)
        asked = Request(request.build, units=request.units, checks=request.checks)
        self.lines = PartLines(evaluator, asked, self.known, self.checks)
        self.asked = asked

    def answer(self) -> JsonObject:
        sets = [self._judged(*judged) for judged in self.search.sets(MOST_SETS)]
        lines = {slot: self.lines.of(candidates) for slot, candidates in self.open_slots.items()}
        answer: JsonObject = {
            "headline": "",
            "objective": self.request.objective,
            "allowed": self.request.allow,
            "sets": [self._set_words(judged, sets[0]) for judged in sets],
            "proved": self.search.proved,
            "slots": [{"slot": slot, "parts": parts} for slot, parts in lines.items()],
        }
        if sets:
            best = sets[0].parts
            first = best.parts[0]
            told = [line["text"] for line in lines[first.slot] if line["number"] == first.number]
            answer["headline"] = self.words.headline(self.request.objective, best, told, self.search.proved)
        else:
            answer["conflict"] = self._conflict()
            answer["headline"] = answer["conflict"]["text"]
        return (
            answer
            | self._surroundings(sets)
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
        known = self.search.with_parts(sets[0].chosen) if sets else self.known
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

    def _conflict(self) -> JsonObject:
        """The set that breaks the fewest checks, and what it breaks: the least that has to give."""
        miss = self.search.nearest_miss()
        if miss.chosen is None:
            return {"text": self.words.none([], self.search.proved), "checks": []}
        outcomes = self.search.judged(miss.chosen)
        allowed = SEVERITY[self.request.allow]
        over = [outcome.check for outcome in outcomes.checks if SEVERITY[outcome.verdict] > allowed]
        if outcomes.consistency and SEVERITY[outcomes.consistency] > allowed:
            over.append("spec-consistency")
        nearest = self._judged(miss.chosen, outcomes)
        return {
            "text": self.words.none(over or miss.broken, self.search.proved),
            "checks": over or miss.broken,
            "nearest": self._set_words(nearest, nearest),
        }
