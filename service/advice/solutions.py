"""Working backwards: the value of one input at which a quantity of the build reaches what is wanted."""

from dataclasses import dataclass

from service.advice.ladder import Ladder, ladder_of, ladder_of_sizes
from service.advice.reached import Reached, Wanted
from service.advice.trial import Trial
from service.errors import SpecError, SpecFault
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.combination import combined
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.planning.needs import Needs
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.reporting.sentences import lower
from service.evaluation.request import Request
from service.json_object import JsonObject
from service.rulebook.model import Quantity
from service.rulebook.names import identifier
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number

# Where a quantity of several operating points is meant when nobody says.
USUAL_POINT = "peak_power"


@dataclass(frozen=True, slots=True)
class Reach:
    """What is to be reached: a quantity, the value as the client wrote it, and the operating point."""

    quantity: str
    value: object
    at: str | None = None


@dataclass(frozen=True, slots=True)
class SolutionsRequest:
    """A build, the input to find, and what it has to reach."""

    build: JsonObject
    find: str
    reach: Reach
    units: str = "metric"


def solutions(evaluator: Evaluator, request: SolutionsRequest) -> JsonObject:
    """Every value that reaches it, with range and verdict; or the nearest there is."""
    evaluator = evaluator.speaking(request.units)
    known = evaluator.read(request.build)
    quantity, wanted = _wanted(evaluator, request.reach)
    ladder = _ladder(evaluator, request, known)
    return _Solver(evaluator, request, known).answer(quantity, ladder, wanted)


def _wanted(evaluator: Evaluator, reach: Reach) -> tuple[Quantity, Wanted]:
    quantity = evaluator.rulebook.quantities[reach.quantity]
    form = NumberForm(
        quantity.label,
        (quantity.dimension,),
        {quantity.dimension: (float("-inf"), float("inf"))},
        reading=quantity.reading,
    )
    reading = read_number(reach.value, form)
    if not isinstance(reading, Reading):
        raise SpecError([SpecFault("/reach/value", *reading)])
    point = reach.at or USUAL_POINT if quantity.at_points else None
    return quantity, Wanted(evaluator.rulebook.identify(reach.quantity, point), reading.value)


def _ladder(evaluator: Evaluator, request: SolutionsRequest, known: Known) -> Ladder:
    ladder = ladder_of(evaluator.rulebook, request.find, known, request.units)
    if ladder is None:
        movable = ", ".join(field.path for field in evaluator.rulebook.inputs.values() if field.steps)
        detail = f"{evaluator.rulebook.inputs[request.find].label} is no number with a step to move it by."
        raise SpecError([SpecFault("/find", "not-movable", detail, movable)])
    return ladder


class _Solver:
    def __init__(self, evaluator: Evaluator, request: SolutionsRequest, known: Known):
        self.evaluator = evaluator
        self.rulebook = evaluator.rulebook
        self.request = request
        self.known = known

    def answer(self, quantity: Quantity, ladder: Ladder, wanted: Wanted) -> JsonObject:
        """The whole reply."""
        reached = Reached(self.evaluator, self._with_what_is_reached(quantity, wanted), ladder, wanted)
        shower = self.evaluator.writer.shower_of(wanted.name, self.request.units)
        reply: JsonObject = {"find": self.request.find, "label": ladder.input.label}
        asks: list[str] = []
        if not reached.known_at_all:
            asks, sentences = self._unknown(quantity, reached)
        elif not reached.depends:
            sentences = [
                f"The {lower(quantity.label)} doesn't depend on the {lower(ladder.input.label)} here."
            ]
        else:
            found = [self._solution(reached, root) for root in reached.roots()]
            reply["solutions"] = found
            sentences = [_told(solution, shower.text(wanted.value)) for solution in found]
            if not found:
                sentences = self._nearest(reply, reached, quantity, shower)
            sentences += [solution["remark"] for solution in found if "remark" in solution]
        return reply | self._closing(reached, sentences, asks)

    def _with_what_is_reached(self, quantity: Quantity, wanted: Wanted) -> Known:
        """The build in which an input that the quantity works out is what is to be reached."""
        if quantity.instead_of is None or quantity.instead_of == self.request.find:
            return self.known
        return self.known.with_numbers({identifier(quantity.instead_of): wanted.value})

    def _unknown(self, quantity: Quantity, reached: Reached) -> tuple[list[str], list[str]]:
        """What the quantity lacks, and the sentence that says so."""
        groups = Needs(reached.plan.resolution).of(reached.wanted.name) or []
        asks = [group[0] for group in groups]
        labels = [lower(self.rulebook.inputs[path].label) for path in asks[:2]]
        needed = f": I need the {' and the '.join(labels)}" if labels else ""
        return asks, [f"I can't work out the {lower(quantity.label)} yet{needed}."]

    def _solution(self, reached: Reached, root: float) -> JsonObject:
        ladder = reached.ladder
        words = ladder.shown(root)
        moving = [lean for lean in reached.leans if lean.ends]
        ends = [self._moved(reached, root, f"assumed__{lean.id}", lean.ends) for lean in moving]
        low, high, *_ = combined(root, ends)
        if low < high:
            words["range"] = ladder.range(low, high)
        if size := self._next_size(ladder, root):
            words["next_size"] = size
        return words | self._verdict(ladder, root)

    def _moved(
        self, reached: Reached, root: float, name: str, ends: tuple[float, ...]
    ) -> tuple[float, float]:
        """The nearest solutions with one assumption at its ends; where there is none the end counts for
        nothing.
        """
        solved = []
        for end in ends:
            beside = reached.root_beside(root, {name: end})
            solved.append(root if beside is None else beside)
        return solved[0], solved[-1] if len(solved) > 1 else root

    def _next_size(self, ladder: Ladder, root: float) -> JsonObject | None:
        """The nearest size that is sold."""
        sizes = ladder_of_sizes(self.rulebook, self.request.find, self.known, self.request.units)
        if sizes is None or not sizes.sizes:
            return None
        rung = min(range(sizes.lowest, sizes.highest + 1), key=lambda rung: abs(sizes.value(rung) - root))
        return sizes.measure(rung) | {"set": sizes.json(rung)}

    def _verdict(self, ladder: Ladder, root: float) -> JsonObject:
        """The verdict of the whole build with it, and what fails."""
        verdicts = Trial(self.evaluator, self.known, (), {ladder.name: root}).base_verdicts()
        worst = max(verdicts.values(), key=SEVERITY.__getitem__, default="not_checked")
        fails = [check for check, verdict in verdicts.items() if verdict == "fail"]
        words: JsonObject = {"verdict": worst}
        if fails:
            words["stopped_by"] = fails[0]
            words["remark"] = f"With it the {self.rulebook.checks[fails[0]].short} fails."
        return words

    def _nearest(self, reply: JsonObject, reached: Reached, quantity: Quantity, shower: Shower) -> list[str]:
        nearest = reached.nearest()
        label = lower(reached.ladder.input.label)
        if nearest is None:
            return [f"The {lower(quantity.label)} can't be calculated at any {label} from these numbers."]
        at = reached.ladder.shown(nearest.input)
        reply["nearest"] = at | {"reaches": shower.measure(nearest.quantity)}
        return [
            f"No {label} gets there: the nearest is {shower.text(nearest.quantity)} at {at['text']}.",
        ]

    def _closing(self, reached: Reached, sentences: list[str], asks: list[str]) -> JsonObject:
        reporter, request = self.evaluator.reporter, self.request
        run = self.evaluator.run(self.known)
        report = reporter.examine(Request(request.build, units=request.units), run)
        scope = [rule.text for rule in report.scope]
        reply: JsonObject = {"headline": within([*scope, *sentences], MOST_WORDS)}
        if scope:
            reply["scope"] = report.scope_words
        return reply | {
            "questions": reporter.brief_questions(report, asks or self._deciding(reached)),
            "assumptions": reporter.assumptions.listed(reached.leans, request.units, full=False),
            "understood": [{"input": path, "text": text} for path, text in self.known.understood],
            "rulebook": reporter.identity,
            "service": self.rulebook.version,
        }

    def _deciding(self, reached: Reached) -> list[str]:
        """What would narrow the answer."""
        return [lean.input for lean in reached.leans if lean.input and lean.ends and not lean.stated]


def _told(solution: JsonObject, value: str) -> str:
    """'About 4.05 in (3.7 to 4.3 in) for 10 psi.'"""
    span = f" ({solution['range']['text']})" if "range" in solution else ""
    return f"About {solution['text']}{span} for {value}."
