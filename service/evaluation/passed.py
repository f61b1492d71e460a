"""The rulebook whose worked examples came out last, kept beside its rules: a start runs those of another.

The digest covers the rules, the code that computes with them and the lock, so whatever could change an
example makes another rulebook. Who may write the file may change the rules.
"""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from service.rulebook.rulebook import Rulebook

_FILE = ".examples-passed"


def examples_passed(folder: Path, rulebook: Rulebook) -> bool:
    """Whether this rulebook's examples have passed under its evaluator."""
    file = folder / _FILE
    with suppress(OSError):
        return file.is_file() and _line(rulebook) in file.read_bytes().splitlines()
    return False


def keep_passed(folder: Path, rulebooks: Iterable[Rulebook]) -> None:
    """Remember that the examples came out; where nothing may be written the next start runs them again."""
    with suppress(OSError):
        (folder / _FILE).write_bytes(b"".join(_line(rulebook) + b"\n" for rulebook in rulebooks))


def _line(rulebook: Rulebook) -> bytes:
    return f"{rulebook.digest} {rulebook.compiler.name}".encode()
