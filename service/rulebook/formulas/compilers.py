"""Two compilers of formulas behind one interface: compiled Python functions, and simpleeval as the reference.

Both are fed the same vetted tree, never the text. `prepare(formula)` gives a function called by position with
the values of `formula.names`; `columns=True` gives the same for numpy columns.
"""

import ast
import math
import operator
from collections.abc import Callable
from typing import Any, Protocol, TypedDict

from simpleeval import SimpleEval  # type: ignore[import-untyped]  # it ships no types

from service.rulebook.formulas.formula import Formula
from service.rulebook.formulas.functions import ARRAY, SCALAR

Compiled = Callable[..., Any]
"""A formula as a function of the values of its names, by position: floats, or columns of them."""


class FormulaCompiler(Protocol):
    """Turns vetted formulas into functions called by position."""

    name: str

    def prepare(self, formula: Formula, columns: bool = False) -> Compiled: ...


class PythonCompiler:
    """One Python function a formula, with no builtins and only registered functions in reach."""

    name = "compiled"

    def prepare(self, formula: Formula, columns: bool = False) -> Compiled:
        tree = _runnable(formula.tree, lazy=not columns)
        names = [ast.arg(name, **_PLACE) for name in formula.names]
        arguments = ast.arguments([], names, None, [], [], None, [])
        code = ast.Expression(ast.Lambda(arguments, tree, **_PLACE))
        table = ARRAY if columns else SCALAR
        scope = {"__builtins__": {}, "pi": math.pi, **{name: table[name] for name in formula.functions}}
        # The tree passed the allow-list of formula.py: arithmetic, our identifiers and registered functions
        # only.
        compiled: Compiled = eval(compile(code, "<rule>", "eval"), scope)
        return compiled


class ReferenceCompiler:
    """simpleeval on the vetted tree: slow, independent of our compiler, a new evaluator each call (it is not
    thread-safe).
    """

    name = "reference"

    def prepare(self, formula: Formula, columns: bool = False) -> Compiled:
        node = _runnable(formula.tree, lazy=not columns)
        table = ARRAY if columns else SCALAR
        functions = {name: table[name] for name in formula.functions}
        names, text = formula.names, formula.text

        def evaluate(*values: Any) -> Any:
            evaluator = SimpleEval(
                operators=_OPERATORS,
                functions=functions,
                names=dict(zip(names, values, strict=True), pi=math.pi),
                allowed_attrs={},
            )
            return evaluator.eval(text, previously_parsed=node)

        return evaluate


# simpleeval's own power operator bounds the base too, which SI pressures exceed.
_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}

_ALL: tuple[FormulaCompiler, ...] = (PythonCompiler(), ReferenceCompiler())
COMPILERS: dict[str, FormulaCompiler] = {compiler.name: compiler for compiler in _ALL}


class _Place(TypedDict):
    """Where a part of a tree stands; the compiler of Python wants to be told."""

    lineno: int
    col_offset: int


_PLACE: _Place = {"lineno": 1, "col_offset": 0}


def _runnable(node: ast.expr, lazy: bool) -> ast.expr:
    """A vetted tree as one to run. Whole numbers become floats, or a tower of powers would be worked out
    digit by digit for hours; exponents stay whole. Lazy, on floats: only the chosen branch may run,
    where(x > 0, sqrt(x), 0) must not raise at -1.
    """

    def run(part: ast.expr) -> ast.expr:
        return _runnable(part, lazy)

    match node:
        case ast.Constant(value=int() | float() as number):
            return ast.Constant(float(number), **_PLACE)
        case ast.Name(id=name):
            return ast.Name(name, ast.Load(), **_PLACE)
        case ast.UnaryOp(op=sign, operand=operand):
            return ast.UnaryOp(sign, run(operand), **_PLACE)
        case ast.BinOp(left=base, op=ast.Pow() as power, right=ast.Constant(value=exponent)):
            return ast.BinOp(run(base), power, ast.Constant(exponent, **_PLACE), **_PLACE)
        case ast.BinOp(left=left, op=operation, right=right):
            return ast.BinOp(run(left), operation, run(right), **_PLACE)
        case ast.Compare(left=left, ops=signs, comparators=others):
            return ast.Compare(run(left), signs, [run(other) for other in others], **_PLACE)
        case ast.Call(func=function, args=arguments):
            parts = [run(part) for part in arguments]
            if lazy and isinstance(function, ast.Name) and function.id == "where":
                return ast.IfExp(*parts, **_PLACE)
            return ast.Call(run(function), parts, [], **_PLACE)
    raise TypeError(f"{ast.dump(node)} is not in the language.")
