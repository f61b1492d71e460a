"""The answer to a build held against its own pulls."""

from service.dyno.answers import closing, interval, set_of_pulls
from service.dyno.calibration import NAMES, Explanation, contradicted, explanations, held_against, narrowed
from service.dyno.pulls import Pulls
from service.dyno.ranges import Ranges, find_ranges
from service.evaluation.evaluate import Evaluator
from service.evaluation.reporting.display import ten_digits
from service.json_object import JsonObject

LOGGED_DUTY = "measured__injector_duty"


def calibrated(evaluator: Evaluator, build: JsonObject, pulls: Pulls, place: str, units: str) -> JsonObject:
    """What the pulls imply, which assumption explains a difference, and the build to post back."""
    evaluator = evaluator.speaking(units)
    known = evaluator.read(build)
    ran = held_against(known, pulls, place)
    writer = _CalibrationWriter(evaluator, find_ranges(evaluator, ran, NAMES), units)
    ranges = writer.ranges
    shower = evaluator.writer.display.shower("power", units)
    answer: JsonObject = {
        "pulls": set_of_pulls(shower, pulls) | {"at": place},
        "found": [writer.implied(name) for name in NAMES if name in ranges.slots],
    }
    logged = known.numbers.get(LOGGED_DUTY)
    if logged is not None and "injector_duty" in ranges.slots:
        answer["logged"] = [writer.logged("injector_duty", logged)]
    if len(pulls.values) < 2:
        answer["text"] = "One pull shows no scatter; the ranges cover what was assumed, not the dyno."
    answer["explained_by"] = [writer.explained(explanation) for explanation in explanations(ranges)]
    answer["spec"] = _spec_to_post_back(evaluator, build, pulls, place, narrowed(ranges))
    fails, passes = contradicted(evaluator, ran)
    answer["contradicted"] = [writer.contradicted(check) for check in fails]
    answer["confirmed"] = passes
    leans = [mover.lean for mover in ranges.movers if mover.lean]
    answer["assumptions"] = evaluator.reporter.assumptions.listed(leans, units, full=False)
    return answer | closing(evaluator, _text(answer["contradicted"], passes))


def _text(contradicted: list[JsonObject], confirmed: list[str]) -> str:
    """Whether the dyno bears the plan out."""
    if contradicted:
        count = len(contradicted)
        checks = f"{count} check{'' if count == 1 else 's'}"
        return f"The dyno speaks against the plan in {checks}. {contradicted[0]['text']}"
    if confirmed:
        return f"The dyno bears out the plan in {len(confirmed)} check{'' if len(confirmed) == 1 else 's'}."
    return "These pulls answer nothing that was in doubt."


class _CalibrationWriter:
    def __init__(self, evaluator: Evaluator, ranges: Ranges, units: str):
        self.rulebook, self.writer = evaluator.rulebook, evaluator.writer
        self.ranges, self.units = ranges, units

    def implied(self, name: str) -> JsonObject:
        """A quantity as the pulls have it."""
        shower = self.writer.shower_of(name, self.units)
        return {
            "quantity": name,
            "label": self.rulebook.graph.nodes[name].quantity.label,
            "value": shower.measure(self.ranges.value(name)),
            "between": interval(shower, *self.ranges.between(name)),
        }

    def logged(self, name: str, logged: float) -> JsonObject:
        """A logged figure beside the calculated one, and whether the range holds it."""
        shower, (low, high) = self.writer.shower_of(name, self.units), self.ranges.between(name)
        calculated = self.ranges.value(name)
        agrees = low <= logged <= high
        outcome = (
            "they agree"
            if agrees
            else ("they do not agree, so the injector, its pressure or the fuel is not what you gave")
        )
        return {
            "quantity": name,
            "logged": shower.measure(logged),
            "calculated": shower.measure(calculated),
            "agrees": agrees,
            "text": f"Logged {shower.text(logged)}, calculated {shower.text(calculated)} and "
            f"{shower.text(low)} to {shower.text(high)} under what was assumed: {outcome}.",
        }

    def explained(self, explanation: Explanation) -> JsonObject:
        """An assumption that explains the difference alone."""
        label = self.rulebook.assumptions[explanation.lean.id].label
        shower = self.writer.shower_of(explanation.name, self.units)
        needed, typical = shower.text(explanation.needed), shower.text(explanation.typical)
        return {
            "input": explanation.lean.input or explanation.lean.id,
            "text": f"{label}: {needed} instead of {typical} explains the difference alone.",
        }

    def contradicted(self, check: str) -> JsonObject:
        """A check that fails for a power that was reached all the same."""
        return {
            "check": check,
            "text": f"On paper the {self.rulebook.checks[check].short} fails at the power that was reached, "
            "so an assumption is off or the part ran past its limit.",
        }


def _spec_to_post_back(
    evaluator: Evaluator, build: JsonObject, pulls: Pulls, place: str, filling: tuple[float, float] | None
) -> JsonObject:
    """The build as it was, without what was planned, with what was measured and the filling that the pulls
    leave.
    """
    shower = evaluator.writer.display.shower("power", "metric")
    spec: JsonObject = {
        group: dict(fields) if isinstance(fields, dict) else fields
        for group, fields in build.items()
        if group != "target"
    }
    power: JsonObject = {"value": shower.measure(pulls.mean)["value"], "unit": shower.unit}
    width = pulls.half_width()
    if width:
        power["tolerance"] = ten_digits(width / shower.factor)
    word = "crank_power" if place == "crank" else "wheel_power"
    spec.setdefault("measured", {})[word] = power
    if filling:
        low, high = filling
        middle, half = (low + high) / 2, (high - low) / 2
        spec.setdefault("engine", {})["volumetric_efficiency"] = f"{middle:.4f} ±{half:.4f}"
    return spec
