"""What the dyno calls answer: figures with units, and sentences a customer understands."""

from dataclasses import dataclass

import numpy

from service.dyno.calibration import NAMES, contradicted, explanations, held_against, narrowed
from service.dyno.pulls import CONFIDENCE, Pulls
from service.dyno.ranges import Ranges, ranges
from service.dyno.two_curves import compare_curves
from service.dyno.two_sets import Comparison, compare, scatter_that_would_do
from service.dyno.weather import BELIEVED_WITHIN, corrections
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.reporting.display import ten_digits

CAUTION = "dyno-run"
LOGGED_DUTY = "measured__injector_duty"
# A boost-controlled turbo holds its boost whatever the weather; correcting it up flatters it (proposal GRPE-70-02, 2014).
CORRECTED_UP = 1.03
# A set whose pulls lie further apart than this compares with nothing (from memory).
SPREAD_TOO_WIDE = 0.03


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull in SI: power or torque or both, and its weather."""

    power: float | None
    torque: float | None
    pressure: float
    temperature: float
    humidity: float


def corrected(evaluator: Evaluator, pulls: list[Pull], boost_controlled: bool, units: str) -> dict:
    """Each pull as measured, then by every standard."""
    return {
        "pulls": [_corrected(evaluator, pull, boost_controlled, units) for pull in pulls],
        "cautions": [evaluator.rulebook.cautions[CAUTION].text],
    } | _identity(evaluator)


def _corrected(evaluator: Evaluator, pull: Pull, boost_controlled: bool, units: str) -> dict:
    made: dict = {"uncorrected": _figures(evaluator, pull, 1.0, units), "corrections": []}
    for one in corrections(pull.pressure, pull.temperature, pull.humidity):
        entry = {"standard": one.word, "name": one.name, "factor": round(one.factor, 5)} | _figures(
            evaluator, pull, one.factor, units
        )
        entry |= {"within_range": not one.outside, "comparable": one.comparable}
        said = [one.outside] if one.outside else []
        if not one.comparable:
            said.append(
                f"It is not to be compared with a figure from another place{'' if one.outside else f': the weather is more than {100 * BELIEVED_WITHIN:.0f} % from the standard'}."
            )
        if boost_controlled and one.factor > CORRECTED_UP:
            said.append(
                "A turbo with controlled boost makes up for thin air by itself; corrected up like this it is corrected twice. Take factor 1."
            )
            entry |= {"comparable": False, "factor_1": _figures(evaluator, pull, 1.0, units)}
        if said:
            entry["text"] = " ".join(said)
        made["corrections"].append(entry)
    if boost_controlled:
        # The rule of ISO 1585 for spark ignition with held boost, from memory.
        made["corrections"].append(
            {"standard": "iso_1585_held_boost", "name": "ISO 1585, boost held by control", "factor": 1.0}
            | _figures(evaluator, pull, 1.0, units)
            | {"within_range": True, "comparable": True}
        )
    return made


def _figures(evaluator: Evaluator, pull: Pull, factor: float, units: str) -> dict:
    made = {}
    for word, value, dimension in (("power", pull.power, "power"), ("torque", pull.torque, "torque")):
        if value is not None:
            made[word] = evaluator.writer.display.shower(dimension, units).measure(value * factor)
    return made


def compared(
    evaluator: Evaluator,
    quantity: str,
    first: Pulls,
    second: Pulls,
    units: str,
    interleaved: bool = False,
    in_order: bool = False,
    claimed: float | None = None,
) -> dict:
    """Two sets of single pulls."""
    shower = evaluator.writer.display.shower(quantity, units)
    made: dict = {"a": _set(shower, first), "b": _set(shower, second)}
    if min(len(first.values), len(second.values)) < 2:
        made |= {
            "verdict": "cannot_be_told",
            "text": "One pull on a side shows no scatter, so no difference can be called real: make at least three on each side.",
        }
    else:
        test = compare(first, second, interleaved, claimed, in_order)
        made |= _test(shower, test, first, claimed) | {"verdict": "real" if test.real else "not_shown"}
        if not first.scatter and not second.scatter:
            made |= {
                "verdict": "cannot_be_told",
                "text": "Every pull of a side reads the same: the figures are rounded further than pulls scatter. Send them as the dyno prints them.",
            }
        wide = [
            name
            for name, pulls in (("A", first), ("B", second))
            if (max(pulls.values) - min(pulls.values)) / pulls.mean > SPREAD_TOO_WIDE
        ]
        if wide:
            made["verdict"] = "cannot_be_told"
            made["text"] = (
                f"The pulls of {' and '.join(wide)} lie more than {100 * SPREAD_TOO_WIDE:.0f} % apart: find out why before anything is compared."
            )
        if test.drift_chance is not None and test.drift_chance < 1 - CONFIDENCE:
            if test.real and test.beside_drift is not None and test.beside_drift >= 1 - CONFIDENCE:
                made |= {
                    "verdict": "cannot_be_told",
                    "text": "The difference is no larger than what the drift alone makes of it.",
                }
            made["text"] += (
                f" The figures drift by {shower.text(test.drift)} from pull to pull, as an engine that heats up does: let it cool alike before each, and make the runs in turns."
            )
    return made | {"cautions": [evaluator.rulebook.cautions[CAUTION].text]} | _identity(evaluator)


def _set(shower, pulls: Pulls) -> dict:
    made = {"count": len(pulls.values), "mean": shower.measure(pulls.mean)}
    if pulls.scatter is not None:
        made |= {
            "scatter": shower.measure(pulls.scatter),
            "scatter_share": round(pulls.scatter / pulls.mean, 5),
        }
    return made


def _test(shower, test: Comparison, first: Pulls, claimed: float | None) -> dict:
    word = "gain" if test.difference >= 0 else "loss"
    size = shower.text(abs(test.difference))
    share = f"{100 * abs(test.difference) / first.mean:.1f} %"
    if test.real:
        text = f"The {word} of {size} ({share}) is real: it lies between {shower.text(min(abs(test.low), abs(test.high)))} and {shower.text(max(abs(test.low), abs(test.high)))}."
    else:
        text = f"A {word} of {size} ({share}) is not shown: these pulls scatter too much for it. Such a test sees {shower.text(test.seen)} or more four times of five"
        wanted = f"the {shower.text(abs(claimed))} claimed" if claimed is not None else "it"
        text += (
            f"; {test.needed} pulls on each side would show {wanted}."
            if test.needed
            else f"; no sensible number of pulls would show {wanted}."
        )
    if claimed is not None and not test.low <= claimed <= test.high:
        text += f" The {shower.text(claimed)} claimed lies outside what these pulls allow, {shower.text(test.low)} to {shower.text(test.high)}."
    made = {
        "difference": shower.measure(test.difference),
        "share": round(test.difference / first.mean, 5),
        "between": {
            "low": shower.measure(test.low)["value"],
            "high": shower.measure(test.high)["value"],
            "unit": shower.unit,
        },
        "test": test.test,
        "statistic": ten_digits(test.statistic) if abs(test.statistic) < 1e300 else None,
        "degrees_of_freedom": ten_digits(test.freedom),
        "chance_alone": ten_digits(test.chance),
        "smallest_seen": shower.measure(test.seen),
        "text": text,
    }
    if test.needed:
        made["pulls_needed"] = test.needed
    if test.drift is not None:
        made["drift"] = shower.measure(test.drift) | {"chance_alone": ten_digits(test.drift_chance)}
    return made


def compared_summaries(
    evaluator: Evaluator, quantity: str, first: tuple[float, int], second: tuple[float, int], units: str
) -> dict:
    """Two means with their counts and nothing else: what cannot be known, and the scatter at which the difference would be real."""
    shower = evaluator.writer.display.shower(quantity, units)
    (mean, count), (other, other_count) = first, second
    made: dict = {
        "a": {"count": count, "mean": shower.measure(mean)},
        "b": {"count": other_count, "mean": shower.measure(other)},
        "difference": shower.measure(other - mean),
        "share": round(other / mean - 1, 5),
        "verdict": "cannot_be_told",
    }
    if min(count, other_count) < 2:
        made["text"] = (
            "A mean of one pull says nothing of scatter, so the difference cannot be called real or not."
        )
    else:
        scatter = scatter_that_would_do(mean, other, count, other_count)
        made["scatter_that_would_do"] = shower.measure(scatter) | {"share": round(scatter / mean, 5)}
        made["text"] = (
            f"Without the single pulls the scatter is unknown, so {shower.text(abs(other - mean))} ({100 * abs(other / mean - 1):.1f} %) cannot be called real. It would be if single pulls scattered by no more than {shower.text(scatter)} (standard deviation, {100 * scatter / mean:.2f} %)."
        )
    return made | {"cautions": [evaluator.rulebook.cautions[CAUTION].text]} | _identity(evaluator)


def compared_curves(evaluator: Evaluator, quantity: str, first: list, second: list, units: str) -> dict:
    """Whole curves: where the difference is real, everywhere at once."""
    shower, speed = (
        evaluator.writer.display.shower(dimension, units) for dimension in (quantity, "rotational_speed")
    )
    made = compare_curves(first, second)
    where = made.real
    shown = lambda values, by: [ten_digits((float(value) - by.offset) / by.factor) for value in values]
    spans = _spans(made.speeds, where)
    if spans:
        text = (
            "The curves differ "
            + " and ".join(f"from {speed.text(low)} to {speed.text(high)}" for low, high in spans)
            + "; elsewhere no difference is shown."
        )
    else:
        text = "No difference is shown at any speed."
    if made.unlike:
        text += " The two sides scatter unlike each other or differ in number, for which the band is too narrow: make as many pulls on each side, in the same way."
    if made.interpolated:
        text += " The pulls were made at unequal speeds and were brought to a common grid by straight lines."
    return {
        "verdict": "real" if spans else "not_shown",
        "text": text,
        "interpolated": made.interpolated,
        "columns": {
            "speed": shown(made.speeds, speed),
            "difference": shown(made.difference, shower),
            "low": shown(made.low, shower),
            "high": shown(made.high, shower),
        },
        "units": {"speed": speed.unit, "difference": shower.unit},
        "cautions": [evaluator.rulebook.cautions[CAUTION].text],
    } | _identity(evaluator)


def _spans(speeds: numpy.ndarray, where: numpy.ndarray) -> list[tuple[float, float]]:
    """Stretches of speed where the band leaves zero."""
    spans: list[tuple[float, float]] = []
    for position, real in enumerate(where):
        if real and position and where[position - 1] and spans:
            spans[-1] = (spans[-1][0], float(speeds[position]))
        elif real:
            spans.append((float(speeds[position]), float(speeds[position])))
    return spans


def calibrated(evaluator: Evaluator, build: dict, known: Known, pulls: Pulls, place: str, units: str) -> dict:
    """A build held against its pulls."""
    ran = held_against(known, pulls, place)
    found = ranges(evaluator, ran, NAMES)
    shower = evaluator.writer.display.shower("power", units)
    made: dict = {
        "pulls": _set(shower, pulls) | {"at": place},
        "found": [_found(evaluator, found, name, units) for name in NAMES if name in found.slots],
    }
    logged = known.numbers.get(LOGGED_DUTY)
    if logged is not None and "injector_duty" in found.slots:
        made["logged"] = [_logged(evaluator, found, "injector_duty", logged, units)]
    if len(pulls.values) < 2:
        made["text"] = (
            "One pull alone shows no scatter; the ranges hold what was assumed and nothing of the dyno."
        )
    explained = explanations(found)
    made["explained_by"] = [
        {
            "input": one.mover.lean.input or one.mover.name.removeprefix("assumed__"),
            "text": f"{evaluator.rulebook.assumptions[one.mover.lean.id].label}: {evaluator.writer.shower_of(one.mover.name, units).text(one.needed)} instead of {evaluator.writer.shower_of(one.mover.name, units).text(one.mover.typical)} explains the difference alone.",
        }
        for one in explained
    ]
    made["spec"] = _spec(evaluator, build, pulls, place, narrowed(found))
    fails, passes = contradicted(evaluator, ran)
    made["contradicted"] = [
        {
            "check": check,
            "text": f"{evaluator.rulebook.checks[check].title}: fails for the power that was reached, so what it assumes is off, or the part ran past its limit.",
        }
        for check in fails
    ]
    made["confirmed"] = passes
    leans = [mover.lean for mover in found.movers if mover.lean]
    made["assumptions"] = evaluator.reporter.assumptions(leans, units, full=False)
    return made | {"cautions": [evaluator.rulebook.cautions[CAUTION].text]} | _identity(evaluator)


def _logged(evaluator: Evaluator, found: Ranges, name: str, logged: float, units: str) -> dict:
    """A logged figure beside the reckoned one, and whether the range holds it."""
    shower, (low, high) = evaluator.writer.shower_of(name, units), found.between(name)
    agrees = low <= logged <= high
    text = f"Logged {shower.text(logged)}, reckoned {shower.text(found.value(name))} and {shower.text(low)} to {shower.text(high)} under what was assumed: {'they agree' if agrees else 'they do not agree, so the injector, its pressure or the fuel is not what was stated'}."
    return {
        "quantity": name,
        "logged": shower.measure(logged),
        "reckoned": shower.measure(found.value(name)),
        "agrees": agrees,
        "text": text,
    }


def _found(evaluator: Evaluator, found: Ranges, name: str, units: str) -> dict:
    shower = evaluator.writer.shower_of(name, units)
    low, high = found.between(name)
    quantity = evaluator.rulebook.graph.nodes[name].quantity
    return {
        "quantity": name,
        "label": quantity.label,
        "value": shower.measure(found.value(name)),
        "between": {
            "low": shower.measure(low)["value"],
            "high": shower.measure(high)["value"],
            "unit": shower.unit,
        },
    }


def _spec(
    evaluator: Evaluator, build: dict, pulls: Pulls, place: str, filling: tuple[float, float] | None
) -> dict:
    """The build to post back: as it was, without what was planned, with what was measured and the filling that the pulls leave."""
    shower = evaluator.writer.display.shower("power", "metric")
    made = {
        group: dict(fields) if isinstance(fields, dict) else fields
        for group, fields in build.items()
        if group != "target"
    }
    power = {"value": shower.measure(pulls.mean)["value"], "unit": shower.unit}
    width = pulls.half_width()
    if width:
        power["tolerance"] = ten_digits(width / shower.factor)
    word = "crank_power" if place == "crank" else "wheel_power"
    made.setdefault("measured", {})[word] = power
    if filling:
        low, high = filling
        made.setdefault("engine", {})["volumetric_efficiency"] = (
            f"{(low + high) / 2:.4f} ±{(high - low) / 2:.4f}"
        )
    return made


def _identity(evaluator: Evaluator) -> dict:
    return {"rulebook": evaluator.reporter.identity, "service": evaluator.rulebook.version}
