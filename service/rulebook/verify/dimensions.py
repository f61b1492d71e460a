"""Units and readings of a formula, checked once when the rules load."""

import ast

from service.rulebook.formulas.formula import Formula
from service.rulebook.formulas.functions import FUNCTIONS, Argument, Function
from service.rulebook.formulas.kinds import Kind, describe, kind_of, product, same, scaled
from service.rulebook.names import shown

Kinds = dict[str, Kind]
"""Identifier -> what it is."""


class DimensionError(ValueError):
    """The units or readings of a formula do not fit."""


def check_formula(formula: Formula, kinds: Kinds) -> Kind:
    """The kind of the formula's result, or DimensionError with the part that does not fit."""
    return _walk(formula.tree, kinds)


def check_call(function: Function, call: ast.expr, kinds: Kinds) -> None:
    """Check the arguments of a function that fills several names."""
    assert isinstance(call, ast.Call)
    _call(function, call.args, kinds)


def _walk(node: ast.expr, kinds: Kinds) -> Kind:
    match node:
        case ast.Constant() | ast.Name(id="pi"):
            return Kind(())
        case ast.Name(id=name):
            if kinds[name].shape != "number":
                raise DimensionError(
                    f"uses the {kinds[name].shape} `{shown(name)}` as a number; "
                    "read it with a function such as curve_at(curve, x)."
                )
            return kinds[name]
        case ast.UnaryOp(operand=operand):
            return _walk(operand, kinds)
        case ast.BinOp(left=left, op=ast.Pow(), right=ast.Constant(value=int(exponent))):
            return Kind(scaled(_walk(left, kinds).base, exponent))
        case ast.BinOp(left=left, op=op, right=right):
            return _arithmetic(left, op, right, kinds)
        case ast.Compare(left=left, comparators=[right]):
            return _alike(left, right, kinds, "compares")
        case ast.Call(func=ast.Name(id="where"), args=[condition, yes, no]):
            _walk(condition, kinds)
            return _alike(yes, no, kinds, "chooses between")
        case ast.Call(func=ast.Name(id=name), args=arguments):
            if len(FUNCTIONS[name].results) > 1:
                raise DimensionError(
                    f"uses {name}(), which gives {len(FUNCTIONS[name].results)} results, as one number; "
                    "call it under `function:` with `gives:`."
                )
            return _call(FUNCTIONS[name], arguments, kinds)
    raise AssertionError(f"the vetting let {type(node).__name__} through")


def _arithmetic(left: ast.expr, op: ast.operator, right: ast.expr, kinds: Kinds) -> Kind:
    first, second = _walk(left, kinds), _walk(right, kinds)
    if isinstance(op, (ast.Add, ast.Sub)):
        return _sum(left, op, right, (first, second))
    if isinstance(op, ast.Mult):
        if first.pure or second.pure:
            return second if first.pure else first
        return Kind(product(first.base, second.base, 1))
    if second.pure:
        return first
    if first.base == second.base and _gauge_over_absolute(first, second):
        raise DimensionError(
            f"{_part(left)} / {_part(right)}: a gauge pressure over an absolute one is no pressure ratio."
        )
    return Kind(product(first.base, second.base, -1))


def _gauge_over_absolute(first: Kind, second: Kind) -> bool:
    if not first.readings or not second.readings or first.readings & second.readings:
        return False
    return {"gauge", "absolute"} <= (first.readings | second.readings)


def _sum(left: ast.expr, op: ast.operator, right: ast.expr, operands: tuple[Kind, Kind]) -> Kind:
    first, second = operands
    if _zero(left) or _zero(right):
        return second if _zero(left) else first
    sign = "+" if isinstance(op, ast.Add) else "-"
    parts = f"{_part(left)} {sign} {_part(right)}"
    if first.base != second.base:
        raise DimensionError(f"{parts}: {describe(first)} and {describe(second)} do not add.")
    if not first.readings or not second.readings:
        return Kind(first.base, first.readings or second.readings)
    readings: frozenset[str] = frozenset()
    for reading in first.readings:
        for other in second.readings:
            readings |= _SUMS.get((reading, sign, other), frozenset())
    if not readings:
        raise DimensionError(f"{parts}: {describe(first)} {sign} {describe(second)} means nothing.")
    return Kind(first.base, readings)


# A gauge less a gauge is the pressure between the two places, so it may stand for a difference as well.
_SUMS: dict[tuple[str, str, str], frozenset[str]] = {
    ("absolute", "+", "gauge"): frozenset({"absolute"}),
    ("gauge", "+", "absolute"): frozenset({"absolute"}),
    ("absolute", "+", "difference"): frozenset({"absolute"}),
    ("difference", "+", "absolute"): frozenset({"absolute"}),
    ("gauge", "+", "gauge"): frozenset({"gauge"}),
    ("gauge", "+", "difference"): frozenset({"gauge"}),
    ("difference", "+", "gauge"): frozenset({"gauge"}),
    ("difference", "+", "difference"): frozenset({"difference"}),
    ("level", "+", "difference"): frozenset({"level"}),
    ("difference", "+", "level"): frozenset({"level"}),
    ("absolute", "-", "absolute"): frozenset({"difference", "gauge"}),
    ("absolute", "-", "gauge"): frozenset({"absolute"}),
    ("absolute", "-", "difference"): frozenset({"absolute"}),
    ("gauge", "-", "gauge"): frozenset({"gauge", "difference"}),
    ("gauge", "-", "difference"): frozenset({"gauge"}),
    ("difference", "-", "difference"): frozenset({"difference"}),
    ("difference", "-", "gauge"): frozenset({"gauge"}),
    ("level", "-", "level"): frozenset({"difference"}),
    ("level", "-", "difference"): frozenset({"level"}),
}


def _alike(left: ast.expr, right: ast.expr, kinds: Kinds, verb: str) -> Kind:
    return _agreed((_walk(left, kinds), _walk(right, kinds)), left, right, verb)


def _agreed(operands: tuple[Kind, Kind], left: ast.expr, right: ast.expr, verb: str) -> Kind:
    first, second = operands
    if _zero(left) or _zero(right):
        return second if _zero(left) else first
    apart = first.readings and second.readings and not first.readings & second.readings
    if first.base != second.base or apart:
        raise DimensionError(
            f"{verb} {_part(left)} and {_part(right)}: {describe(first)} and {describe(second)}."
        )
    if first.readings and second.readings:
        return Kind(first.base, first.readings & second.readings)
    return Kind(first.base, first.readings or second.readings)


def _call(function: Function, arguments: list[ast.expr], kinds: Kinds) -> Kind:
    if len(arguments) != len(function.arguments):
        raise DimensionError(
            f"gives {function.name}() {len(arguments)} arguments; it takes {len(function.arguments)}: "
            f"{', '.join(argument.name for argument in function.arguments)}."
        )
    given = [
        _argument(function, argument, node, kinds)
        for argument, node in zip(function.arguments, arguments, strict=True)
    ]
    if function.rule == "curve":
        return _read_curve(given, arguments)
    if function.rule == "root":
        return Kind(scaled(given[0].base, 0.5))
    if function.rule == "alike":
        result = given[0]
        for kind, node in zip(given[1:], arguments[1:], strict=True):
            result = _agreed((given[0], kind), arguments[0], node, f"{function.name}() takes")
        return result
    for argument, kind, node in zip(function.arguments, given, arguments, strict=True):
        if argument.dimension is None:
            continue
        needed = kind_of(argument.dimension, argument.reading)
        if same(kind, needed):
            raise DimensionError(
                f"{function.name}() takes {describe(needed)} as `{argument.name}`; "
                f"{_part(node)} is {describe(kind)}."
            )
    return kind_of(function.results[0].dimension, function.results[0].reading)


def _read_curve(given: list[Kind], arguments: list[ast.expr]) -> Kind:
    """The y of a curve, read at an x of its own kind."""
    assert given[0].curve is not None
    x, y = given[0].curve
    if len(given) > 1 and same(given[1], x):
        raise DimensionError(
            f"reads the curve {_part(arguments[0])} at {_part(arguments[1])}, which is {describe(given[1])}; "
            f"its x is {describe(x)}."
        )
    return y


def _argument(function: Function, argument: Argument, node: ast.expr, kinds: Kinds) -> Kind:
    if argument.shape == "number":
        return _walk(node, kinds)
    kind = kinds.get(node.id) if isinstance(node, ast.Name) else None
    if kind is None or kind.shape != argument.shape:
        raise DimensionError(f"gives {function.name}() {_part(node)} where it takes a {argument.shape}.")
    return kind


def _zero(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value == 0


def _part(node: ast.expr) -> str:
    text = ast.unparse(node)
    for name in {name.id for name in ast.walk(node) if isinstance(name, ast.Name)}:
        text = text.replace(name, shown(name))
    return f"`{text}`"
