"""How far each input can move, the others held: where it is comfortable, where it ends, what stops it."""

from dataclasses import dataclass, field

from service.advice.ladder import Ladder, ladder_of
from service.advice.limit_range import limit_range
from service.advice.limit_words import Limit, LimitWords, Sides
from service.advice.moved_input import WAYS, MovedInput
from service.advice.trial import Trial
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.plan import NotChecked
from service.evaluation.planning.reading import inputs_read
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.headline import MOST_WORDS, inside
from service.evaluation.reporting.sentences import lower
from service.evaluation.request import Request
from service.json_object import JsonObject

MOST_INPUTS = 24
# Where people order and tune: everything passes, and nothing fails.
LEVELS = {"comfortable": "pass", "edge": "warn"}
# Of what was not looked at this many checks are named in a sentence.
CHECKS_TOLD = 2
NOTHING_TO_MOVE = "Name the inputs to move: the build gives none that a check depends on."


@dataclass(frozen=True, slots=True)
class LimitsRequest:
    """A build and the inputs to move: the levers it gives where none is named."""

    build: JsonObject
    inputs: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    units: str = "metric"


@dataclass(slots=True)
class _Answered:
    """The answer for one input, the assumptions that decide it, and the inputs that would open it."""

    words: JsonObject
    leans: list[Lean] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)

    def say(self, sentences: list[str]) -> None:
        """The answer in words, whole and sentence by sentence."""
        self.sentences = sentences
        self.words["text"] = " ".join(sentences)


def limits(evaluator: Evaluator, request: LimitsRequest) -> JsonObject:
    """For each input the values that keep every check passing, those that fail none, and what stops it."""
    evaluator = evaluator.speaking(request.units)
    known = evaluator.read(request.build)
    base = Trial(evaluator, known, request.checks, {})
    judged = list(base.base_verdicts())
    mover = _Mover(evaluator, known, request)
    answered = [mover.answer(ladder) for ladder in _ladders(evaluator, request, known, judged)]
    reporter = evaluator.reporter
    asked = Request(request.build, units=request.units, checks=request.checks)
    report = reporter.examine(asked, base.base)
    asks = [path for answer in answered for path in answer.asks]
    leans = {lean.id: lean for answer in answered for lean in answer.leans}
    reply: JsonObject = {
        "headline": within([*(rule.text for rule in report.scope), *_headline(answered)], MOST_WORDS),
        "limits": [answer.words for answer in answered],
    }
    if report.scope:
        reply["scope"] = report.scope_words
    return reply | {
        "questions": reporter.brief_questions(report, asks),
        "assumptions": reporter.assumptions.of_plan(base.plan, leans.values(), request.units, full=False),
        "open": reporter.open.words(base.plan, report.judged, needs=False).open,
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "rulebook": reporter.identity,
        "service": evaluator.rulebook.version,
    }


def _headline(answered: list[_Answered]) -> list[str]:
    """What is said of one input; of several, each with its name."""
    if not answered:
        return [NOTHING_TO_MOVE]
    if len(answered) == 1:
        return answered[0].sentences
    limited = [answer for answer in answered if answer.words["state"] != "not_judged"]
    return [f"{answer.words['label']}: {inside(answer.sentences[0])}" for answer in limited or answered]


def _ladders(evaluator: Evaluator, request: LimitsRequest, known: Known, judged: list[str]) -> list[Ladder]:
    """The inputs to move: those asked for, else the levers of the checks judged that the build gives."""
    rulebook = evaluator.rulebook
    if not request.inputs:
        levers = dict.fromkeys(path for id in judged for path in rulebook.checks[id].levers)
        given = (ladder_of(rulebook, path, known, request.units) for path in levers)
        return [ladder for ladder in given if ladder and ladder.now is not None][:MOST_INPUTS]
    ladders = {path: ladder_of(rulebook, path, known, request.units) for path in request.inputs}
    movable = ", ".join(field.path for field in rulebook.inputs.values() if field.steps)
    faults = [
        SpecFault(
            f"/inputs/{position}",
            "not-movable",
            f"{rulebook.inputs[path].label} is no number with a step to move it by.",
            movable,
        )
        for position, path in enumerate(request.inputs)
        if ladders[path] is None
    ]
    if faults:
        raise SpecError(faults)
    return [ladder for path in request.inputs if (ladder := ladders[path])]


class _Mover:
    """Moves the inputs of one request."""

    def __init__(self, evaluator: Evaluator, known: Known, request: LimitsRequest):
        self.evaluator = evaluator
        self.rulebook = evaluator.rulebook
        self.known = known
        self.request = request

    def answer(self, ladder: Ladder) -> _Answered:
        """How far one input can move, or why that cannot be said."""
        place = {ladder.name: ladder.value(ladder.highest)}
        trial = Trial(self.evaluator, self.known, self.request.checks, place)
        moved = MovedInput(trial, ladder)
        answered = _Answered({"input": ladder.input.path, "label": ladder.input.label})
        if ladder.now is not None:
            answered.words["now"] = ladder.text_now()
        not_looked_at = self._not_looked_at(trial, ladder.input.path)
        blocking = self._blocking(trial, not_looked_at)
        if blocking or not moved.checks:
            self._not_judged(answered, ladder, blocking or not_looked_at)
        else:
            self._limited(answered, moved, not_looked_at)
        return answered

    def _not_looked_at(self, trial: Trial, path: str) -> list[NotChecked]:
        """The checks that this input can decide and that lack something."""
        judged = {check_plan.check.id for check_plan in trial.plan.checks}
        return [
            entry
            for entry in trial.plan.not_checked
            if entry.check not in judged
            and entry.needs
            and self.rulebook.checks[entry.check].can_fail
            and path in self.rulebook.checks[entry.check].levers
        ]

    def _blocking(self, trial: Trial, not_looked_at: list[NotChecked]) -> list[NotChecked]:
        """Those for which something was given that has no part in any verdict: who names the octane asks
        about knock.
        """
        read = inputs_read(trial.plan).all
        dependence = self.evaluator.dependence
        given = {dependence.paths[name] for name in self.known.numbers if name in dependence.paths}
        given |= self.known.choices.keys()
        # A subject that somebody brought up, the fuel for instance, and nothing judged reads a word of.
        idle = {_group(path) for path in given} - {_group(path) for path in given & read}
        return [
            entry
            for entry in not_looked_at
            if not idle.isdisjoint(_group(lever) for lever in self.rulebook.checks[entry.check].levers)
        ]

    def _not_judged(self, answered: _Answered, ladder: Ladder, entries: list[NotChecked]) -> None:
        groups = sorted({group for entry in entries for group in entry.needs[:1]}, key=len)
        label = lower(ladder.input.label)
        answered.words["state"] = "not_judged"
        answered.words["needs"] = [
            {"check": entry.check, "needs": [list(group) for group in entry.needs]} for entry in entries
        ]
        first = min(entries, key=lambda entry: len(entry.needs), default=None)
        if first is None:
            answered.say([f"Nothing I can judge here depends on the {label}."])
            return
        answered.asks = [group[0] for group in first.needs] + [group[0] for group in groups]
        needed = lower(self.rulebook.inputs[first.needs[0][0]].label)
        short = self.rulebook.checks[first.check].short
        answered.say([f"I can't say yet: for the {short} I need the {needed}."])

    def _limited(self, answered: _Answered, moved: MovedInput, not_looked_at: list[NotChecked]) -> None:
        unsaid = self.evaluator.reporter.questions.unsaid(moved.trial.plan)
        words = LimitWords(self.evaluator.writer, moved.ladder, unsaid)
        found = {level: self._sides(moved, allowed) for level, allowed in LEVELS.items()}
        start = moved.start("warn")
        if start is None:
            rung = moved.rungs()[0]
            stopped = moved.stopped_by(rung, "warn")
            assert stopped is not None, "a rung that will not do is stopped by a check"
            answered.words |= {"state": "none_will_do", "stopped_by": stopped.check}
            answered.say([words.none_will_do(stopped)])
            return
        edge, comfortable = found["edge"] or {}, found["comfortable"] or {}
        stopped_somewhere = edge or comfortable or found["comfortable"] is None
        answered.words["state"] = "limited" if stopped_somewhere else "free"
        for level, sides in (("comfortable", comfortable), ("edge", edge)):
            if sides:
                answered.words[level] = words.sides(sides)
        every_side = (*edge.values(), *comfortable.values())
        decided_by = [limit.range.decided_by.lean for limit in every_side if limit.range.decided_by]
        answered.leans = list({lean.id: lean for lean in decided_by}.values())
        assumed = [lean.input for lean in answered.leans if lean.input and not lean.stated]
        answered.asks = [unsaid.get(path, path) for path in assumed]
        if depends_on := list(dict.fromkeys(answered.asks)):
            answered.words["depends_on"] = depends_on
        sentences = words.sentences(comfortable, edge) or [words.free(moved.checks)]
        if edge and found["comfortable"] is None:
            sentences.append("There is a warning at any value.")
        if not_looked_at:
            shorts = [self.rulebook.checks[entry.check].short for entry in not_looked_at[:CHECKS_TOLD]]
            sentences.append(f"Not counting the {' and the '.join(shorts)}, which I can't judge yet.")
            answered.words["not_looked_at"] = [entry.check for entry in not_looked_at]
            answered.asks += [entry.needs[0][0] for entry in not_looked_at]
        answered.say(sentences)

    def _sides(self, moved: MovedInput, allowed: str) -> Sides | None:
        """Where the input stops each way at one level; None where no value will do."""
        start = moved.start(allowed)
        if start is None:
            return None
        sides: Sides = {}
        for way in WAYS:
            stop = moved.stop(start, way, allowed)
            if stop:
                sides[way] = Limit(stop, limit_range(moved, stop, way, allowed))
        return sides


def _group(path: str) -> str:
    return path.rpartition(".")[0]
