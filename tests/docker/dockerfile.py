"""Reads docker/Dockerfile and the list of what stays out of its build, as far as the tests need."""

import json
import re
import shlex
from typing import NamedTuple

from tests.support.places import ROOT

DOCKERFILE = ROOT / "docker" / "Dockerfile"
IGNORED = ROOT / "docker" / "Dockerfile.dockerignore"


class Instruction(NamedTuple):
    """One instruction: the number of its stage, its word, its --options, the rest."""

    stage: int
    word: str
    options: dict[str, str]
    rest: str

    @property
    def command(self) -> list[str] | None:
        """The words of a command in exec form; None where a shell would be needed."""
        try:
            return json.loads(self.rest)
        except json.JSONDecodeError:
            return None


def instructions() -> list[Instruction]:
    """All instructions in order; stages count from 0."""
    lines = [line for line in DOCKERFILE.read_text().splitlines() if not line.lstrip().startswith("#")]
    stage, found = -1, []
    for line in re.sub(r"\\\n", " ", "\n".join(lines)).splitlines():
        if not line.strip():
            continue
        word, rest = line.split(maxsplit=1)
        stage += word == "FROM"
        options = {}
        while option := re.match(r"--([a-z-]+)=(\S+)\s+", rest):
            options[option[1]], rest = option[2], rest[option.end() :]
        found.append(Instruction(stage, word, options, rest.strip()))
    return found


def environment() -> dict[str, str]:
    """ENV of the last stage."""
    last = instructions()[-1].stage
    return dict(
        pair.split("=", 1)
        for one in instructions()
        if one.word == "ENV" and one.stage == last
        for pair in shlex.split(one.rest)
    )


def copies_from_tree() -> list[tuple[list[str], str]]:
    """Sources and target of every COPY of the last stage that takes from the tree."""
    last = instructions()[-1].stage
    found = [
        one.rest.split()
        for one in instructions()
        if one.word == "COPY" and one.stage == last and "from" not in one.options
    ]
    return [(words[:-1], words[-1]) for words in found]


def kept_out(path: str) -> bool:
    """Whether a file of the tree stays out of the build: the last pattern counts that matches it or a folder
    above it.
    """
    out = False
    for line in IGNORED.read_text().splitlines():
        pattern = line.strip()
        if pattern and not pattern.startswith("#"):
            keep = pattern.startswith("!")
            if _matches(pattern.lstrip("!"), path):
                out = not keep
    return out


def _matches(pattern: str, path: str) -> bool:
    parts = re.escape(pattern).replace(r"\*\*/", "(?:.*/)?").replace(r"\*", "[^/]*")
    return re.fullmatch(f"{parts}(?:/.*)?", path) is not None
