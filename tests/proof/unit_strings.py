"""Two hundred thousand values as no clerk should write them, over every input of the rulebook: a number that
can be, or a fault with its place.
"""

import math
from functools import cache
from random import Random
from unittest.mock import patch

import orjson

from service.errors import SpecError
from service.evaluation.known import Known
from service.evaluation.reading.spec import SpecReader
from service.rulebook.input import Input
from service.rulebook.load import load_rulebook
from service.rulebook.rulebook import Rulebook
from service.units.units import DIMENSIONS
from tests.proof.tally import Tally, in_two_processes
from tests.support.places import RULES

SLOWEST_MS = 20
BATCH = 10_000
ROUNDING = 1e-9

NUMBERS = [
    "0",
    "-0",
    "1",
    "7",
    "12",
    "13.5",
    "60",
    "600",
    "1,250",
    "1.250,5",
    "1 250",
    "1'250",
    "8.5",
    "8,5",
    ".5",
    "5.",
    "-3",
    "+3",
    "--3",
    "\N{MINUS SIGN}3",
    "½",
    "1/2",
    "3 1/2",
    "1e3",
    "1E+3",
    "1e-3",
    "1e400",
    "-1e400",
    "1e-400",
    "1e308",
    "1.7976931348623157e308",
    "5e-324",
    "1e",
    "e5",
    "0x10",
    "0b1",
    "1_000",
    "\N{FULLWIDTH DIGIT ONE}\N{FULLWIDTH DIGIT TWO}",
    "\N{ARABIC-INDIC DIGIT THREE}",
    "\N{DEVANAGARI DIGIT NINE}",
    "²",
    "Ⅷ",
    "①",
    "𝟗",
    "∞",
    "inf",
    "nan",
    "NaN",
    "twelve",
    "9" * 40,
    "9" * 62,
    "9" * 400,
    "0" * 60 + "1",
    "0." + "0" * 55 + "1",
    "1.2.3",
    "",
]
WRITTEN = [
    "{n} {u}",
    "{n}{u}",
    "{u} {n}",
    "{n}  {u}",
    "{n}\u00a0{u}",
    "{n}\t{u}",
    " {n} {u} ",
    "{n} {u}.",
    "{n} {u} {u}",
    "{n} {u}{v}",
    "{n} {u} {v}",
    "{n}*{u}",
    "{n} × {u}",
    "{n} {u}²",
    "{n} {u}^2",
    "{n} {u}/{v}",
    "{n} ({u})",
    "({n} {u})",
    "[{n}] {u}",
    "{n} {u} abs",
    "{n} {u}a",
    "{n} {u}g",
    "{n} {u} gauge",
    "{n} {u} (abs)",
    "{n} {u} ±{m}",
    "{n} ±{m} {u}",
    "{n} {u} ± {m} {v}",
    "{n}{u}±{m}%",
    "{n} {u} +/- {m}",
    "{n} {u} +- {m} %",
    "{n} {u} ±-{m}",
    "{n} {u} ±{m} ±{n}",
    "({n} ±{m}) {u}",
    "{n} {u} ±",
    "±{m} {u}",
    "{n}±{m}",
    "{n} {u} \N{PLUS-MINUS SIGN}{m}\N{PER MILLE SIGN}",
    "{n} to {m} {u}",
    "{n} {u} to {m} {v}",
    "{n}-{m} {u}",
    "{n}\N{EN DASH}{m}{u}",
    "{n}..{m} {u}",
    "{n}…{m} {u}",
    "-{n}--{m} {u}",
    "{n} to {m} to {n} {u}",
    "{n} to {u}",
    "{n} or {m} {u}",
    "{n} {u} ({m} {v})",
    "{n} {u} = {m} {v}",
    "{n} {u}, {m} {v}",
    "{n}x{m} {u}",
    "{n}:1",
    "{n}:{m}",
    "{n} to 1",
    "{n}:1.0 {u}",
    "E{n}",
    "e{n} {u}",
    "{n}+ {u}",
    "{n} {u}+",
    ">{n} {u}",
    ">= {n}{u}",
    "over {n} {u}",
    "up to {n} {u}",
    "about {n} {u}",
    "~{n} {u}",
    "{n} {u} max",
    "{n} {u}!",
    "{n} {u}?",
    "{n} \N{AUTOMOBILE} {u}",
    "\u202e{n} {u}",
    "{n}\u200b{u}",
    "{n}\x00{u}",
    "{n}\n{u}",
    "{n} {u}\u0301",
    "\ufeff{n} {u}",
    "{n} {u}\udcff",
    "{n}%{u}",
    "%{n}",
    "{n} %",
    "${n}",
    "{n}",
    "{u}",
]
# What makes a careless pattern try every way to split a text.
REPEATED = [
    "1",
    "1 ",
    "1.",
    "1,",
    "1e",
    "1e1",
    "1-",
    "1 to ",
    "1..",
    "1±",
    "±",
    "(",
    "( ",
    " ",
    "\t",
    "-",
    "--",
    "+",
    "+/-",
    ".",
    "..",
    ":",
    "to ",
    "e",
    "E1",
    "0",
    "9",
    "/",
    "psi",
    "psi ",
    "a",
    "1a",
    "²",
    "\N{AUTOMOBILE}",
    "\u0301",
    "\x00",
    "½",
    "1:1",
    "½1",
]
WORDS = [
    "",
    "furlong",
    "psi",
    "rwhp",
    "degC",
    "°",
    "%",
    "N.m",
    "lb",
    "lb-ft",
    "hp",
    "none",
    "ＰＳＩ",
    "рsi",
    "<b>",
    "{value}",
    "%s",
    "'",
    '"',
    "\\",
    "../..",
    "None",
    "µm",
    "Ω",
]


def good(random: Random, one: Input) -> tuple[str, str, str]:
    """A number that can be, one beside it, and a unit of this input; or one of its words."""
    if not one.words:
        return random.choice([*one.choices, *one.synonyms, "yes", "no", "unknown"]), "1", ""
    dimension = random.choice(list(one.words))
    spelling = random.choice(list(DIMENSIONS[dimension].units))
    unit, (low, high) = (
        DIMENSIONS[dimension].units[spelling],
        one.form.possible[dimension] if one.form else (0.0, 1e3),
    )
    number = (low + (high - low) * random.random() ** random.choice([1, 3, 9]) - unit.offset) / unit.factor
    return (
        f"{number:.{random.choice([3, 5, 8])}g}",
        f"{number * random.choice([0.01, 0.1, 1.1]):.3g}",
        spelling,
    )


def text(random: Random, one: Input) -> str:
    """A value as text: a real form with this input's own units, spoilt or not, or a repeat that grows."""
    if random.random() < 0.4:
        number, other, spelling = good(random, one)
        return random.choice(WRITTEN if random.random() < 0.6 else ["{n} {u}"]).format(
            n=number, m=other, u=spelling, v=spelling
        )
    if random.random() < 0.08:
        return (
            random.choice(["", "1", "12 psi", " "])
            + random.choice(REPEATED) * random.choice([2, 8, 16, 32, 63, 64, 65, 500, 10_000])
            + random.choice(["", "x", " psi", "!", "1"])
        )[: random.choice([63, 64, 65, 10_000])]
    spellings = [spelling for dimension in one.words for spelling in DIMENSIONS[dimension].units]
    words = [*one.choices, *one.synonyms, "yes", "unknown", "True"]
    unit = lambda: (
        random.choice(spellings or words) if random.random() < 0.75 else random.choice(WORDS + words)
    )
    number = lambda: (
        random.choice(NUMBERS)
        if random.random() < 0.5
        else random.choice(
            [
                str(random.randint(0, 9999)),
                f"{10 ** random.uniform(-3, 5):.{random.randint(0, 6)}g}",
                f"{random.uniform(-50, 5000):.2f}",
            ]
        )
    )
    made = random.choice(WRITTEN).format(n=number(), m=number(), u=unit(), v=unit())
    for _ in range(random.choice([0, 0, 0, 1, 1, 2])):
        place = random.randint(0, len(made))
        made = random.choice(
            [
                made.upper,
                made.title,
                made.swapcase,
                lambda: made[::-1],
                lambda: made.replace(" ", ""),
                lambda: made.replace(" ", "  "),
                lambda: made * 2,
                lambda: made[:place],
                lambda: made[place:],
                lambda: made[:place] + random.choice(REPEATED) + made[place:],
                lambda: (
                    made[:place]
                    + chr(
                        random.choice(
                            [
                                random.randrange(0x20),
                                random.randrange(0x3000),
                                random.randrange(0x1F600, 0x1F650),
                            ]
                        )
                    )
                    + made[place + 1 :]
                ),
                lambda: made.translate({digit: digit + 0xFEE0 for digit in range(48, 58)}),
                lambda: made.ljust(random.choice([63, 64, 65])),
            ]
        )()
    return made


def value(random: Random, one: Input) -> object:
    """A JSON value for one input, text most of the time; a curve or a map gets such values in its points."""
    if one.kind in ("curve", "map") and random.random() < 0.8:
        lists = one.lists or {"": one.axes}
        points = {
            part: [
                {axis.word: text(random, _axis(axis)) for axis in axes} for _ in range(random.randint(1, 3))
            ]
            for part, axes in lists.items()
        }
        return points if one.lists else points[""]
    kind = random.random()
    if kind < 0.85:
        return text(random, one)
    if one.kind == "count" and random.random() < 0.5:
        return random.randint(one.possible_count[0] - 1, one.possible_count[1] + 1)
    number = random.choice(
        [0, -1, 1, 8, 8.5, 1e308, -1e308, 5e-324, 2**53, 10**30, random.uniform(-1e3, 1e4)]
    )
    unit = random.choice(
        [spelling for dimension in one.words for spelling in DIMENSIONS[dimension].units] + WORDS
    )
    return random.choice(
        [
            number,
            True,
            None,
            [],
            {},
            [text(random, one)],
            {"value": number, "unit": unit},
            {"value": number, "unit": unit, "tolerance": random.choice([0, -1, 0.5, 1e308, None, "1"])},
            {"value": text(random, one), "unit": unit},
            {"value": number, "unit": text(random, one)},
        ]
    )


@cache
def _axis(axis) -> Input:
    """An axis of a curve as an input of its own, for its units."""
    return Input(
        path=axis.word, kind="number", label=axis.word, ask="", line=1, words={axis.dimension: axis.word}
    )


def offers(fault) -> tuple[str, ...]:
    """What a fault says may have been meant."""
    return (*fault.options, *([fault.suggestion] if fault.suggestion is not None else []))


class Judge:
    """Reads one value as the service does, and holds what comes of it against the input."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook
        self.inputs = list(rulebook.inputs.values())
        # A number may go to another input than it was written in ("93 AKI" as RON, "340 L/h at 58 psi").
        self.possible = {
            word.replace(".", "__"): one.form.possible[dimension]
            for one in self.inputs
            if one.form
            for dimension, word in one.words.items()
        }
        # A text that is remembered would be timed as nothing.
        with patch("service.evaluation.reading.numbers.TEXTS_KEPT", 0):
            self.reader = SpecReader(rulebook)

    def __call__(self, path: str, given: object) -> tuple[bool, str | None]:
        """Whether the value is taken, and what is wrong with that or with how it was refused."""
        one = self.rulebook.inputs[path]
        try:
            known = self.reader.read({one.group: {one.name: given}} if one.group else {one.name: given})
        except SpecError as error:
            return False, self._refusal(one, given, error)
        except Exception as error:
            return False, f"raised {type(error).__name__}"
        return True, self._taken(one, known)

    def _refusal(self, one: Input, given: object, error: SpecError) -> str | None:
        pointer = f"/build/{one.path.replace('.', '/')}"
        if not error.faults:
            return "refused without a fault"
        for fault in error.faults:
            if fault.pointer != pointer and not (
                one.kind in ("curve", "map") and fault.pointer.startswith(f"{pointer}/")
            ):
                return "a fault with another place"
            if not (fault.code and fault.detail.endswith(".")):
                return "a fault without words"
            if (
                type(given) in (str, int, float)
                and one.kind in ("number", "choice")
                and not all(self(one.path, offered)[0] for offered in offers(fault))
            ):
                return "suggests what is refused"
        return _json([fault._asdict() for fault in error.faults])

    def _taken(self, one: Input, known: Known) -> str | None:
        for name, number in known.numbers.items():
            low, high = one.possible_count if one.kind == "count" else self.possible[name]
            for end in (number, *known.tolerances.get(name, ())):
                if not (
                    math.isfinite(end) and low - ROUNDING * abs(low) <= end <= high + ROUNDING * abs(high)
                ):
                    return "taken as a number that cannot be"
            if (
                name in known.tolerances
                and not known.tolerances[name][0] <= number <= known.tolerances[name][1]
            ):
                return "a tolerance that does not hold its number"
        for path, word in known.choices.items():
            if word not in self.rulebook.choices[path]:
                return "taken as a word that is none"
        if not (known.numbers or known.choices or known.curves):
            return "taken as nothing"
        return _json(known.understood)


def _json(answer: object) -> str | None:
    """An answer that holds half a surrogate pair cannot be sent: that would be a 500."""
    try:
        orjson.dumps(answer)
    except orjson.JSONEncodeError:
        return "an answer that is no JSON"
    return None


def many(job: tuple[int, int]) -> Tally:
    """One seeded batch of values; the inputs take turns."""
    seed, count = job
    random, tally, judge = Random(seed), Tally(), Judge(load_rulebook(RULES))
    for position in range(count):
        one = judge.inputs[position % len(judge.inputs)]
        tally.one(judge, one.path, value(random, one))
    return tally


def prove(count: int = 200_000) -> bool:
    """Every value is read or refused cleanly, none slower than SLOWEST_MS."""
    return in_two_processes(many, count, BATCH, SLOWEST_MS, "unit strings")
