"""The answer to pulls with one part against pulls with another: single pulls, means alone, whole curves."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy
from numpy.typing import NDArray

from service.dyno.answers import closing, interval, set_of_pulls
from service.dyno.pulls import CONFIDENCE, Pulls
from service.dyno.two_curves import Curve, CurveComparison, compare_curves
from service.dyno.two_sets import Comparison, compare, scatter_that_would_do
from service.evaluation.evaluate import Evaluator
from service.evaluation.reporting.display import Shower, ten_digits
from service.json_object import JsonObject

# A set whose pulls lie further apart than this compares with nothing (from memory).
SPREAD_TOO_WIDE = 0.03


@dataclass(frozen=True, slots=True)
class TwoSets:
    """Two sets of single pulls: figures of one quantity, how they were made, and a difference somebody
    claims.
    """

    quantity: str
    first: Pulls
    second: Pulls
    interleaved: bool = False
    in_order: bool = False
    claimed: float | None = None

    @property
    def wide(self) -> list[str]:
        """The sides whose pulls lie too far apart."""
        return [
            name
            for name, pulls in (("A", self.first), ("B", self.second))
            if (max(pulls.values) - min(pulls.values)) / pulls.mean > SPREAD_TOO_WIDE
        ]


class MeanOfPulls(NamedTuple):
    """What is left of pulls that nobody kept."""

    mean: float
    pulls: int


def compared(evaluator: Evaluator, sets: TwoSets, units: str) -> JsonObject:
    """Two sets of single pulls."""
    shower = evaluator.writer.display.shower(sets.quantity, units)
    answer: JsonObject = {"a": set_of_pulls(shower, sets.first), "b": set_of_pulls(shower, sets.second)}
    if min(len(sets.first.values), len(sets.second.values)) < 2:
        answer["verdict"] = "cannot_be_told"
        answer["text"] = (
            "One pull on a side shows no scatter, so no difference can be called real: "
            "make at least three on each side."
        )
    else:
        answer |= _tested(shower, sets)
    return answer | closing(evaluator, answer["text"])


def _tested(shower: Shower, sets: TwoSets) -> JsonObject:
    """The test, and what speaks against believing it."""
    test = compare(sets.first, sets.second, sets.interleaved, sets.claimed, sets.in_order)
    words = _test(shower, test, sets) | {"verdict": "real" if test.real else "not_shown"}
    drifts = test.drift_chance is not None and test.drift_chance < 1 - CONFIDENCE
    doubts = []
    if not sets.first.scatter and not sets.second.scatter:
        doubts.append(
            "Every pull of a side reads the same: the figures are rounded further than pulls scatter. "
            "Send them as the dyno prints them."
        )
    if sets.wide:
        doubts.append(
            f"The pulls of {' and '.join(sets.wide)} lie more than {100 * SPREAD_TOO_WIDE:.0f} % apart: "
            "find out why before anything is compared."
        )
    if drifts and test.real and test.beside_drift is not None and test.beside_drift >= 1 - CONFIDENCE:
        doubts.append("The difference is no larger than what the drift alone makes of it.")
    if doubts:
        words |= {"verdict": "cannot_be_told", "text": doubts[-1]}
    if drifts and test.drift is not None:
        words["text"] += (
            f" The figures drift by {shower.text(test.drift)} from pull to pull, as an engine that heats up "
            "does: let it cool alike before each, and make the runs in turns."
        )
    return words


def _test(shower: Shower, test: Comparison, sets: TwoSets) -> JsonObject:
    words: JsonObject = {
        "difference": shower.measure(test.difference),
        "share": round(test.difference / sets.first.mean, 5),
        "between": interval(shower, test.low, test.high),
        "test": test.test,
        "statistic": ten_digits(test.statistic) if abs(test.statistic) < 1e300 else None,
        "degrees_of_freedom": ten_digits(test.freedom),
        "chance_alone": ten_digits(test.chance),
        "smallest_seen": shower.measure(test.seen),
        "text": _test_text(shower, test, sets),
    }
    if test.needed:
        words["pulls_needed"] = test.needed
    if test.drift is not None and test.drift_chance is not None:
        words["drift"] = shower.measure(test.drift) | {"chance_alone": ten_digits(test.drift_chance)}
    return words


def _test_text(shower: Shower, test: Comparison, sets: TwoSets) -> str:
    word = "gain" if test.difference >= 0 else "loss"
    size = shower.text(abs(test.difference))
    share = f"{100 * abs(test.difference) / sets.first.mean:.1f} %"
    claimed = sets.claimed
    if test.real:
        low, high = sorted((abs(test.low), abs(test.high)))
        between = f"{shower.text(low)} and {shower.text(high)}"
        text = f"The {word} of {size} ({share}) is real: it lies between {between}."
    else:
        looked_for = "it" if claimed is None else f"the {shower.text(abs(claimed))} claimed"
        count = f"{test.needed} pulls on each side" if test.needed else "no sensible number of pulls"
        text = (
            f"A {word} of {size} ({share}) is not shown: these pulls scatter too much for it. "
            f"Such a test sees {shower.text(test.seen)} or more four times out of five; "
            f"{count} would show {looked_for}."
        )
    if claimed is not None and not test.low <= claimed <= test.high:
        text += (
            f" The {shower.text(claimed)} claimed lies outside what these pulls allow, "
            f"{shower.text(test.low)} to {shower.text(test.high)}."
        )
    return text


def compared_summaries(
    evaluator: Evaluator, quantity: str, first: tuple[float, int], second: tuple[float, int], units: str
) -> JsonObject:
    """Two means with their counts and nothing else: what cannot be known, and the scatter that would do."""
    shower = evaluator.writer.display.shower(quantity, units)
    a, b = MeanOfPulls(*first), MeanOfPulls(*second)
    answer: JsonObject = {
        "a": {"count": a.pulls, "mean": shower.measure(a.mean)},
        "b": {"count": b.pulls, "mean": shower.measure(b.mean)},
        "difference": shower.measure(b.mean - a.mean),
        "share": round(b.mean / a.mean - 1, 5),
        "verdict": "cannot_be_told",
    }
    if min(a.pulls, b.pulls) < 2:
        answer["text"] = (
            "A mean of one pull says nothing of scatter, so the difference cannot be called real or not."
        )
    else:
        scatter = scatter_that_would_do(a.mean, b.mean, a.pulls, b.pulls)
        share = f"{100 * abs(b.mean / a.mean - 1):.1f} %"
        answer["scatter_that_would_do"] = shower.measure(scatter) | {"share": round(scatter / a.mean, 5)}
        answer["text"] = (
            f"Without the single pulls the scatter is unknown, so {shower.text(abs(b.mean - a.mean))} "
            f"({share}) cannot be called real. It would be if single pulls scattered by "
            f"no more than {shower.text(scatter)} "
            f"(standard deviation, {100 * scatter / a.mean:.2f} %)."
        )
    return answer | closing(evaluator, answer["text"])


def compared_curves(
    evaluator: Evaluator, quantity: str, first: list[Curve], second: list[Curve], units: str
) -> JsonObject:
    """Whole curves: where the difference is real, everywhere at once."""
    display = evaluator.writer.display
    shower, speed = display.shower(quantity, units), display.shower("rotational_speed", units)
    comparison = compare_curves(first, second)
    spans = _spans(comparison.speeds, comparison.real)
    text = _curves_text(comparison, spans, speed)
    return {
        "verdict": "real" if spans else "not_shown",
        "text": text,
        "interpolated": comparison.interpolated,
        "columns": {
            "speed": _shown(comparison.speeds, speed),
            "difference": _shown(comparison.difference, shower),
            "low": _shown(comparison.low, shower),
            "high": _shown(comparison.high, shower),
        },
        "units": {"speed": speed.unit, "difference": shower.unit},
    } | closing(evaluator, text)


def _shown(values: NDArray[numpy.float64], shower: Shower) -> list[float]:
    return [ten_digits(shower.number(float(value))) for value in values]


def _curves_text(comparison: CurveComparison, spans: list[tuple[float, float]], speed: Shower) -> str:
    text = "No difference is shown at any speed."
    if spans:
        stretches = " and ".join(f"from {speed.text(low)} to {speed.text(high)}" for low, high in spans)
        text = f"The curves differ {stretches}; elsewhere no difference is shown."
    if comparison.unlike:
        text += (
            " The two sides scatter unlike each other or differ in number, for which the band is too narrow: "
            "make as many pulls on each side, in the same way."
        )
    if comparison.interpolated:
        text += " The pulls were made at unequal speeds and were brought to a common grid by straight lines."
    return text


def _spans(speeds: NDArray[numpy.float64], real: NDArray[numpy.bool_]) -> list[tuple[float, float]]:
    """Stretches of speed where the band leaves zero."""
    spans: list[tuple[float, float]] = []
    for position, differs in enumerate(real):
        if differs and position and real[position - 1] and spans:
            spans[-1] = (spans[-1][0], float(speeds[position]))
        elif differs:
            spans.append((float(speeds[position]), float(speeds[position])))
    return spans
