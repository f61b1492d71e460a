"""Rule files with one thing wrong: the folder loads, or is refused with a file that is there, a line and a
fix; nothing else happens.
"""

import os
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from unittest.mock import patch

from service.errors import RulebookError
from service.rulebook.files.yaml_file import read_yaml
from service.rulebook.load import load_rulebook
from service.rulebook.read import FLAT_FILES, TOPICS
from tests.proof.formula_strings import FRAGMENTS
from tests.proof.tally import Tally, in_two_processes
from tests.support.places import RULES

SLOWEST_MS = 5_000
BATCH = 100
_NUMBER = re.compile(r"(?<![\w.])-?[0-9]+(?:\.[0-9]+)?")
_UNITS = (
    "psi",
    "bar",
    "lb/h",
    "cc/min",
    "hp",
    "kW",
    "lb-ft",
    "N.m",
    "mm",
    "in",
    "degC",
    "K",
    "%",
    "rpm",
    "m/s",
    "kg",
    "L",
)
_LAUGHS = "".join(f"l{level}: &l{level} [{', '.join([f'*l{level - 1}'] * 9)}]\n" for level in range(1, 10))

Mistake = Callable[[Random, str], str | bytes]


def _line(change: Callable[[Random, str], str]) -> Mistake:
    """A change of one line that says something."""

    def mistake(random: Random, text: str) -> str:
        lines = text.split("\n")
        place = random.choice(
            [
                number
                for number, line in enumerate(lines)
                if line.strip() and not line.lstrip().startswith("#")
            ]
        )
        lines[place] = change(random, lines[place])
        return "\n".join(lines)

    return mistake


def _after_colon(instead: str) -> Mistake:
    return _line(
        lambda random, line: (
            re.sub(r"(: ?|- ).*", lambda match: f"{match[1].rstrip()} {instead}", line, count=1)
            if ": " in line or "- " in line
            else f"{line} {instead}"
        )
    )


def _somewhere(instead: Callable[[Random], str]) -> Mistake:
    def mistake(random: Random, text: str) -> str:
        place = random.randint(0, len(text))
        return text[:place] + instead(random) + text[place:]

    return mistake


def _swap_indents(random: Random, text: str) -> str:
    lines = text.split("\n")
    one, other = random.sample(range(len(lines)), 2)
    indents = [len(lines[place]) - len(lines[place].lstrip()) for place in (one, other)]
    lines[one], lines[other] = (
        " " * indents[1] + lines[one].lstrip(),
        " " * indents[0] + lines[other].lstrip(),
    )
    return "\n".join(lines)


def _a_number(instead: Callable[[Random], str]) -> Mistake:
    def mistake(random: Random, text: str) -> str:
        numbers = list(_NUMBER.finditer(text))
        match = random.choice(numbers) if numbers else None
        return (
            text[: match.start()] + instead(random) + text[match.end() :] if match else text + instead(random)
        )

    return mistake


def _another_unit(random: Random, text: str) -> str:
    units = [
        match for unit in _UNITS for match in re.finditer(rf"(?<= ){re.escape(unit)}(?=[\],}}\n])", text)
    ]
    match = random.choice(units) if units else None
    return (
        text[: match.start()] + random.choice(_UNITS) + text[match.end() :]
        if match
        else text + random.choice(_UNITS)
    )


# By kind, what is done to the text of one file.
MISTAKES: dict[str, Mistake] = {
    "a line left out": _line(lambda random, line: "# nothing"),
    "a line twice": _line(lambda random, line: f"{line}\n{line}"),
    "an indent more": _line(lambda random, line: f" {line}"),
    "an indent less": _line(lambda random, line: line[1:]),
    "indents swapped": _swap_indents,
    "a tab": _line(lambda random, line: f"\t{line.lstrip()}"),
    "text for a number": _a_number(
        lambda random: random.choice(["plenty", "", "1,5", "[]", "{}", "no", "~"])
    ),
    "another number": _a_number(
        lambda random: random.choice(
            ["0", "-1", "1e400", "1e-400", ".5", "9" * 400, "0x10", "1:30", "1_0", ".nan", "٣"]
        )
    ),
    "another unit": _another_unit,
    "an attack in a formula": _line(
        lambda random, line: (
            line + random.choice([" + ", " ", "(", ""]) + random.choice(FRAGMENTS).replace("\x00", "")
        )
    ),
    "an anchor": _after_colon("&x y"),
    "an alias": _after_colon("*x"),
    "a tag": _after_colon("!!python/object/apply:os.system [ls]"),
    "a merge": _line(lambda random, line: f"{line[: len(line) - len(line.lstrip())]}<<: {{a: b}}\n{line}"),
    "a list for it": _after_colon("[a, [b, c], {d: e}]"),
    "a mapping for it": _after_colon("{a: {b: c}}"),
    "nothing for it": _after_colon(""),
    "a quote opened": _after_colon('"open'),
    "a bracket opened": _after_colon("[open, {a: "),
    "braces of a sentence": _after_colon('"{nothing} {0} {value:>9999999999} {a.__class__} {"'),
    "a block": _after_colon("|\n   text\n  text"),
    "a code point beyond all": _after_colon('"\\U00110000"'),
    "a code point beyond an integer": _after_colon('"\\UFFFFFFFF"'),
    "half a surrogate pair": _after_colon('"\\ud800"'),
    "a question mark for a key": _line(lambda random, line: f"? {line}"),
    "two documents": _line(lambda random, line: f"---\n{line}"),
    "a directive": lambda random, text: f"%YAML 3.0\n---\n{text}",
    "a zero byte": _somewhere(lambda random: "\x00"),
    "any character": _somewhere(
        lambda random: chr(random.choice([random.randrange(0x80), random.randrange(0xD800)]))
    ),
    "a byte order mark": lambda random, text: f"\ufeff{text}",
    "line ends of another system": lambda random, text: text.replace("\n", "\r\n"),
    "line ends of an old system": lambda random, text: text.replace("\n", "\r"),
    "cut off": lambda random, text: text[: random.randint(0, len(text))],
    "empty": lambda random, text: "",
    "not UTF-8": lambda random, text: text.encode() + b"\xff",
    "UTF-16": lambda random, text: text.encode("utf-16"),
    "very deep": lambda random, text: f"{text}\ndeep: {'[' * 5_000}{']' * 5_000}\n",
    "very deep by lines": lambda random, text: text + "".join(f"\n{' ' * depth}a:" for depth in range(1_500)),
    "a million laughs": lambda random, text: f"l0: &l0 ha\n{_LAUGHS}{text}",
    "a scalar of a megabyte": lambda random, text: f"{text}\nlong: {'x' * 1_000_000}\n",
}
# By kind, what stands in the folder beside the good files.
BESIDE: dict[str, Callable[[Path], None]] = {
    "a folder named like a file": lambda path: path.mkdir(),
    "a link to nothing": lambda path: path.symlink_to("nowhere.yaml"),
    "a link to itself": lambda path: path.symlink_to(path.name),
    "an empty file": lambda path: path.touch(),
}


class Rules:
    """A copy of a rules folder, to be spoilt in one place at a time; files that stay as they were are read
    once.
    """

    def __init__(self, source: Path, room: Path):
        self.folder = Path(shutil.copytree(source, room / "rules"))
        self.files = sorted(path.relative_to(source).as_posix() for path in source.rglob("*.yaml"))
        self.text = {file: (source / file).read_text(encoding="utf-8") for file in self.files}
        self.read: dict[tuple[str, str], object] = {}

    def judged(self, file: str, content: str | bytes) -> tuple[bool, str | None]:
        """Whether the folder loads with this content in one file, and what is wrong with how it
        was refused.
        """
        path = self.folder / file
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))
        try:
            return self._loaded()
        finally:
            path.write_text(self.text[file], encoding="utf-8")

    def beside(self, kind: str, topic: str) -> tuple[bool, str | None]:
        """The same with something beside the good files."""
        path = self.folder / topic / "zz_beside.yaml"
        path.parent.mkdir(exist_ok=True)
        BESIDE[kind](path)
        try:
            return self._loaded()
        finally:
            path.rmdir() if path.is_dir() else path.unlink()

    def _loaded(self) -> tuple[bool, str | None]:
        try:
            with patch("service.rulebook.read.read_yaml", self._read_once):
                load_rulebook(self.folder)
        except RulebookError as error:
            return False, next(
                filter(None, map(self._misplaced, error.problems)),
                None if error.problems else "refused without a problem",
            )
        except Exception as error:
            return False, f"raised {type(error).__name__}"
        return True, None

    def _read_once(self, path: Path, shown: str):
        text = self.text.get(shown)
        if text is None or not path.is_file() or path.read_bytes() != text.encode():
            return read_yaml(path, shown)
        if (shown, text) not in self.read:
            self.read[shown, text] = read_yaml(path, shown)
        return self.read[shown, text]

    def _misplaced(self, problem) -> str | None:
        path = self.folder / problem.file
        if not (os.path.lexists(path) or problem.file in FLAT_FILES):
            return f"names the file {problem.file!r}, which is not there"
        lines = len(path.read_bytes().decode("utf-8", "replace").splitlines()) if path.is_file() else 0
        if not 1 <= problem.line <= lines + 1:
            return f"names line {problem.line} of {problem.file}, which has {lines}"
        return None if problem.message and problem.fix else "says no fix"


@contextmanager
def spoilt(source: Path = RULES) -> Iterator[Rules]:
    """A rules folder to spoil, gone afterwards."""
    with TemporaryDirectory() as room:
        yield Rules(source, Path(room))


def many(job: tuple[int, int]) -> Tally:
    """One seeded batch of spoilt folders; the kinds take turns."""
    seed, count = job
    random, tally, kinds = Random(seed), Tally(), [*MISTAKES, *BESIDE]
    with spoilt() as rules:
        for position in range(count):
            kind, file = kinds[(seed * count + position) % len(kinds)], random.choice(rules.files)
            content = MISTAKES[kind](random, rules.text[file]) if kind in MISTAKES else None

            def judged(kind: str, file: str) -> tuple[bool, str | None]:
                good, wrong = (
                    rules.beside(kind, random.choice(TOPICS))
                    if content is None
                    else rules.judged(file, content)
                )
                return good, wrong and f"{kind}: {wrong}"

            tally.one(judged, kind, file)
    return tally


def prove(count: int = 2_000) -> bool:
    """Every folder loads or is refused with its place."""
    return in_two_processes(many, count, BATCH, SLOWEST_MS, "rule files")
