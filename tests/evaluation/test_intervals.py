"""Intervals against the same arithmetic on numbers drawn from inside them."""

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.evaluation.running.intervals import Interval
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.formulas.formula import parse_formula

FORMULAS = (
    "a + b - 2 * c",
    "a * b / (c + 1)",
    "(a - b) * (a + b) / c",
    "a ** 2 - b ** 3",
    "(a - b) ** 2 / (1 + c ** -2)",
    "sqrt(a) - log(b) + exp(-c)",
    "power(a, b - c)",
    "minimum(a, b) - maximum(b, c)",
    "where(a > b, a / (a - b), c)",
    "where(a - b < c, 3, sqrt(b))",
    "2 / a + 1 - maximum(2, c) * -b",
)
END = st.floats(-4, 6, allow_nan=False).map(lambda number: round(number, 3) + 0.0)
SIDE = st.tuples(END, END).map(sorted)


@pytest.mark.parametrize("text", FORMULAS)
@pytest.mark.parametrize("compiler", COMPILERS.values(), ids=COMPILERS)
@given(sides=st.tuples(SIDE, SIDE, SIDE), seed=st.integers(0, 2**32 - 1))
def test_every_value_from_inside_lies_between_the_ends(compiler, text, sides, seed):
    """Where the ends are numbers, floats raise nowhere inside and give nothing beyond them."""
    formula = parse_formula(text)
    together = compiler.prepare(formula, columns=True)
    alone = compiler.prepare(formula)
    of = dict(zip("abc", sides, strict=True))
    with numpy.errstate(all="ignore"):
        ends = Interval.of(together(*(Interval(*of[name]) for name in formula.names)))
    if not ends.known:
        return
    source = numpy.random.default_rng(seed)
    for _ in range(20):
        inside = [float(source.choice([*of[name], source.uniform(*of[name])])) for name in formula.names]
        assert ends.low <= alone(*inside) <= ends.high


def test_an_interval_of_no_width_is_the_number():
    together = COMPILERS["compiled"].prepare(parse_formula("a * b - a / b"), columns=True)
    ends = together(Interval.of(3.0), Interval.of(7.0))
    assert ends.low == ends.high == 3.0 * 7.0 - 3.0 / 7.0


@pytest.mark.parametrize(
    "text", ["1 / a", "sqrt(a)", "log(a)", "a ** -1", "power(a, 2)", "maximum(0, minimum(5, 1 / a))"]
)
def test_what_may_be_no_number_is_unknown(text):
    """Each has no value at zero, which lies inside."""
    call = COMPILERS["compiled"].prepare(parse_formula(text), columns=True)
    with numpy.errstate(all="ignore"):
        assert not Interval.of(call(Interval(-1.0, 2.0))).known


def test_a_column_of_intervals_is_answered_entry_by_entry():
    call = COMPILERS["compiled"].prepare(parse_formula("where(a > 0, sqrt(a), 0)"), columns=True)
    with numpy.errstate(all="ignore"):
        ends = call(Interval([1.0, -4.0, -1.0], [4.0, -1.0, 1.0]))
    assert ends.known.tolist() == [True, True, False]
    assert (ends.low[:2] == pytest.approx([1.0, 0.0])) and (ends.high[:2] == pytest.approx([2.0, 0.0]))
