"""The entry of one judged check in a reply: value, limit, doubt, explanation, working."""

from dataclasses import dataclass

from service.evaluation.judging.judge import JudgedCheck, Judgement
from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.doubt import DoubtWriter, doubt
from service.evaluation.reporting.sentences import Place, Writer, say
from service.evaluation.reporting.wording import Wording, Wordings
from service.evaluation.reporting.working import WorkingWriter
from service.evaluation.request import Request
from service.evaluation.running.run import Run
from service.json_object import JsonObject
from service.rulebook.check import Check
from service.rulebook.files.text import Sentence
from service.rulebook.rulebook import Rulebook

# Nobody asks a customer more than this about one check; all of them come at full.
SETTLED_BY_AT_SUMMARY = 3
# More nobody reads out to a customer.
MOST_WORDS_EXPLAINED = 45


@dataclass(slots=True)
class Entry:
    """One check of a reply, and what a headline says of it: its first sentence, and what could turn its
    verdict.

    `all_stated`: what could turn it lies behind inputs that were given.
    """

    check: str
    verdict: str
    words: JsonObject
    first: str
    cause: str = ""
    all_stated: bool = False
    could_be: tuple[str, ...] = ()

    @property
    def margin(self) -> float:
        """How far past its limit (-); without a limit it lacks all it needs, and a pass is past none."""
        if self.verdict == "pass":
            return 0.0
        lacks = "missing" in self.words or ("value" in self.words and "limit" not in self.words)
        return float(self.words.get("margin", -1.0 if lacks else 0.0))

    @property
    def in_doubt(self) -> bool:
        return len(self.could_be) > 1

    @property
    def could_pass(self) -> bool:
        """Whether a failure may turn out to be less under what was assumed."""
        return "pass" in self.could_be


def source_of(rulebook: Rulebook, id: str, full: bool) -> JsonObject:
    """How far a number may be trusted; at full with the citation."""
    source = rulebook.sources[id]
    return {"kind": source.kind, "citation": source.citation} if full else {"kind": source.kind}


class EntryWriter:
    """Writes the entries of one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer
        self.working = WorkingWriter(writer)
        self.doubts = DoubtWriter(writer)

    def entry(self, judged: JudgedCheck, spread: Spread | None, run: Run, request: Request) -> Entry:
        """The entry of a judged check."""
        check_plan, judgement = judged
        check = check_plan.check
        wording = self._wording(judged, run.plan, request)
        first = say(wording.sentences[:1], run.figures, judgement)
        entry = Entry(check.id, judgement.verdict, {"check": check.id}, first)
        doubted = "ranges" in request.include and wording.shower
        if doubted:
            entry.cause = self.doubts.cause(spread, wording.unsized, run.plan, request.units)
            entry.all_stated = bool(spread and spread.stated and not spread.shares and not wording.unsized)
            entry.could_be = spread.could_be if spread else ()
        if judgement.verdict == "pass" and not request.full:
            entry.words |= _short(judged, entry)
            return entry
        words = entry.words
        words |= {"title": check.title, "verdict": judgement.verdict}
        words |= _figures(judgement, wording)
        words |= _lacks(judged)
        doubt_sentence = ""
        if doubted and wording.shower:
            if check_plan.leaning or spread:
                settle_by = _settle_by(wording, spread, request)
                words |= doubt(wording.shower, spread, judgement.verdict, settle_by)
            told = wording.shower if wording.tells_value else None
            doubt_sentence = self.doubts.sentence(told, spread, run.plan, request.units)
        details = self._details(judgement, wording, run)
        words["explanation"] = _told([first, doubt_sentence, *details], request)
        if check_plan.leaning and request.full:
            words["rests_on"] = wording.rests_on
        if check.cautions:
            words["cautions"] = check.cautions
        if request.full:
            words["working"] = self.working.lines(self._names(judged, run.plan), run, request.units)
        return entry

    def _details(self, judgement: Judgement, wording: Wording, run: Run) -> list[str]:
        """The sentences after the first, some of which may be empty."""
        rest = [say([sentence], run.figures, judgement) for sentence in wording.sentences[1:]]
        if judgement.held_back:
            rest.append("The speed this is judged at is assumed, so it can warn and not fail.")
        if judgement.eased:
            rest.append(say(wording.eased, run.figures, judgement))
        if judgement.second_look:
            rest.append(say(wording.second_look, run.figures, judgement.second_look))
        return rest

    def _names(self, judged: JudgedCheck, plan: Plan) -> list[str]:
        """What the working is shown of: the quantity judged, those with a limit, those the check shows
        besides.
        """
        check, point = judged.plan.check, judged.judgement.point
        judged_names = (check.judges or "", *(bound.judges for bound in check.bounds))
        names = [self.rulebook.identify(name, point) for name in judged_names]
        shows = [self.rulebook.identify(name, point) for name in check.shows]
        known = [name for name in (*names, *shows) if name and plan.resolution.known(name)]
        return list(dict.fromkeys(known))

    def _wording(self, judged: JudgedCheck, plan: Plan, request: Request) -> Wording:
        """What depends on plan, point, verdict and units only, made once."""
        judgement, second_look = judged.judgement, judged.judgement.second_look
        wordings = judged.plan.kept.once(Wordings, Wordings)
        key = (
            judgement.point_plan.point,
            second_look and second_look.point_plan.point,
            judgement.verdict,
            judgement.eased,
            judgement.held_back,
            id(judgement.counting),
            request.units,
            request.detail,
        )
        if key not in wordings:
            wordings[key] = self._new_wording(judged, plan, request)
        return wordings[key]

    def _new_wording(self, judged: JudgedCheck, plan: Plan, request: Request) -> Wording:
        (check_plan, judgement), system = judged, request.units
        check, point = check_plan.check, judgement.point
        shown = self.rulebook.identify(judgement.counting.bound.judges, point)
        leans = [plan.resolution.leans[lean] for lean in check_plan.leaning]
        level = "fail" if judgement.eased or judgement.held_back else judgement.verdict
        at_limit = Place(point, shown, system, check_plan)
        at_value = Place(point, self.rulebook.identify(check.judges or "", point), system, check_plan)
        prepare = self.writer.prepare
        # A second look is always at an operating point.
        second_point = judgement.second_look.point if judgement.second_look else None
        at_second_look = at_value._replace(point=second_point)
        second_texts = check.text["second_look"] if second_point else ()
        texts = _texts(judgement, check, level)
        return Wording(
            self.writer.shower_of(shown, system) if shown else None,
            [prepare(sentence, plan, at_limit) for sentence in texts],
            [prepare(sentence, plan, at_value) for sentence in check.text.get("eased", ())],
            [prepare(sentence, plan, at_second_look) for sentence in second_texts],
            source_of(self.rulebook, judgement.counting.bound.source, request.full),
            list(dict.fromkeys(lean.input or lean.id for lean in leans)),
            [lean.input for lean in leans if lean.table and lean.input],
            any(gap.name == "value" for gap in texts[0].placeholders),
        )


def _texts(judgement: Judgement, check: Check, level: str) -> tuple[Sentence, ...]:
    """The words of the limit that counts, where it has its own; else those of the verdict."""
    counting = judgement.counting
    return counting.bound.text if counting.level == level and counting.bound.text else check.text[level]


def _told(sentences: list[str], request: Request) -> str:
    """An explanation: at full all of it, else what fits, the doubt before the details."""
    if request.full:
        first, doubt_sentence, *rest = sentences
        return " ".join(filter(None, [first, *rest, doubt_sentence]))
    return within(sentences, MOST_WORDS_EXPLAINED)


def _short(judged: JudgedCheck, entry: Entry) -> JsonObject:
    """A pass at summary: what was judged, that nothing was found, and whether that could turn."""
    words: JsonObject = {"verdict": "pass", "text": entry.first}
    if entry.in_doubt:
        words["could_be"] = list(entry.could_be)
    return words | _lacks(judged)


def _lacks(judged: JudgedCheck) -> JsonObject:
    """What is missing of what a check requires, and the operating points it was not judged at."""
    check_plan, judgement = judged
    words: JsonObject = {}
    if check_plan.missing:
        words["missing"] = list(check_plan.missing)
    if check_plan.not_judged or judgement.not_worked_out:
        words["not_judged_at"] = [*check_plan.not_judged, *judgement.not_worked_out]
    if check_plan.needs:
        words["needs"] = [list(group) for group in check_plan.needs]
    return words


def _figures(judgement: Judgement, wording: Wording) -> JsonObject:
    """Value, limit, margin and operating point; a yes or no has a value at most."""
    shower = wording.shower
    if shower is None:
        return {}
    value = shower.measure(judgement.value)
    if judgement.margin is not None and judgement.margin < 0:
        value["text"] = shower.apart(judgement.value, judgement.limit)
    words: JsonObject = {"value": value}
    if not judgement.counting.yes_or_no:
        side = judgement.counting.bound.side
        words["limit"] = shower.measure(judgement.limit) | {"side": side, "source": wording.source}
        if judgement.margin is not None:
            words["margin"] = round(judgement.margin, 4)
    point = judgement.point
    if point:
        words["judged_at"] = point
    return words


def _settle_by(wording: Wording, spread: Spread | None, request: Request) -> list[str]:
    """The inputs that would settle the verdict, those that settle most of it first."""
    inputs = list(dict.fromkeys([*(spread.shares if spread else ()), *wording.unsized]))
    return inputs if request.full else inputs[:SETTLED_BY_AT_SUMMARY]
