"""Formulas written to break out, to stall or to confuse: each is refused as a rule mistake, or taken,
harmless and quick. The long run is tests/proof/formula_strings.py.
"""

from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.errors import RulebookError
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.formulas.formula import parse_formula
from tests.proof.formula_strings import (
    SLOWEST_MS,
    any_string,
    foreign,
    foreign_code,
    formula,
    heard_while,
    judged,
    taken,
)
from tests.proof.tally import Tally

pytestmark = pytest.mark.slow

ATTACKS = {
    "attribute of an attribute": "b.c.d_2",
    "dunder": "a.__class__",
    "chain of dunders": "a.__class__.__bases__[0].__subclasses__()",
    "dunder name": "__builtins__",
    "name of the evaluator": "a + numpy",
    "import": "__import__('os').system('true')",
    "eval": "eval(a)",
    "exec": "exec(a)",
    "open": "open(a)",
    "getattr": "getattr(a, b.c)",
    "type": "type(a)",
    "breakpoint": "breakpoint()",
    "function as a value": "sqrt + a",
    "call of a method": "a.sqrt(a)",
    "call of a call": "sqrt(a)(a)",
    "call of a lambda": "(lambda: a)()",
    "lambda": "lambda a: a",
    "list comprehension": "[a for a in b.c]",
    "generator": "minimum(x for x in a)",
    "set comprehension": "{a for a in a}",
    "dictionary": "{a: a}",
    "f-string": "f'{a}'",
    "f-string with a call": "f'{open(a)}'",
    "text": "'a'",
    "bytes": "b'a'",
    "text times a number": "'a' * 10",
    "walrus": "(a := 1) + a",
    "starred": "minimum(*a)",
    "double starred": "sqrt(**a)",
    "keyword": "sqrt(a=a)",
    "subscript": "a[0]",
    "slice": "a[0:1]",
    "tuple": "a, a",
    "list": "[a]",
    "if else": "a if a > 0 else 1",
    "and": "a and d_2",
    "not": "not a",
    "in": "a in d_2",
    "is": "a is d_2",
    "await": "await a",
    "yield": "(yield a)",
    "ellipsis": "...",
    "none": "None",
    "true": "True + a",
    "complex": "1j * a",
    "matrix product": "a @ a",
    "whole division": "a // 2",
    "remainder": "a % 2",
    "shift": "1 << 10",
    "or of bits": "1 | 2",
    "complement": "~1",
    "plus sign": "+a",
    "comparison alone": "a < d_2",
    "equality": "where(a == d_2, 1, 2)",
    "chained comparison": "where(a < d_2 < 1, 1, 2)",
    "condition that is a number": "where(a, 1, 2)",
    "where of two": "where(a > 0, 1)",
    "where of four": "where(a > 0, 1, 2, 3)",
    "sqrt of nothing": "sqrt()",
    "tower of powers": "9**9**9**9",
    "tower in brackets": "((9**9)**9)**9",
    "exponent worked out": "a ** d_2",
    "exponent too high": "a ** 7",
    "a whole number of 390 digits": "9" * 390,
    "a number beyond floats": "1e400 * a",
    "a hexadecimal number": "0x1F * a",
    "leading zeros": "007 * a",
    "200 brackets": "(" * 200 + ")" * 200,
    "40 signs": "-" * 40 + "a",
    "30 roots": "sqrt(" * 30 + "a" + ")" * 30,
    "a sum of 10,000 terms": " + ".join(["a"] * 10_000),
    "a sum of 200 terms": "+".join(["a"] * 200),
    "100,000 brackets": "(" * 100_000,
    "Cyrillic": "\N{CYRILLIC SMALL LETTER A} + 1",
    "full width": "\N{FULLWIDTH LATIN SMALL LETTER A} + 1",
    "ligature that becomes two letters": "\N{LATIN SMALL LIGATURE FI} + 1",
    "unicode minus": "a \N{MINUS SIGN} 1",
    "right to left": "a \u202e+ 1",
    "zero width": "a\u200b + 1",
    "zero byte": "a\x00 + 1",
    "form feed": "a\f+ 1",
    "two lines": "a\n+ 1",
    "line continued": "a \\\n+ 1",
    "semicolon": "a; a",
    "assignment": "a = 1",
    "comment": "a # + 1",
    "point that is a dunder": "at___class__(a)",
    "point of nothing": "at_idle()",
    "point of a sum": "at_idle(a + a)",
    "point of pi": "at_idle(pi)",
    "pi called": "pi(a)",
    "pi with a dot": "pi.real",
    "identifier written out": "b__c + 1",
    "upper case": "A + 1",
    "nothing": "",
    "blank": "   ",
}


@pytest.fixture(scope="module", autouse=True)
def warmed_up():
    """Registries and modules are made at the first use; the times below are of the formulas."""
    taken("a + height / height")


@pytest.mark.parametrize("text", ATTACKS.values(), ids=ATTACKS)
def test_an_attack_is_refused_as_a_rule_mistake(text):
    with pytest.raises(RulebookError) as caught:
        taken(text)
    assert all(problem.message and problem.fix for problem in caught.value.problems)
    assert len(str(caught.value)) < 2_000


@settings(max_examples=300)
@given(st.randoms(use_true_random=False))
def test_any_string_is_refused_or_harmless_and_quick(random):
    tally = Tally()
    tally.one(judged, any_string(random))
    assert tally.wrong == {}
    assert tally.worst_ns <= SLOWEST_MS * 1e6


@settings(max_examples=100)
@given(st.randoms(use_true_random=False))
def test_the_language_itself_is_taken(random):
    """The generator aims well: a long run that only ever refuses would prove little."""
    text = formula(random, depth=3)
    if len(text) <= 400:
        assert judged(text) == (True, None)


@pytest.mark.parametrize(
    "text",
    [
        "a.__class__",
        "open(a)",
        "lambda: a",
        "[a]",
        "a[0]",
        "11 * a",
        "a ** d_2",
        "a < 1",
        "where(a < 1 < 2, 1, 2)",
        "sqrt(a=1)",
        "elsewhere",
        "f'{a}'",
        "sqrt + 1j",
    ],
)
def test_the_second_walker_knows_a_stranger(text):
    assert foreign(text)
    assert not foreign("where(a > b.c, sqrt(a) ** -2, pi * 0.5)")


def test_the_look_into_compiled_code_knows_a_stranger():
    assert foreign_code(COMPILERS["compiled"].prepare(parse_formula("sqrt(a) * pi"))) is None
    assert foreign_code(eval("lambda a: open(a)"))
    assert foreign_code(eval(compile("lambda a: a + 'b'", "", "eval"), {"__builtins__": {}}))


def test_the_listener_hears_an_escape(tmp_path):
    (tmp_path / "there").touch()
    result, heard = heard_while(lambda path: open(path).close(), (tmp_path / "there",))
    assert (result, heard) == (None, ["open"])
    assert heard_while(lambda a: 1 / a, (0.0,))[1] == []


def test_nested_minimums_are_judged_at_once():
    start = process_time()
    assert judged("minimum(a, " * 17 + "a" + ")" * 17) == (True, None)
    assert process_time() - start <= SLOWEST_MS / 1e3


@pytest.mark.parametrize(
    "text",
    [
        "peak_pressure(ambient, crank_angle, 10, 2, crank_angle, 10) / ambient",
        "knock_solution(ambient, charge, ron, 10, 2, crank_angle, speed, 1) / crank_angle",
    ],
)
def test_a_function_of_several_results_is_refused_in_a_formula(text):
    assert judged(text) == (False, None)


def test_a_flow_below_zero_gives_no_complex_number():
    assert judged(
        "pipe_pressure_drop(flow, height, height, fluid.density, fluid.viscosity, height) / ambient"
    ) == (True, None)
