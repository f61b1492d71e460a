"""Two compilers of formulas behind one interface: compiled Python functions, and simpleeval as the reference.

Both are fed the same vetted tree, never the text. `prepare(formula)` gives a function called by position with
the values of `formula.names`; `columns=True` gives the same for numpy columns.
"""

import ast
import math
import operator
from collections.abc import Callable
from typing import Any, Protocol

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
        arguments = ast.arguments([], [ast.arg(name) for name in formula.names], None, [], [], None, [])
        code = ast.fix_missing_locations(ast.Expression(ast.Lambda(arguments, tree)))
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
        tree = _runnable(formula.tree, lazy=not columns)
        node = ast.fix_missing_locations(ast.Expression(tree)).body
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


class _Runnable(ast.NodeTransformer):
    """Whole numbers become floats, or a tower of powers would be worked out digit by digit for hours;
    exponents stay whole.
    """

    def __init__(self, lazy: bool):
        self.lazy = lazy

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        assert isinstance(node.value, (int, float))
        return ast.Constant(float(node.value))

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        if isinstance(node.op, ast.Pow):
            return ast.BinOp(self.visit(node.left), node.op, node.right)
        return self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> ast.expr:
        self.generic_visit(node)
        if self.lazy and isinstance(node.func, ast.Name) and node.func.id == "where":
            return ast.IfExp(*node.args)
        return node


def _runnable(tree: ast.expr, lazy: bool) -> ast.expr:
    """A tree to run. Lazy, on floats: only the chosen branch may run, where(x > 0, sqrt(x), 0) must not raise
    at -1.
    """
    copy = ast.parse(ast.unparse(tree), mode="eval").body
    runnable: ast.expr = _Runnable(lazy).visit(copy)
    return runnable
