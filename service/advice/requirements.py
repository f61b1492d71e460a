"""What to order for a target: for each kind of part the size that passes and the next one sold."""

from dataclasses import dataclass

from service.advice.fitting_parts import FittingParts
from service.advice.requirement import Requirement, RequirementFinder
from service.advice.trial import Trial
from service.catalog.catalog import Catalog
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.request import Request
from service.json_object import JsonObject

# Where the target is told.
TARGETS = ("target.power", "target.torque")
PLACES = {"target.power": "target.power_at", "target.torque": "target.torque_at"}


@dataclass(frozen=True, slots=True)
class RequirementsRequest:
    """A build with a target, the kinds of part asked for (all where none is named), the worst verdict
    allowed.
    """

    build: JsonObject
    slots: tuple[str, ...] = ()
    allow: str = "pass"
    units: str = "metric"
    delivered: tuple[str, ...] = ()
    """The inputs that are still what the car came with, by path."""


def requirements(
    evaluator: Evaluator, request: RequirementsRequest, catalog: Catalog | None = None
) -> JsonObject:
    """The shopping list, in the order in which people order."""
    evaluator = evaluator.speaking(request.units)
    known = evaluator.read(request.build)
    run = Trial(evaluator, known, (), {}).base
    report = evaluator.reporter.examine(Request(request.build, units=request.units), run)
    listed = _listed(evaluator, known, request, catalog)
    leans = {lean.id: lean for requirement in listed for lean in requirement.leans}
    asks = dict.fromkeys(path for requirement in listed for path in requirement.asks)
    scope = [rule.text for rule in report.scope]
    reply: JsonObject = {
        "headline": within([*scope, *_headline(evaluator, known, request, listed)], MOST_WORDS),
        "allowed": request.allow,
        "requirements": [requirement.words for requirement in listed],
    }
    if report.scope:
        reply["scope"] = report.scope_words
    reporter = evaluator.reporter
    return reply | {
        "questions": reporter.brief_questions(report, list(asks)),
        "assumptions": reporter.assumptions.of_plan(run.plan, leans.values(), request.units, full=False),
        "open": reporter.open.words(run.plan, report.judged, needs=False).open,
        "understood": [{"input": path, "text": text} for path, text in known.understood],
        "rulebook": reporter.identity,
        "service": evaluator.rulebook.version,
    }


def _listed(
    evaluator: Evaluator, known: Known, request: RequirementsRequest, catalog: Catalog | None
) -> list[Requirement]:
    """What the build needs; of a kind of part asked for by name also what cannot be sized yet."""
    finder = RequirementFinder(evaluator, known, request.allow, request.units)
    fitting = FittingParts(evaluator, catalog, request.build, request.allow)
    listed = []
    for slot in evaluator.rulebook.slots.values():
        if slot.name not in request.slots and (request.slots or not finder.has(slot)):
            continue
        for path, way in slot.sizes.items():
            requirement = finder.find(slot, path, way)
            if requirement is None or not (request.slots or _concerns(evaluator, known, requirement)):
                continue
            if path in request.delivered and "have" in requirement.words:
                requirement.words["as_delivered"] = True
            if requirement.words["state"] == "needed":
                parts = fitting.of(slot.name, path, requirement.words["checks"])
                requirement.words |= {"parts": parts} if parts else {}
            listed.append(requirement)
    return listed


def _concerns(evaluator: Evaluator, known: Known, requirement: Requirement) -> bool:
    """Whether it can be sized, and by something that was given: nobody asked for what is all assumed."""
    if requirement.words["state"] == "not_judged":
        return False
    paths = evaluator.dependence.paths
    given = {*known.choices, *(paths[name] for name in known.numbers if name in paths)}
    return any(not given.isdisjoint(evaluator.dependence.of(check)) for check in requirement.words["checks"])


def _headline(
    evaluator: Evaluator, known: Known, request: RequirementsRequest, listed: list[Requirement]
) -> list[str]:
    """'For 600 hp at the crank: 60 lb/h injectors, a 340 L/h pump.'; as many as can be taken in."""
    if len(request.slots) == 1 and listed:
        return listed[0].sentences
    needed = [requirement.phrase for requirement in listed if requirement.needed]
    start = f"For {_target(evaluator, known, request.units)}:"
    if request.delivered:
        # Of an engine as delivered people ask what does not hold any longer.
        needed = [requirement.phrase for requirement in listed if requirement.outgrown]
        start = f"For {_target(evaluator, known, request.units)} it also needs:"
    if needed:
        sentences = [f"{start} {', '.join(needed[:count])}" for count in range(len(needed), 0, -1)]
        counts = range(len(needed), 0, -1)
        told = [
            f"{sentence}{'' if count == len(needed) else f' and {len(needed) - count} more'}."
            for sentence, count in zip(sentences, counts, strict=True)
        ]
        fitting = (sentence for sentence in told if len(sentence.split()) <= MOST_WORDS)
        return [next(fitting, told[-1])]
    if any(requirement.words["state"] == "needed" for requirement in listed):
        return ["What you have is enough, as far as I can judge it."]
    return ["I can't size anything yet; the questions say what is missing."]


def _target(evaluator: Evaluator, known: Known, units: str) -> str:
    """'600 hp at the wheels'; 'this build' where no target is given."""
    for path in TARGETS:
        name = path.replace(".", "__")
        if name in known.numbers:
            text = evaluator.writer.shower_of(name, units).text(known.numbers[name])
            place = known.choices.get(PLACES[path])
            return f"{text} at the {place}" if place else text
    return "this build"
