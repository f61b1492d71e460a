"""Units and readings of a formula, checked once when the rules load. pint lives here and nowhere else."""

import ast
from dataclasses import dataclass
from functools import cache

import pint

from service.rulebook.formulas.formula import Formula
from service.rulebook.formulas.functions import FUNCTIONS, Argument, Function
from service.rulebook.names import shown
from service.units.units import DIMENSIONS


class DimensionError(ValueError):
    """The units or readings of a formula do not fit."""


@dataclass(frozen=True)
class Kind:
    """What a value is: its dimension by base units, and for pressures and temperatures how it is read."""

    base: tuple[tuple[str, float], ...]
    readings: frozenset[str] | None = None
    curve: tuple["Kind", "Kind"] | None = None
    shape: str = "number"

    @property
    def pure(self) -> bool:
        return not self.base


@cache
def _registry() -> pint.UnitRegistry:
    registry = pint.UnitRegistry(cache_folder=None)
    registry.define("octane_number = [octane]")
    return registry


@cache
def base_of(dimension: str) -> tuple[tuple[str, float], ...]:
    """The base dimensions of a named dimension: power -> mass 1, length 2, time -3."""
    si = DIMENSIONS[dimension].si
    return _sorted(_registry().get_dimensionality(_registry().parse_units(si))) if si else ()


def kind_of(dimension: str, reading: str | None = None) -> Kind:
    """The kind of a declared name; a pressure or temperature without a declared reading is a difference or a level."""
    if dimension == "temperature_difference":
        return Kind(base_of("temperature"), frozenset({"difference"}))
    if dimension == "temperature":
        return Kind(base_of("temperature"), frozenset({reading or "level"}))
    if dimension == "pressure":
        return Kind(base_of("pressure"), frozenset({reading}) if reading else None)
    return Kind(base_of(dimension))


def check_formula(formula: Formula, kinds: dict[str, Kind]) -> Kind:
    """The kind of the formula's result, or DimensionError with the part that does not fit."""
    return _walk(formula.tree, kinds)


def same(result: Kind, declared: Kind) -> str | None:
    """None when a result may stand where `declared` was promised, else the sentence that says why not."""
    if result.base != declared.base:
        return f"gives {describe(result)}, declared {describe(declared)}."
    if declared.readings and result.readings and not result.readings & declared.readings:
        return f"gives {describe(result)}, declared {describe(declared)}."
    return None


# Dimensions that another of the same base units speaks for in messages.
_SECOND_NAMES = ("temperature_difference", "stress", "heat_flow", "distance", "count", "angle")


def describe(kind: Kind) -> str:
    """A kind in words: 'a gauge pressure', 'a power', 'mass^1 * time^-2'."""
    for name, dimension in DIMENSIONS.items():
        if name not in _SECOND_NAMES and base_of(name) == kind.base:
            word = dimension.phrase.partition(" ")[2]
            read = {"level": word, "difference": f"{word} difference"}
            words = " or ".join(
                read.get(reading, f"{reading} {word}") for reading in sorted(kind.readings or ("level",))
            )
            return f"{'an' if words[0] in 'aeio' else 'a'} {words}"
    return " * ".join(f"{name.strip('[]')}^{power:g}" for name, power in kind.base)


def _walk(node: ast.expr, kinds: dict[str, Kind]) -> Kind:
    match node:
        case ast.Constant():
            return Kind(())
        case ast.Name(id="pi"):
            return Kind(())
        case ast.Name(id=name):
            if kinds[name].shape != "number":
                raise DimensionError(
                    f"uses the {kinds[name].shape} `{shown(name)}` as a number; read it with a function such as curve_at(curve, x)."
                )
            return kinds[name]
        case ast.UnaryOp(operand=operand):
            return _walk(operand, kinds)
        case ast.BinOp(left=left, op=ast.Pow(), right=ast.Constant(value=exponent)):
            return Kind(_scaled(_walk(left, kinds).base, exponent))
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
                    f"uses {name}(), which gives {len(FUNCTIONS[name].results)} results, as one number; call it under `function:` with `gives:`."
                )
            return _call(FUNCTIONS[name], arguments, kinds)
    raise AssertionError(f"the vetting let {type(node).__name__} through")


def _arithmetic(left: ast.expr, op: ast.operator, right: ast.expr, kinds: dict[str, Kind]) -> Kind:
    a, b = _walk(left, kinds), _walk(right, kinds)
    if isinstance(op, (ast.Add, ast.Sub)):
        if _zero(left) or _zero(right):
            return b if _zero(left) else a
        if a.base != b.base:
            sign = "+" if isinstance(op, ast.Add) else "-"
            raise DimensionError(
                f"{_part(left)} {sign} {_part(right)}: {describe(a)} and {describe(b)} do not add."
            )
        return Kind(a.base, _sum_reading(a, b, isinstance(op, ast.Add), left, right))
    if isinstance(op, ast.Mult):
        if a.pure or b.pure:
            return b if a.pure else a
        return Kind(_product(a.base, b.base, 1))
    if b.pure:
        return a
    if (
        a.base == b.base
        and a.readings
        and b.readings
        and {"gauge", "absolute"} <= (a.readings | b.readings)
        and not a.readings & b.readings
    ):
        raise DimensionError(
            f"{_part(left)} / {_part(right)}: a gauge pressure over an absolute one is no pressure ratio."
        )
    return Kind(_product(a.base, b.base, -1))


def _sum_reading(a: Kind, b: Kind, adds: bool, left: ast.expr, right: ast.expr) -> frozenset[str] | None:
    if not a.readings or not b.readings:
        return a.readings or b.readings
    results: set[str] = set()
    for one in a.readings:
        for other in b.readings:
            results |= _SUMS.get((one, adds, other), frozenset())
    if not results:
        sign = "+" if adds else "-"
        raise DimensionError(
            f"{_part(left)} {sign} {_part(right)}: {describe(a)} {sign} {describe(b)} means nothing."
        )
    return frozenset(results)


# A gauge less a gauge is the pressure between the two places, so it may stand for a difference as well.
_SUMS: dict[tuple[str, bool, str], frozenset[str]] = {
    ("absolute", True, "gauge"): frozenset({"absolute"}),
    ("gauge", True, "absolute"): frozenset({"absolute"}),
    ("absolute", True, "difference"): frozenset({"absolute"}),
    ("difference", True, "absolute"): frozenset({"absolute"}),
    ("gauge", True, "gauge"): frozenset({"gauge"}),
    ("gauge", True, "difference"): frozenset({"gauge"}),
    ("difference", True, "gauge"): frozenset({"gauge"}),
    ("difference", True, "difference"): frozenset({"difference"}),
    ("level", True, "difference"): frozenset({"level"}),
    ("difference", True, "level"): frozenset({"level"}),
    ("absolute", False, "absolute"): frozenset({"difference", "gauge"}),
    ("absolute", False, "gauge"): frozenset({"absolute"}),
    ("absolute", False, "difference"): frozenset({"absolute"}),
    ("gauge", False, "gauge"): frozenset({"gauge", "difference"}),
    ("gauge", False, "difference"): frozenset({"gauge"}),
    ("difference", False, "difference"): frozenset({"difference"}),
    ("difference", False, "gauge"): frozenset({"difference"}),
    ("level", False, "level"): frozenset({"difference"}),
    ("level", False, "difference"): frozenset({"level"}),
}


def _alike(left: ast.expr, right: ast.expr, kinds: dict[str, Kind], verb: str) -> Kind:
    return _agreed(_walk(left, kinds), _walk(right, kinds), left, right, verb)


def _agreed(a: Kind, b: Kind, left: ast.expr, right: ast.expr, verb: str) -> Kind:
    if _zero(left) or _zero(right):
        return b if _zero(left) else a
    if a.base != b.base or (a.readings and b.readings and not a.readings & b.readings):
        raise DimensionError(f"{verb} {_part(left)} and {_part(right)}: {describe(a)} and {describe(b)}.")
    return Kind(a.base, a.readings & b.readings if a.readings and b.readings else a.readings or b.readings)


def _call(function: Function, arguments: list[ast.expr], kinds: dict[str, Kind]) -> Kind:
    if len(arguments) != len(function.arguments):
        raise DimensionError(
            f"gives {function.name}() {len(arguments)} arguments; it takes {len(function.arguments)}: {', '.join(a.name for a in function.arguments)}."
        )
    given = [
        _argument(function, wanted, argument, kinds)
        for wanted, argument in zip(function.arguments, arguments)
    ]
    if function.rule == "curve":
        x, y = given[0].curve
        if len(given) == 1:
            return y
        complaint = same(given[1], x)
        if complaint:
            raise DimensionError(
                f"reads the curve {_part(arguments[0])} at {_part(arguments[1])}, which is {describe(given[1])}; its x is {describe(x)}."
            )
        return y
    if function.rule == "root":
        return Kind(_scaled(given[0].base, 0.5))
    if function.rule == "alike":
        result = given[0]
        for kind, argument in zip(given[1:], arguments[1:]):
            result = _agreed(given[0], kind, arguments[0], argument, f"{function.name}() takes")
        return result
    for wanted, kind, argument in zip(function.arguments, given, arguments, strict=True):
        if wanted.shape != "number":
            continue
        complaint = same(kind, kind_of(wanted.dimension, wanted.reading))
        if complaint:
            raise DimensionError(
                f"{function.name}() takes {describe(kind_of(wanted.dimension, wanted.reading))} as `{wanted.name}`; {_part(argument)} is {describe(kind)}."
            )
    result = function.results[0]
    return kind_of(result.dimension, result.reading)


def _argument(function: Function, wanted: Argument, argument: ast.expr, kinds: dict[str, Kind]) -> Kind:
    if wanted.shape == "number":
        return _walk(argument, kinds)
    kind = kinds.get(argument.id) if isinstance(argument, ast.Name) else None
    if kind is None or kind.shape != wanted.shape:
        raise DimensionError(f"gives {function.name}() {_part(argument)} where it takes a {wanted.shape}.")
    return kind


def check_call(function: Function, arguments: list[ast.expr], kinds: dict[str, Kind]) -> None:
    """Check the arguments of a function that fills several names."""
    _call(function, arguments, kinds)


def _zero(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value == 0


def _part(node: ast.expr) -> str:
    text = ast.unparse(node)
    for name in {n.id for n in ast.walk(node) if isinstance(n, ast.Name)}:
        text = text.replace(name, shown(name))
    return f"`{text}`"


def _product(a, b, sign: int) -> tuple[tuple[str, float], ...]:
    powers = dict(a)
    for name, power in b:
        powers[name] = powers.get(name, 0) + sign * power
    return _sorted(powers)


def _scaled(base, factor: float) -> tuple[tuple[str, float], ...]:
    return _sorted({name: power * factor for name, power in base})


def _sorted(powers) -> tuple[tuple[str, float], ...]:
    return tuple(sorted((str(name), float(power)) for name, power in dict(powers).items() if power))
