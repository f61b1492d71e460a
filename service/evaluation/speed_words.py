"""A build over its speed range in one sentence: what it should make, where, and between what."""

from typing import NamedTuple

import numpy

from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.reporting.sentences import Writer, lower
from service.evaluation.running.columns import FloatColumn
from service.evaluation.speed_ranges import ColumnRange
from service.json_object import JsonObject
from service.rulebook.names import at_point

ANY_SPEED = "any_speed"
POWER, TORQUE, SPEED = (
    at_point(name, ANY_SPEED) for name in ("attainable_power", "attainable_torque", "speed")
)
# The speed that the customer gives for the peak of a column.
PEAKS = {POWER: "engine__peak_power_speed", TORQUE: "engine__peak_torque_speed"}
NOTHING_TOLD = "I can't say what it makes: these numbers lie outside what the formulas are good for."


class Curves(NamedTuple):
    """Columns by name, the speeds first, the ranges of some, and what the build gives, by name in SI."""

    columns: dict[str, FloatColumn]
    ranges: dict[str, ColumnRange]
    given: dict[str, float]

    def peak(self, name: str) -> float:
        """The speed at which a column peaks: that given, where it lies among the speeds, else the highest."""
        speeds = self.columns[SPEED]
        speed = self.given.get(PEAKS[name], 0.0)
        if speeds[0] <= speed <= speeds[-1] and not numpy.isnan(self.at(self.columns[name], speed)):
            return speed
        return float(speeds[int(numpy.nanargmax(self.columns[name]))])

    def at(self, column: FloatColumn, speed: float) -> float:
        """A column at a speed among those of the curve or between two of them."""
        return float(numpy.interp(speed, self.columns[SPEED], column))


class CurveWords:
    """Words for the curves of one rulebook, in one system of units."""

    def __init__(self, writer: Writer, units: str):
        self.writer = writer
        self.units = units

    def headline(self, curves: Curves, scope: list[str], missing: list[JsonObject]) -> str:
        """What it should make; out of scope nothing is promised, without power what that lacks is said."""
        if scope:
            return within(scope, MOST_WORDS)
        if POWER not in curves.columns:
            lacking = next(entry for entry in missing if entry["quantity"] in POWER)
            return f"I can't say what it makes yet: {lower(self.missing(lacking)['text'])}"
        power = curves.columns[POWER]
        if numpy.isnan(power).all():
            return NOTHING_TOLD
        told = [self._peak(curves, name) for name in (POWER, TORQUE) if name in curves.columns]
        return within([f"It should make about {_and(told)}.", self._between(curves)], MOST_WORDS)

    def missing(self, entry: JsonObject) -> JsonObject:
        """A column that cannot be told, with what it needs in words."""
        node = self.writer.rulebook.graph.nodes[at_point(entry["quantity"], ANY_SPEED)]
        inputs = self.writer.rulebook.inputs
        needs = list(dict.fromkeys(f"the {lower(inputs[group[0]].label)}" for group in entry["needs"]))
        text = f"It needs {_and(needs)}." if needs else "It is not worked out for such an engine."
        return {**entry, "label": node.quantity.label, "text": text}

    def _peak(self, curves: Curves, name: str) -> str:
        """'480 hp at 6,000 rpm'."""
        speed = curves.peak(name)
        value = self._shower(name).text(curves.at(curves.columns[name], speed))
        return f"{value} at {self._shower(SPEED).number(speed):,.0f} rpm"

    def _between(self, curves: Curves) -> str:
        """'It could be 430 to 520 hp.'"""
        speed, shower, ranged = curves.peak(POWER), self._shower(POWER), curves.ranges[POWER]
        low, high = curves.at(ranged.low, speed), curves.at(ranged.high, speed)
        if shower.text(low) == shower.text(high):
            return ""
        return f"It could be {shower.between(low, high)}."

    def _shower(self, name: str) -> Shower:
        return self.writer.shower_of(name, self.units)


def _and(parts: list[str]) -> str:
    *others, last = parts
    return f"{', '.join(others)} and {last}" if others else last
