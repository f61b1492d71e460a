"""A million formula strings, good, damaged and hostile: each is refused in the project's own words, or taken,
harmless and quick.

A string goes in by the door of a rule file (`parse_quantities`, `verify_formulas`), is compiled and called on
floats. What was taken is walked again by this file's own rules, on the text as written and on the byte code;
an audit hook listens while it runs.
"""

import ast
import math
import string
import sys
import warnings
from collections.abc import Callable
from random import Random

from service.errors import RulebookError
from service.evaluation.running.run import OUTSIDE
from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items, Text
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.input import Axis, Input
from service.rulebook.model import Constant
from service.rulebook.parse.quantities import parse_quantities
from service.rulebook.verify.formulas import verify_formulas
from tests.proof.tally import Tally, in_two_processes

SLOWEST_MS = 50
BATCH = 5_000
# Names in reach of a formula: dimension and reading of each.
KNOWN = {
    "a": ("ratio", None),
    "b.c": ("ratio", None),
    "d_2": ("ratio", None),
    "height": ("length", None),
    "ambient": ("pressure", "absolute"),
    "boost": ("pressure", "gauge"),
    "crank_angle": ("angle", None),
    "charge": ("temperature", "level"),
    "ron": ("octane", None),
    "speed": ("rotational_speed", None),
    "flow": ("volume_flow", None),
    "air": ("mass_flow", None),
    "fluid.density": ("density", None),
    "fluid.viscosity": ("viscosity", None),
}
CURVE, MAP = "pump.curve", "blower.map"
PURE = [name for name, (dimension, _) in KNOWN.items() if dimension == "ratio"]
ROWS = (1.25, 0.0, -2.5, 1e300, 5e-324)
POINTS = ((0.0, 1.0, 5.0), (3.0, 2.0, 1.0))
MEASURED = {"points": ((0.1, 1.2, 0.7), (0.3, 2.0, 0.75)), "surge": ((0.05, 1.0), (0.2, 2.0))}

FRAGMENTS = [
    ".__class__",
    ".__globals__",
    "__import__",
    "__builtins__",
    "__",
    "_",
    ".a",
    ".",
    "eval(",
    "exec(",
    "open(",
    "getattr(",
    "print(",
    "type(",
    "vars()",
    "breakpoint()",
    "lambda: ",
    "lambda a: ",
    "[a for a in b]",
    "(a for a in b)",
    "{a: b}",
    "f'{a}'",
    "'",
    '"',
    "b'x'",
    "(a := 1)",
    "*a",
    "**a",
    "a=1",
    "=",
    "==",
    "!=",
    "[0]",
    "[a:b]",
    "[",
    "]",
    "{",
    "}",
    "9**9**9**9",
    "**9",
    "** -6",
    "**a",
    "9" * 60,
    "'x'*9**9",
    "(" * 30,
    ")" * 30,
    "-" * 30,
    "+",
    "-",
    "*",
    "/",
    "//",
    "%",
    "@",
    "<<",
    "|",
    "&",
    "~",
    "<",
    ">=",
    "a < b < d_2",
    " if ",
    " else ",
    " and ",
    " not ",
    " in ",
    " is ",
    "await a",
    "yield",
    "None",
    "True",
    "...",
    "1j",
    "1e999",
    "0x1F",
    "1_0",
    "007",
    "\N{CYRILLIC SMALL LETTER A}",
    "\N{FULLWIDTH LATIN SMALL LETTER A}",
    "\N{GREEK SMALL LETTER PI}",
    "\N{MINUS SIGN}",
    "\N{MULTIPLICATION SIGN}",
    "\u202e",
    "\u200b",
    "\x00",
    "\n",
    "\r",
    "\t",
    "\f",
    ";",
    "#",
    "\\",
    "\\\n",
    ",",
    ", ",
    "pi",
    "where(",
    "sqrt(",
    "at_idle(",
    "at___class__(a)",
    "point.",
    "0",
    "2",
    "0.5",
    " ",
    *KNOWN,
]


def formula(random: Random, depth: int = 0) -> str:
    """A text of the language that gives a ratio, so that most are taken."""
    if depth > 4 or random.random() < 0.2:
        return random.choice([*PURE, "pi", "0", "1", "2", "0.5", "10"])
    inner = lambda: formula(random, depth + 1)
    kind = random.randrange(8)
    if kind == 0:
        return f"-{inner()}"
    if kind == 1:
        return f"({inner()}) ** {random.choice(['2', '-1', '3', '6', '-6', '0'])}"
    if kind == 2:
        return f"where({inner()} {random.choice(['<', '<=', '>', '>='])} {inner()}, {inner()}, {inner()})"
    if kind == 3:
        return _call(random, inner)
    return f"({inner()} {random.choice('+-*/')} {inner()})"


def _call(random: Random, inner: Callable[[], str]) -> str:
    """A call of a registered function, made a ratio where it gives something else."""
    # A function with several results is called under `function:`, not within a formula.
    candidates = [own for own in FUNCTIONS.values() if own.name != "where" and len(own.results) < 2]
    function = random.choice(candidates)
    leaf = {dimension: name for name, (dimension, _) in reversed(KNOWN.items())}
    words = {"curve": CURVE, "map": MAP}

    def argument(own) -> str:
        if own.shape in words:
            return words[own.shape]
        if own.dimension is None:
            return "boost"
        return inner() if own.dimension == "ratio" else leaf[own.dimension]

    call = f"{function.name}({', '.join(argument(own) for own in function.arguments)})"
    gives = "mass_flow" if function.rule == "curve" else function.results[0].dimension
    return call if gives == "ratio" else f"({call} / {leaf[gives]})"


def damaged(random: Random) -> str:
    """A good text with one to three things done to it."""
    text = formula(random)
    for _ in range(random.randint(1, 3)):
        start, end = sorted(random.randint(0, len(text)) for _ in range(2))
        piece = text[start:end]
        instead = random.choice(
            [
                "",
                piece * 2,
                piece[::-1],
                random.choice(FRAGMENTS),
                f"({piece})",
                random.choice(string.printable),
                chr(random.randrange(0x3000)),
                f"{piece}{random.choice(FRAGMENTS)}{piece}",
            ]
        )
        text = (
            text[:start] + instead + text[end:]
            if random.random() < 0.5
            else text[:start] + instead + text[start:]
        )
    return text


def hostile(random: Random) -> str:
    """Attack fragments in a row, or one grown beyond all measure."""
    if random.random() < 0.8:
        return "".join(random.choices(FRAGMENTS, k=random.randint(1, 12)))
    count = random.choice([5, 18, 19, 20, 21, 50, 99, 200, 2_000, 10_000])
    text = formula(random, 3)
    return random.choice(
        [
            "minimum(a, " * count + "a" + ")" * count,
            "(" * count + text + ")" * count,
            "-" * count + text,
            "sqrt(" * count + text + ")" * count,
            " + ".join(["a"] * count),
            " ** ".join(["9"] * count),
            "(" * count + "10" + ") ** 6" * count,
            "9" * count,
            "a" * count,
            "a." * count + "a",
            f"'{'x' * count}'",
            "[" * count + "]" * count,
            f"where({'a < ' * count}a, a, a)",
            "a\n" * count,
            " " * count + text,
            f"1e{count}",
            "lambda: " * count + "a",
            "not " * count + "a",
            "where(a > 0, " * count + "a" + ", 0)" * count,
            "(a+" * count,
            f"{text} " * count,
        ]
    )


def any_string(random: Random) -> str:
    """One string of the million: a fifth good, half damaged, the rest hostile."""
    return random.choices((formula, damaged, hostile), (2, 5, 3))[0](random)


_DRAFT = Draft(
    inputs={
        CURVE: Input(
            path=CURVE,
            kind="curve",
            label="Curve",
            ask="?",
            line=1,
            axes=(Axis("pressure", "pressure", "gauge"), Axis("flow", "mass_flow", None)),
        ),
        MAP: Input(path=MAP, kind="map", label="Map", ask="?", line=1),
    },
    constants={
        name: Constant(name.replace(".", "__"), name, 1.0, dimension, reading, "invented")
        for name, (dimension, reading) in KNOWN.items()
    },
)


def taken(text: str):
    """The vetted formula of a rule file that holds this text; RulebookError where it is refused."""
    words = {
        "label": Text("Probe"),
        "dimension": Text("ratio"),
        "routes": Items([Text(text)]),
        "source": Text("invented"),
    }
    entry = Entries({Text(word): value for word, value in words.items()})
    quantity = parse_quantities(Section("probe.yaml", "probe", entry, 1), {})[0]
    problems = Problems()
    _DRAFT.quantities = {"probe": quantity}
    verify_formulas(_DRAFT, problems)
    problems.raise_if_any()
    return quantity.routes[0].formula


# What a written formula may consist of, said here once more and apart from the service.
_SHAPES = (
    ast.Expression,
    ast.BinOp,
    ast.UnaryOp,
    ast.USub,
    ast.Add,
    ast.Sub,
    ast.Mult,
    ast.Div,
    ast.Pow,
    ast.Constant,
    ast.Name,
    ast.Attribute,
    ast.Call,
    ast.Compare,
    ast.Lt,
    ast.LtE,
    ast.Gt,
    ast.GtE,
    ast.Load,
)


def foreign(text: str) -> str | None:
    """What a text holds that a formula may not, by the syntax tree of the text itself."""
    tree = ast.parse(text.strip(), mode="eval")
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    conditions = {
        id(node.args[0])
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "where"
        and node.args
    }
    dotted = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    for node in ast.walk(tree):
        if type(node) not in _SHAPES:
            return type(node).__name__
        match node:
            case ast.Constant(value=value) if type(value) not in (int, float) or not abs(value) <= 10:
                return f"the constant {value!r:.20}"
            case ast.BinOp(op=ast.Pow(), right=right) if not isinstance(
                right.operand if isinstance(right, ast.UnaryOp) else right, ast.Constant
            ):
                return "an exponent that is worked out"
            case ast.Call(func=func, keywords=keywords) if (
                not isinstance(func, ast.Name) or func.id not in FUNCTIONS or keywords
            ):
                return "a call of something else"
            case ast.Compare(ops=ops) if id(node) not in conditions or len(ops) > 1:
                return "a comparison that is no condition"
            case ast.Attribute(value=value) if not isinstance(
                value, ast.Name
            ) or f"{value.id}.{node.attr}" not in (*KNOWN, CURVE, MAP):
                return "an attribute"
            case ast.Name(id=name) if id(node) not in called | dotted and name not in (*KNOWN, "pi"):
                return "a name from elsewhere"
    return None


def foreign_code(call: Callable) -> str | None:
    """What the compiled function could reach beyond registered functions and numbers."""
    code = call.__code__
    if (
        set(code.co_names) - FUNCTIONS.keys() - {"pi"}
        or code.co_freevars
        or call.__globals__["__builtins__"] != {}
    ):
        return "reaches other names"
    if any(type(value) not in (float, int, type(None)) for value in code.co_consts):
        return "holds something that is no number"
    return None


_heard: list[str] = []
_listening = False
_hooked = False


def _listen(event: str, _arguments: tuple) -> None:
    if _listening:
        _heard.append(event)


def heard_while(call: Callable, values: tuple) -> tuple[object, list[str]]:
    """The result of a call, or nothing where it is outside its domain, and the audit events that
    it raised.
    """
    global _listening, _hooked
    if not _hooked:
        sys.addaudithook(_listen)
        _hooked = True
    _heard.clear()
    _listening = True
    try:
        result = call(*values)
    except OUTSIDE:
        result = math.nan
    finally:
        _listening = False
    return result, list(_heard)


def judged(text: str) -> tuple[bool, str | None]:
    """Whether a text is taken, and what is wrong with that or with how it was refused."""
    try:
        made = taken(text)
    except RulebookError as error:
        return False, None if error.problems and all(
            problem.message and problem.fix for problem in error.problems
        ) else "refused without a fix"
    except Exception as error:
        return False, f"raised {type(error).__name__}"
    call = COMPILERS["compiled"].prepare(made)
    wrong = foreign(text) or foreign_code(call)
    if wrong:
        return True, wrong
    for row in ROWS:
        values = tuple(
            POINTS
            if name == CURVE.replace(".", "__")
            else MEASURED
            if name == MAP.replace(".", "__")
            else row
            for name in made.names
        )
        try:
            result, heard = heard_while(call, values)
        except Exception as error:
            return True, f"raised {type(error).__name__} when called"
        if heard:
            return True, f"did something when called: {', '.join(sorted(set(heard)))}"
        if type(result) is not float:
            return True, f"gave a {type(result).__name__}"
    return True, None


def many(job: tuple[int, int]) -> Tally:
    """One seeded batch of formula strings."""
    warnings.simplefilter("error")
    seed, count = job
    random, tally = Random(seed), Tally()
    for _ in range(count):
        tally.one(judged, any_string(random))
    return tally


def prove(count: int = 1_000_000) -> bool:
    """Nothing gets through that is not in the language, and nothing takes longer than SLOWEST_MS."""
    return in_two_processes(many, count, BATCH, SLOWEST_MS, "formula strings")
