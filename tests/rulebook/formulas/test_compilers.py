"""Two evaluators, floats and columns: the same formula gives the same number."""

import math

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.formulas.formula import FormulaError, parse_formula

COMPILED, REFERENCE = COMPILERS["compiled"], COMPILERS["reference"]
OUTSIDE = (ZeroDivisionError, ValueError, OverflowError)
NAMES = ("a", "b.c", "d")


def _grow(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pair = st.tuples(inner, inner)
    return (
        st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda p: f"({p[0]} {p[1]} {p[2]})")
        | st.tuples(inner, st.integers(-6, 6)).map(lambda p: f"({p[0]}) ** {p[1]}")
        | inner.map(lambda x: f"(-{x})")
        | st.tuples(st.sampled_from(["sqrt", "exp", "log"]), inner).map(lambda p: f"{p[0]}({p[1]})")
        | st.tuples(st.sampled_from(["minimum", "maximum", "power"]), pair).map(
            lambda p: f"{p[0]}({p[1][0]}, {p[1][1]})"
        )
        | st.tuples(inner, st.sampled_from(["<", "<=", ">", ">="]), inner, inner, inner).map(
            lambda p: f"where({p[0]} {p[1]} {p[2]}, {p[3]}, {p[4]})"
        )
    )


TEXTS = st.recursive(st.sampled_from([*NAMES, "pi", "2", "0.5", "10", "0"]), _grow, max_leaves=8)
VALUES = st.floats(-1e3, 1e3).filter(lambda value: value == 0 or abs(value) > 1e-6)
ROWS = st.lists(st.tuples(VALUES, VALUES, VALUES), min_size=1, max_size=5)


def formula_of(text):
    try:
        return parse_formula(text)
    except FormulaError:
        return None


def arguments(formula, row):
    values = dict(zip(("a", "b__c", "d"), row, strict=False))
    return [values[name] for name in formula.names]


def outcome(call, values):
    try:
        result = call(*values)
    except OUTSIDE:
        return None
    return result if math.isfinite(result) else None


@given(TEXTS, ROWS)
def test_compiled_and_reference_agree(text, rows):
    formula = formula_of(text)
    if formula is None:
        return
    compiled, reference = COMPILED.prepare(formula), REFERENCE.prepare(formula)
    for row in rows:
        values = arguments(formula, row)
        mine, theirs = outcome(compiled, values), outcome(reference, values)
        assert (mine is None) == (theirs is None)
        if mine is not None:
            assert mine == pytest.approx(theirs, rel=1e-12, abs=0)


@given(TEXTS, ROWS)
def test_columns_give_the_numbers_of_floats(text, rows):
    formula = formula_of(text)
    if formula is None or not formula.names:
        return
    floats = COMPILED.prepare(formula)
    for evaluator in (COMPILED, REFERENCE):
        columns = [
            numpy.array(column) for column in zip(*(arguments(formula, row) for row in rows), strict=False)
        ]
        with numpy.errstate(all="ignore"):
            try:
                together = numpy.broadcast_to(evaluator.prepare(formula, columns=True)(*columns), len(rows))
            except OUTSIDE:
                # A part without a name in it (10 / 0, say) is outside its domain for every row.
                continue
        for row, number in zip(rows, together, strict=False):
            alone = outcome(floats, arguments(formula, row))
            if alone is not None:
                assert number == pytest.approx(alone, rel=1e-12, abs=0)


@pytest.mark.parametrize("evaluator", [COMPILED, REFERENCE], ids=lambda one: one.name)
class TestEach:
    def test_calls_are_by_position_in_the_order_of_appearance(self, evaluator):
        assert evaluator.prepare(parse_formula("b.c - a / b.c"))(4.0, 2.0) == 3.5

    def test_where_on_floats_runs_the_chosen_part_only(self, evaluator):
        call = evaluator.prepare(parse_formula("where(a > 0, sqrt(a), 0)"))
        assert [call(4.0), call(-4.0)] == [2.0, 0.0]

    def test_where_on_columns_goes_element_by_element(self, evaluator):
        call = evaluator.prepare(parse_formula("where(a >= b, a, b * 2)"), columns=True)
        assert call(numpy.array([1.0, 2.0, 3.0]), numpy.array([2.0, 2.0, 2.0])).tolist() == [4.0, 2.0, 3.0]

    def test_a_root_in_where_is_quiet_on_columns(self, evaluator):
        with numpy.errstate(invalid="ignore"):
            call = evaluator.prepare(parse_formula("where(a > 0, sqrt(a), 0)"), columns=True)
            assert call(numpy.array([4.0, -4.0])).tolist() == [2.0, 0.0]

    def test_pressures_in_pascal_may_be_raised_to_a_power(self, evaluator):
        assert evaluator.prepare(parse_formula("a ** 2"))(5e6) == 2.5e13

    def test_a_negative_base_is_refused_instead_of_a_complex_number(self, evaluator):
        with pytest.raises(ValueError):
            evaluator.prepare(parse_formula("power(a, 0.5)"))(-8.0)

    def test_a_tower_of_whole_powers_overflows_at_once(self, evaluator):
        tower = "10"
        for _ in range(12):
            tower = f"({tower}) ** 6"
        with pytest.raises(OverflowError):
            evaluator.prepare(parse_formula(f"{tower} * a"))(1.0)

    def test_division_by_nothing_is_an_error_and_never_a_number(self, evaluator):
        with pytest.raises(ZeroDivisionError):
            evaluator.prepare(parse_formula("a / (a - a)"))(1.0)

    def test_a_prepared_formula_may_be_called_from_several_places(self, evaluator):
        first, second = (evaluator.prepare(parse_formula(text)) for text in ("a + 1", "a + 2"))
        assert [first(1.0), second(1.0), first(1.0)] == [2.0, 3.0, 2.0]


def test_nothing_but_registered_functions_is_in_reach():
    call = COMPILED.prepare(parse_formula("sqrt(a)"))
    assert call.__globals__["__builtins__"] == {}
    assert set(call.__globals__) == {"__builtins__", "pi", "sqrt"}
