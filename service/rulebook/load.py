"""Reads a rules folder into a Rulebook, or refuses it with every problem it finds: file, line, mend."""

from pathlib import Path, PurePath

from service.errors import Problem, RulebookError
from service.rulebook.digest import rulebook_digest
from service.rulebook.draft import Parts
from service.rulebook.files.yaml_file import Entries, read_yaml
from service.rulebook.formulas.compilers import EVALUATORS
from service.rulebook.formulas.graph import build_graph
from service.rulebook.model import Quantity, Table
from service.rulebook.names import identifier
from service.rulebook.parse.checks import parse_check
from service.rulebook.parse.facts import (
    parse_assumptions,
    parse_cautions,
    parse_constants,
    parse_display,
    parse_sources,
    parse_table,
)
from service.rulebook.parse.inputs import Input, parse_inputs
from service.rulebook.parse.quantities import parse_points, parse_quantities
from service.rulebook.parse.watches import parse_moments
from service.rulebook.rulebook import Rulebook
from service.rulebook.verify.facts import verify
from service.rulebook.verify.texts import verify_texts
from service.version import VERSION

FLAT_FILES = tuple(
    f"{name}.yaml"
    for name in ("inputs", "sources", "cautions", "display", "constants", "assumptions", "operating_points")
)
MOMENTS = "moments.yaml"
TOPICS = ("tables", "quantities", "checks", "sources", "cautions", "constants", "assumptions")


def load_rulebook(folder: Path, evaluator: str = "compiled") -> Rulebook:
    """Load, verify and compile the rules in a folder."""
    if not folder.is_dir():
        raise RulebookError(
            [Problem(str(folder), 1, "is not a folder.", "Set RULES to the folder that holds inputs.yaml.")]
        )
    raw = _read(folder)
    inputs = parse_inputs(raw["inputs.yaml"], "inputs.yaml")
    tables = {
        PurePath(file).stem: parse_table(PurePath(file).stem, raw[file], file) for file in _in("tables", raw)
    }
    choices = _choices(inputs, tables)
    words, points = parse_points(raw["operating_points.yaml"], "operating_points.yaml", choices)
    quantities = _quantities(raw, choices, words)
    home: dict[str, str] = {}
    constants = _facts("constants", parse_constants, raw, home)
    assumptions = _facts("assumptions", parse_assumptions, raw, home)
    numbers = _numbers(inputs, quantities, words) | {
        constant.name: constant.dimension for constant in constants.values()
    }
    checks = {
        PurePath(file).stem: parse_check(PurePath(file).stem, raw[file], file, choices, numbers)
        for file in _in("checks", raw)
    }
    parts = Parts(
        inputs=inputs,
        sources=_facts("sources", parse_sources, raw, home),
        cautions=_facts("cautions", parse_cautions, raw, home),
        display=parse_display(raw["display.yaml"], "display.yaml"),
        constants=constants,
        tables=tables,
        assumptions=assumptions,
        quantities=quantities,
        words=words,
        points={point.name: point for point in points},
        checks=checks,
        choices=choices,
        moments=parse_moments(raw[MOMENTS], MOMENTS) if MOMENTS in raw else {},
        raw=raw,
        home=home,
    )
    verify(parts)
    graph = build_graph(
        quantities, words, points, parts.leaves(), EVALUATORS[evaluator], "operating_points.yaml"
    )
    verify_texts(parts, graph)
    return Rulebook(
        version=VERSION,
        digest=rulebook_digest(folder),
        inputs=inputs,
        sources=parts.sources,
        cautions=parts.cautions,
        moments=parts.moments,
        display=parts.display,
        constants=constants,
        tables=tables,
        assumptions=assumptions,
        quantities=quantities,
        point_words=words,
        points=parts.points,
        checks=checks,
        choices=choices,
        graph=graph,
        evaluator=EVALUATORS[evaluator],
    )


def _read(folder: Path) -> dict[str, Entries]:
    """Every rule file by its path inside the folder."""
    raw = {}
    for name in FLAT_FILES:
        if not (folder / name).is_file():
            raise RulebookError(
                [
                    Problem(
                        name,
                        1,
                        "is missing from the rules folder.",
                        "Every rules folder has it, if only with a comment and one entry.",
                    )
                ]
            )
        raw[name] = read_yaml(folder / name, name)
    if (folder / MOMENTS).is_file():
        raw[MOMENTS] = read_yaml(folder / MOMENTS, MOMENTS)
    for topic in TOPICS:
        for path in sorted(folder.glob(f"{topic}/*.yaml")):
            file = path.relative_to(folder).as_posix()
            raw[file] = read_yaml(path, file)
    return raw


def _in(topic: str, raw: dict[str, Entries]) -> list[str]:
    return [file for file in raw if file.startswith(f"{topic}/")]


def _facts(topic: str, parse, raw: dict[str, Entries], home: dict[str, str]) -> dict:
    """A flat file and, where it grew, a folder of the same name; `home` remembers which file each entry is in."""
    merged: dict = {}
    for file in (f"{topic}.yaml", *_in(topic, raw)):
        for name, made in parse(raw[file], file).items():
            if name in merged:
                raise RulebookError(
                    [
                        Problem(
                            file,
                            raw[file].line_of(name),
                            f"`{name}` is already in {home[f'{topic}/{name}']}.",
                            "Keep one of the two.",
                        )
                    ]
                )
            merged[name] = made
            home[f"{topic}/{name}"] = file
    return merged


def _choices(inputs: dict[str, Input], tables: dict[str, Table]) -> dict[str, tuple[str, ...]]:
    choices: dict[str, tuple[str, ...]] = {}
    for path, one in inputs.items():
        if one.kind not in ("choice", "flag"):
            continue
        if one.choices_from and one.choices_from not in tables:
            raise RulebookError(
                [
                    Problem(
                        "inputs.yaml",
                        one.line,
                        f"`{path}` takes its choices from the table `{one.choices_from}`, which is missing.",
                        f"Add tables/{one.choices_from}.yaml.",
                    )
                ]
            )
        words = tables[one.choices_from].rows if one.choices_from else one.choices
        choices[path] = tuple(word for word in words if word != "unknown")
    for table in tables.values():
        for column in table.columns.values():
            if column.choices:
                choices[f"{table.name}.{column.name}"] = column.choices
    return choices


def _quantities(raw: dict[str, Entries], choices: dict, words: dict[str, Quantity]) -> dict[str, Quantity]:
    quantities: dict[str, Quantity] = {}
    for file in _in("quantities", raw):
        for quantity in parse_quantities(raw[file], file, choices):
            earlier = quantities.get(quantity.name) or words.get(quantity.name)
            if earlier:
                raise RulebookError(
                    [
                        Problem(
                            quantity.file,
                            quantity.line,
                            f"`{quantity.name}` is already a quantity ({earlier.file}:{earlier.line}).",
                            "Give one of them another name.",
                        )
                    ]
                )
            quantities[quantity.name] = quantity
    return quantities


def _numbers(
    inputs: dict[str, Input], quantities: dict[str, Quantity], words: dict[str, Quantity]
) -> dict[str, str]:
    """Identifier -> dimension of everything a check may set a number against."""
    numbers = {}
    for one in inputs.values():
        for dimension, word in one.words.items():
            numbers[identifier(word)] = dimension
    return numbers | {q.name: q.dimension for q in (*quantities.values(), *words.values())}
