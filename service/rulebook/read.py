"""The files of a rules folder, read entry by entry, however many of them are wrong."""

import re
from collections.abc import Callable
from pathlib import Path, PurePath
from typing import TypeVar

from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import read_yaml

INPUTS, POINTS, DISPLAY = "inputs.yaml", "operating_points.yaml", "display.yaml"
MOMENTS, SCOPE, FIGURES, SLOTS = "moments.yaml", "scope.yaml", "figures.yaml", "slots.yaml"
WORDING = "words.yaml"
FLAT_FILES = (
    INPUTS,
    "sources.yaml",
    "cautions.yaml",
    DISPLAY,
    "constants.yaml",
    "assumptions.yaml",
    POINTS,
)
TOPICS = ("tables", "quantities", "checks", "sources", "cautions", "constants", "assumptions")
EVERY_FOLDER = "Every rules folder has it, if only with a comment and one entry."

Parsed = TypeVar("Parsed")
Parse = Callable[[Section], Parsed]
# What a file that is not YAML would have given: nobody is told that these names are missing.
_LOOKS_LIKE_A_NAME = re.compile(r"^\s*([a-z][a-z0-9_.-]*)\s*(?::|$)", re.MULTILINE)


class FolderReader:
    """What the files hold, and everything that is wrong with them."""

    def __init__(self, folder: Path):
        self.problems = Problems()
        self.draft = Draft()
        self._read(folder)

    def _read(self, folder: Path) -> None:
        raw = self.draft.raw
        for name in (*FLAT_FILES, MOMENTS, SCOPE, FIGURES, SLOTS, WORDING):
            needed = name in FLAT_FILES
            if (folder / name).is_file() or (needed and (folder / name).exists()):
                self._read_file(folder / name, name)
            elif needed:
                self.problems.add(name, 1, "is missing from the rules folder.", EVERY_FOLDER)
        for topic in TOPICS:
            for path in sorted(folder.glob(f"{topic}/*.yaml")):
                self._read_file(path, path.relative_to(folder).as_posix())
        if not set(FLAT_FILES) <= raw.keys():
            # Without one of these nothing else can be told apart from what follows from it.
            self.problems.raise_if_any()

    def _read_file(self, path: Path, name: str) -> None:
        entries = self.problems.keep(lambda: read_yaml(path, name), PurePath(name).stem)
        if entries is not None:
            self.draft.raw[name] = entries
        elif path.is_file():
            self.problems.drop(_LOOKS_LIKE_A_NAME.findall(path.read_text(encoding="utf-8", errors="replace")))

    def files(self, topic: str) -> list[str]:
        return [file for file in self.draft.raw if file.startswith(f"{topic}/")]

    def entry(self, file: str, name: str, parse: Parse[Parsed], *gives: str) -> Parsed | None:
        """One entry of a file, where it can be read; `gives` are further names it would have given."""
        listed = self.draft.raw[file]
        node = next(node for key, node in listed.items() if key == name)
        line = listed.line_of(name)
        return self.problems.keep(lambda: parse(Section(file, name, node, line)), name, *gives)

    def entries(self, file: str, parse: Parse[Parsed]) -> dict[str, Parsed]:
        """Every entry of one file that could be read."""
        entries = {str(name): self.entry(file, name, parse) for name in self.draft.raw[file]}
        return {name: entry for name, entry in entries.items() if entry is not None}

    def whole_file(self, file: str, parse: Parse[Parsed], into: dict[str, Parsed]) -> None:
        """A file that is one entry, named as the file is."""
        name = PurePath(file).stem
        entry = self.problems.keep(lambda: parse(Section(file, name, self.draft.raw[file], 1)), name)
        if entry is not None:
            into[name] = entry

    def facts(self, topic: str, parse: Parse[Parsed]) -> dict[str, Parsed]:
        """A flat file and, where it grew, a folder of the same name; `home` remembers which file each entry
        is in.
        """
        merged: dict[str, Parsed] = {}
        home = self.draft.home
        for file in (f"{topic}.yaml", *self.files(topic)):
            for name, entry in self.entries(file, parse).items():
                if name in merged:
                    earlier = home[f"{topic}/{name}"]
                    line = self.draft.raw[file].line_of(name)
                    self.problems.add(
                        file, line, f"`{name}` is already in {earlier}.", "Keep one of the two."
                    )
                    continue
                merged[name] = entry
                home[f"{topic}/{name}"] = file
        return merged
