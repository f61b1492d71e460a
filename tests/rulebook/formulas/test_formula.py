"""What the formula language lets through, and that nothing else gets through whatever is written."""

import ast

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.rulebook.formulas.formula import MAX_DEPTH, MAX_LENGTH, MAX_NODES, FormulaError, parse_formula

ALLOWED = (
    ast.Constant,
    ast.Name,
    ast.Load,
    ast.UnaryOp,
    ast.USub,
    ast.BinOp,
    ast.Add,
    ast.Sub,
    ast.Mult,
    ast.Div,
    ast.Pow,
    ast.Call,
    ast.Compare,
    ast.Lt,
    ast.LtE,
    ast.Gt,
    ast.GtE,
)


@pytest.mark.parametrize(
    ("text", "names", "functions", "rewritten"),
    [
        ("a + b", ("a", "b"), set(), "a + b"),
        ("b * a * b", ("b", "a"), set(), "b * a * b"),
        ("engine.bore ** 2 * pi / 4", ("engine__bore",), set(), "engine__bore ** 2 * pi / 4"),
        ("a ** -2", ("a",), set(), "a ** -2"),
        ("-a - -b", ("a", "b"), set(), "-a - -b"),
        ("maximum(a, sqrt(b))", ("a", "b"), {"maximum", "sqrt"}, "maximum(a, sqrt(b))"),
        ("at_peak_power(speed) / 2", ("speed__at__peak_power",), set(), "speed__at__peak_power / 2"),
        ("where(a.b <= 0, 0, c)", ("a__b", "c"), {"where"}, "where(a__b <= 0, 0, c)"),
        ("a\n  + b", ("a", "b"), set(), None),
        ("0.5 * a + 10 - 7.5", ("a",), set(), "0.5 * a + 10 - 7.5"),
    ],
)
def test_taken(text, names, functions, rewritten):
    if rewritten is None:
        with pytest.raises(FormulaError):
            parse_formula(text)
        return
    formula = parse_formula(text)
    assert (formula.text, formula.names, formula.functions) == (text, names, frozenset(functions))
    assert ast.unparse(formula.tree) == rewritten


@pytest.mark.parametrize("number", ["0.87", "2.25", "11", "1e3"])
def test_a_number_is_taken_once_it_is_vouched_for(number):
    with pytest.raises(FormulaError, match="holds the number"):
        parse_formula(f"{number} * a")
    assert parse_formula(f"{number} * a", frozenset({float(number)})).names == ("a",)


def test_limits_are_reached_and_not_passed():
    deepest = "-" * (MAX_DEPTH - 1) + "a"
    assert parse_formula(deepest).names == ("a",)
    with pytest.raises(FormulaError, match="nested"):
        parse_formula("-" + deepest)
    longest = "a" + " " * (MAX_LENGTH - 2) + "b"
    with pytest.raises(FormulaError, match="cannot be read"):
        parse_formula(longest)
    with pytest.raises(FormulaError, match="longer"):
        parse_formula(longest + " ")
    assert MAX_NODES == 150


FRAGMENTS = st.lists(
    st.sampled_from(
        [
            "a",
            "a.b",
            "pi",
            "at_idle(",
            "sqrt(",
            "where(",
            "(",
            ")",
            "+",
            "-",
            "*",
            "**",
            "/",
            "//",
            ",",
            "<",
            ">=",
            "==",
            "=",
            " ",
            "2",
            "0.5",
            "1e9",
            "9" * 30,
            "if",
            "else",
            "and",
            "not",
            "lambda",
            "None",
            "True",
            "__x__",
            "await",
            "yield",
            "in",
            ".",
            "_",
            "\n",
        ]
    ),
    max_size=60,
).map("".join)


@given(st.text(max_size=400) | FRAGMENTS | st.text("()+-*/,<>=.0123456789ab_ ", max_size=400))
@example("at_idle(pi)")
@example("(" * 400)
@example("-" * 400)
@example("a" * 401)
@example("9" * 400)
@example("a." * 199 + "a")
@example("1e999")
@example("\x00")
@example("a**b**c")
def test_any_text_is_taken_or_refused_and_only_the_language_gets_through(text):
    try:
        formula = parse_formula(text)
    except FormulaError as error:
        assert error.what and error.fix
        return
    nodes = list(ast.walk(formula.tree))
    assert all(type(node) in ALLOWED for node in nodes)
    assert all(type(node.value) in (int, float) for node in nodes if isinstance(node, ast.Constant))
    assert {node.id for node in nodes if isinstance(node, ast.Name)} == set(
        formula.names
    ) | formula.functions | ({"pi"} & {node.id for node in nodes if isinstance(node, ast.Name)})
    assert not any("__" in name.replace("__at__", ".", 1).replace("__", ".", 1) for name in formula.names)
