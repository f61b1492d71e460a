"""Between which values a quantity lies while what it is worked out from lies anywhere between others.

The compiled column formulas run over intervals as they run over columns: the arithmetic is that of the
operands. Rounding never turns an order round, so the ends of a sum, product or quotient hold every value that
the same formula gives in between; where a library function may be off by its last digit, the ends are moved
outwards.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy
from numpy.typing import NDArray

from service.evaluation.running.columns import FloatColumn

BoolColumn = NDArray[numpy.bool_]
# By how much ends are moved outwards after a power, a root, an exponential or a logarithm.
OUTWARDS = 1e-12


class Interval:
    """A column of intervals; ends that are not a number mean that the value may not be one."""

    __slots__ = ("high", "low")

    def __init__(self, low: Any, high: Any):
        self.low: FloatColumn = numpy.asarray(low, float)
        self.high: FloatColumn = numpy.asarray(high, float)

    @classmethod
    def unknown(cls) -> Interval:
        """Anything, or no number at all."""
        return cls(numpy.nan, numpy.nan)

    @classmethod
    def of(cls, value: Any) -> Interval:
        """A number or a column as an interval of no width."""
        return value if isinstance(value, Interval) else cls(value, value)

    @property
    def known(self) -> BoolColumn:
        """Whether every value in it is a number."""
        return numpy.isfinite(self.low) & numpy.isfinite(self.high)

    def where_known(self, known: BoolColumn) -> Interval:
        """The same where `known` and it is a number, else unknown."""
        kept = known & self.known
        return Interval(numpy.where(kept, self.low, numpy.nan), numpy.where(kept, self.high, numpy.nan))

    def __add__(self, other: Any) -> Interval:
        other = Interval.of(other)
        return Interval(self.low + other.low, self.high + other.high)

    def __sub__(self, other: Any) -> Interval:
        other = Interval.of(other)
        return Interval(self.low - other.high, self.high - other.low)

    def __mul__(self, other: Any) -> Interval:
        other = Interval.of(other)
        return _hull(
            self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high
        )

    def __truediv__(self, other: Any) -> Interval:
        other = Interval.of(other)
        ends = _hull(
            self.low / other.low, self.low / other.high, self.high / other.low, self.high / other.high
        )
        return ends.where_known((other.low > 0) | (other.high < 0))

    def __pow__(self, exponent: Any) -> Interval:
        if not isinstance(exponent, int | float):
            return _power(self, exponent)
        ends = _hull(self.low**exponent, self.high**exponent)
        if exponent == int(exponent):
            through_zero = (self.low <= 0) & (self.high >= 0)
            if exponent < 0:
                return _moved_out(ends.where_known(~through_zero))
            low = numpy.where(through_zero & (exponent % 2 == 0), numpy.minimum(ends.low, 0.0), ends.low)
            return _moved_out(Interval(low, ends.high))
        return _moved_out(ends.where_known(self.low > 0))

    def __radd__(self, other: Any) -> Interval:
        return Interval.of(other) + self

    def __rsub__(self, other: Any) -> Interval:
        return Interval.of(other) - self

    def __rmul__(self, other: Any) -> Interval:
        return Interval.of(other) * self

    def __rtruediv__(self, other: Any) -> Interval:
        return Interval.of(other) / self

    def __rpow__(self, base: Any) -> Interval:
        return _power(Interval.of(base), self)

    def __neg__(self) -> Interval:
        return Interval(-self.high, -self.low)

    def __gt__(self, other: Any) -> Truth:
        other = Interval.of(other)
        return self._ordered(other, self.low > other.high, self.high <= other.low)

    def __ge__(self, other: Any) -> Truth:
        other = Interval.of(other)
        return self._ordered(other, self.low >= other.high, self.high < other.low)

    def __lt__(self, other: Any) -> Truth:
        return Interval.of(other) > self

    def __le__(self, other: Any) -> Truth:
        return Interval.of(other) >= self

    def _ordered(self, other: Interval, always: BoolColumn, never: BoolColumn) -> Truth:
        return Truth(always, never, self.known & other.known)

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **rest: Any) -> Any:
        """numpy's own functions and operators, as formulas call them."""
        call = _UFUNCS.get(ufunc)
        if call is None or method != "__call__" or rest:
            return NotImplemented
        return call(*(Interval.of(operand) for operand in inputs))

    def __array_function__(self, function: Any, types: Any, arguments: Any, rest: Any) -> Any:
        """`numpy.where`, which `where()` of a formula is."""
        return choose(*arguments) if function is numpy.where else NotImplemented


class Truth:
    """Whether a comparison holds always or never, and whether all that is compared is known."""

    __slots__ = ("always", "known", "never")

    def __init__(self, always: BoolColumn, never: BoolColumn, known: BoolColumn):
        self.always, self.never, self.known = always, never, known

    @classmethod
    def of(cls, condition: Any) -> Truth:
        """A comparison of plain numbers."""
        holds = numpy.asarray(condition, bool)
        return cls(holds, ~holds, numpy.ones(holds.shape, bool))

    def __and__(self, other: Any) -> Truth:
        other = other if isinstance(other, Truth) else Truth.of(other)
        return Truth(self.always & other.always, self.never | other.never, self.known & other.known)

    __rand__ = __and__

    def __array_function__(self, function: Any, types: Any, arguments: Any, rest: Any) -> Any:
        """`numpy.where` is answered by the intervals it chooses between."""
        return choose(*arguments) if function is numpy.where else NotImplemented


def choose(condition: Any, yes: Any, no: Any) -> Interval:
    """Of two intervals the one a condition takes; both together where it may take either."""
    yes, no = Interval.of(yes), Interval.of(no)
    truth = condition if isinstance(condition, Truth) else Truth.of(condition)
    either = _hull(yes.low, yes.high, no.low, no.high)
    chosen = Interval(
        numpy.where(truth.always, yes.low, numpy.where(truth.never, no.low, either.low)),
        numpy.where(truth.always, yes.high, numpy.where(truth.never, no.high, either.high)),
    )
    return chosen.where_known(truth.known)


def _hull(*ends: FloatColumn) -> Interval:
    low = high = ends[0]
    for end in ends[1:]:
        low, high = numpy.minimum(low, end), numpy.maximum(high, end)
    return Interval(low, high)


def _moved_out(ends: Interval) -> Interval:
    return Interval(ends.low - OUTWARDS * numpy.abs(ends.low), ends.high + OUTWARDS * numpy.abs(ends.high))


def _power(base: Interval, exponent: Any) -> Interval:
    """Of a positive base a power rises or falls in either argument, so its ends stand at the corners."""
    exponent = Interval.of(exponent)
    corners = _hull(*(end**power for end in (base.low, base.high) for power in (exponent.low, exponent.high)))
    return _moved_out(corners.where_known(base.low > 0))


def _rising(function: Callable[[FloatColumn], FloatColumn], above: float) -> Callable[[Interval], Interval]:
    """A function that rises wherever its argument is above a number, and is not asked elsewhere."""
    return lambda argument: _moved_out(
        Interval(function(argument.low), function(argument.high)).where_known(argument.low > above)
    )


_UFUNCS: dict[Any, Callable[..., Any]] = {
    numpy.add: lambda first, second: first + second,
    numpy.subtract: lambda first, second: first - second,
    numpy.multiply: lambda first, second: first * second,
    numpy.true_divide: lambda first, second: first / second,
    numpy.greater: lambda first, second: first > second,
    numpy.greater_equal: lambda first, second: first >= second,
    numpy.less: lambda first, second: first < second,
    numpy.less_equal: lambda first, second: first <= second,
    numpy.minimum: lambda first, second: Interval(
        numpy.minimum(first.low, second.low), numpy.minimum(first.high, second.high)
    ),
    numpy.maximum: lambda first, second: Interval(
        numpy.maximum(first.low, second.low), numpy.maximum(first.high, second.high)
    ),
    numpy.power: _power,
    numpy.sqrt: _rising(numpy.sqrt, 0.0),
    numpy.exp: _rising(numpy.exp, -numpy.inf),
    numpy.log: _rising(numpy.log, 0.0),
}

# What a formula may call over intervals; any other function is not looked into.
BASIC = frozenset({"where", "minimum", "maximum", "sqrt", "exp", "log", "power"})
