"""Formula text -> vetted tree. Only arithmetic, names, calls by position, and comparisons inside where() get
through.
"""

import ast
import re
from dataclasses import dataclass

from service.rulebook.names import WORD, at_point, identifier

MAX_LENGTH = 400
MAX_NODES = 150
MAX_DEPTH = 20
MAX_LITERAL = 10
MAX_EXPONENT = 6

_ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div)
_COMPARISONS = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)
_ALPHABET = re.compile(r"[A-Za-z0-9_.,+\-*/()<>= \t\n]*\Z")


class FormulaError(ValueError):
    """A formula is not in the language: what it has, and what to write instead."""

    def __init__(self, what: str, fix: str):
        super().__init__(f"{what} {fix}")
        self.what = what
        self.fix = fix


@dataclass(frozen=True)
class Formula:
    """A vetted formula: the rewritten tree and the identifiers it reads, in order of appearance."""

    text: str
    tree: ast.expr
    names: tuple[str, ...]
    functions: frozenset[str]


def parse_formula(text: str, numbers: frozenset[float] = frozenset()) -> Formula:
    """Vet one formula; `numbers` are the literals that the rule's own `numbers:` list vouches for."""
    if len(text) > MAX_LENGTH:
        raise FormulaError(f"is longer than {MAX_LENGTH} characters.", "Split it into named quantities.")
    if not _ALPHABET.match(text):
        raise FormulaError(
            "holds a character that no formula needs.", "Use names, numbers, + - * / ** ( ) , < > only."
        )
    try:
        tree = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise FormulaError("cannot be read as a formula.", "Check brackets, operators and commas.") from error
    vetting = _Vetting(numbers)
    tree = vetting.vet(tree, 1)
    return Formula(
        " ".join(text.split()), tree, tuple(dict.fromkeys(vetting.names)), frozenset(vetting.functions)
    )


class _Vetting:
    """Walks the tree once: refuses what is not in the language, rewrites dotted names and points."""

    def __init__(self, numbers: frozenset[float]):
        self.numbers = numbers
        self.names: list[str] = []
        self.functions: set[str] = set()
        self.count = 0

    def vet(self, node: ast.expr, depth: int) -> ast.expr:
        self.count += 1
        if self.count > MAX_NODES:
            raise FormulaError(f"has more than {MAX_NODES} parts.", "Split it into named quantities.")
        if depth > MAX_DEPTH:
            raise FormulaError(f"is nested more than {MAX_DEPTH} deep.", "Split it into named quantities.")
        match node:
            case ast.Constant():
                return self._number(node)
            case ast.Name() | ast.Attribute():
                return self._name(node)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return ast.UnaryOp(ast.USub(), self.vet(operand, depth + 1))
            case ast.BinOp(op=ast.Pow()):
                return self._power(node, depth)
            case ast.BinOp(op=op) if isinstance(op, _ARITHMETIC):
                return ast.BinOp(self.vet(node.left, depth + 1), op, self.vet(node.right, depth + 1))
            case ast.Call():
                return self._call(node, depth)
            case ast.Compare():
                raise FormulaError(
                    "compares outside where().", "Write where(a > b, value_if_so, value_if_not)."
                )
        raise FormulaError(
            f"holds {_plain(node)}, which the language does not have.",
            "Use + - * / **, where(a > b, x, y) and registered functions.",
        )

    def _number(self, node: ast.Constant) -> ast.Constant:
        if not isinstance(node.value, (int, float)) or isinstance(node.value, bool):
            raise FormulaError(
                "holds something that is neither a number nor a name.", "Use numbers and names only."
            )
        if abs(node.value) <= MAX_LITERAL and node.value * 2 == int(node.value * 2):
            return node
        if node.value in self.numbers:
            return node
        raise FormulaError(
            f"holds the number {node.value!r}: anything with a unit, a source or a doubt is a constant, "
            "a table cell or an assumption.",
            "Name it there, or vouch for a pure number under `numbers:` with its source.",
        )

    def _name(self, node: ast.expr) -> ast.Name:
        if isinstance(node, ast.Attribute):
            if not isinstance(node.value, ast.Name):
                raise FormulaError("has a name with more than one dot.", "Names have one dot or none.")
            parts = [node.value.id, node.attr]
        else:
            assert isinstance(node, ast.Name)
            parts = [node.id]
        if not all(WORD.match(part) for part in parts):
            raise FormulaError(
                f"has the name `{'.'.join(parts)}`.",
                "Names are lower-case words joined by single underscores.",
            )
        name = identifier(".".join(parts))
        if name == "pi":
            return ast.Name(name, ast.Load())
        self.names.append(name)
        return ast.Name(name, ast.Load())

    def _power(self, node: ast.BinOp, depth: int) -> ast.BinOp:
        exponent = node.right
        sign = 1
        if isinstance(exponent, ast.UnaryOp) and isinstance(exponent.op, ast.USub):
            exponent, sign = exponent.operand, -1
        if not (
            isinstance(exponent, ast.Constant)
            and type(exponent.value) is int
            and abs(exponent.value) <= MAX_EXPONENT
        ):
            raise FormulaError(
                f"has an exponent that is not a whole number up to {MAX_EXPONENT}.",
                "Use sqrt(x) or power(x, exponent).",
            )
        return ast.BinOp(self.vet(node.left, depth + 1), ast.Pow(), ast.Constant(sign * exponent.value))

    def _call(self, node: ast.Call, depth: int) -> ast.expr:
        if (
            not isinstance(node.func, ast.Name)
            or node.keywords
            or any(isinstance(a, ast.Starred) for a in node.args)
        ):
            raise FormulaError(
                "calls something in a way the language does not have.",
                "Write function(a, b) with plain arguments.",
            )
        function = node.func.id
        if function.startswith("at_"):
            if len(node.args) != 1 or not isinstance(node.args[0], ast.Name) or node.args[0].id == "pi":
                raise FormulaError(
                    f"uses {function}(...) on something that is not one quantity.",
                    f"Write {function}(quantity).",
                )
            inner = self._name(node.args[0]).id
            self.names[-1] = at_point(inner, function[3:])
            return ast.Name(self.names[-1], ast.Load())
        if function == "where":
            if len(node.args) != 3:
                raise FormulaError(
                    "gives where() other than three parts.", "Write where(a > b, value_if_so, value_if_not)."
                )
            arguments = [
                self._condition(node.args[0], depth + 1),
                *(self.vet(a, depth + 1) for a in node.args[1:]),
            ]
        else:
            arguments = [self.vet(argument, depth + 1) for argument in node.args]
        self.functions.add(function)
        return ast.Call(ast.Name(function, ast.Load()), arguments, [])

    def _condition(self, node: ast.expr, depth: int) -> ast.Compare:
        if not (
            isinstance(node, ast.Compare) and len(node.ops) == 1 and isinstance(node.ops[0], _COMPARISONS)
        ):
            raise FormulaError(
                "has no single comparison (<, <=, >, >=) as the first part of where().",
                "Write where(a > b, value_if_so, value_if_not).",
            )
        return ast.Compare(
            self.vet(node.left, depth + 1), node.ops, [self.vet(node.comparators[0], depth + 1)]
        )


def _plain(node: ast.AST) -> str:
    words = {
        "Lambda": "a lambda",
        "ListComp": "a comprehension",
        "Subscript": "square brackets",
        "IfExp": "if ... else",
        "JoinedStr": "text",
    }
    return words.get(type(node).__name__, f"an operation ({type(node).__name__})")
