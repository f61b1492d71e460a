"""The rules in force: every worked example comes out, every check is shown passing and not passing, sentences
are safe to read.
"""

from dataclasses import replace
from math import ceil, floor
from pathlib import Path

import pytest

from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.rulebook.files.yaml_file import Entries, Items, Text, read_yaml
from service.rulebook.formulas.compilers import COMPILERS
from service.rulebook.load import load_rulebook
from service.units.reading import read_number
from service.units.units import find_unit
from service.web.api.rulebook_pages import inputs
from tests.support.places import RULES

FILES = sorted(RULES.rglob("*.yaml"))
CHECKS = sorted(path.stem for path in RULES.glob("checks/*.yaml"))


def shown(path: Path) -> str:
    return path.relative_to(RULES).as_posix()


@pytest.fixture(scope="module", params=COMPILERS)
def rulebook(request):
    return load_rulebook(RULES, request.param)


@pytest.fixture(scope="module")
def compiled():
    return load_rulebook(RULES)


@pytest.mark.parametrize("check", CHECKS)
def test_worked_examples_come_out(rulebook, check):
    one = rulebook.checks[check]
    assert run_examples(Evaluator(replace(rulebook, checks={check: one}))) == len(one.examples)


@pytest.mark.parametrize("check", CHECKS)
def test_every_check_is_shown_passing_and_not_passing(compiled, check):
    expected = {str(example.expect.get("verdict")) for example in compiled.checks[check].examples}
    assert "pass" in expected
    assert expected & {"warn", "fail"}


@pytest.mark.parametrize("check", CHECKS)
def test_every_example_expects_something(compiled, check):
    assert all(example.expect for example in compiled.checks[check].examples)


def _flow(node: object, inside: bool = False):
    """Every scalar that stands inside {...} or [...]."""
    if isinstance(node, Text):
        return [node] if inside else []
    inside = inside or node.flow
    return [
        text
        for child in (node.values() if isinstance(node, Entries) else node)
        for text in _flow(child, inside)
    ]


@pytest.mark.parametrize("path", FILES, ids=shown)
def test_no_sentence_stands_inside_brackets(path):
    """YAML would cut it at a comma; labels and phrases may stand there, sentences may not."""
    assert [
        (text.line, str(text))
        for text in _flow(read_yaml(path, shown(path)))
        if text.endswith((".", "?")) and " " in text
    ] == []


def _sentences(node: object):
    if isinstance(node, Entries):
        for key, child in node.items():
            if key == "text" and isinstance(child, Entries):
                yield from (
                    sentence
                    for sentences in child.values()
                    for sentence in (sentences if isinstance(sentences, Items) else [sentences])
                )
            elif key in ("otherwise", "ask") and isinstance(child, Text):
                yield child
            else:
                yield from _sentences(child)
    elif isinstance(node, Items):
        for child in node:
            yield from _sentences(child)


@pytest.mark.parametrize("path", FILES, ids=shown)
def test_sentences_end_and_are_not_split(path):
    wrong = [
        (text.line, str(text))
        for text in _sentences(read_yaml(path, shown(path)))
        if not text.endswith((".", "?")) or text != " ".join(text.split()) or text[0].islower()
    ]
    assert wrong == []


def _used_sources(node: object):
    if isinstance(node, Entries):
        for key, child in node.items():
            if key in ("source", "usual_source") and isinstance(child, Text):
                yield str(child)
            elif key == "numbers" and isinstance(child, Entries):
                yield from map(str, child.values())
            else:
                yield from _used_sources(child)
    elif isinstance(node, Items):
        # The last cell of an assumption's row.
        if node and isinstance(node[-1], Text):
            yield str(node[-1])
        for child in node:
            yield from _used_sources(child)


def test_every_source_is_used(compiled):
    used = {source for path in FILES for source in _used_sources(read_yaml(path, shown(path)))}
    assert set(compiled.sources) - used == set()


def test_every_caution_is_used(compiled):
    assert (
        set(compiled.cautions) - {caution for check in compiled.checks.values() for caution in check.cautions}
        == set()
    )


def test_every_assumption_is_used(compiled):
    read = {name for node in compiled.graph.nodes.values() for route in node.routes for name in route.names}
    assert {
        name
        for name in compiled.assumptions
        if not read & {f"{end}__{name}" for end in ("assumed", "lowest", "highest")}
    } == set()


@pytest.mark.parametrize("system", ["metric", "us"])
def test_whole_steps_read_back_in_si(compiled, system):
    """In every dimension an input may be given in; the units themselves are held against pint in
    test_units.py.
    """
    dimensions = set()
    for path, one in compiled.inputs.items():
        for dimension, steps in one.steps.items():
            step, text = steps[system]
            unit = find_unit(dimension, text)
            low, high = ((end - unit.offset) / (step * unit.factor) for end in one.form.possible[dimension])
            first, last = ceil(low) + 1, floor(high) - 1
            assert first < last, path
            for count in {first, first + 1, (first + last) // 2, last}:
                said = f"{count * step:.10g} {text}".rstrip()
                reading = read_number(said, one.form)
                assert (reading.dimension, reading.place) == (dimension, None), (path, said)
                assert reading.value == pytest.approx(
                    count * step * unit.factor + unit.offset, rel=1e-9, abs=1e-15
                ), (path, said)
            dimensions.add(dimension)
    assert {"pressure", "temperature", "mass_flow", "volume_flow", "ratio", "octane"} <= dimensions


def test_the_list_of_inputs_shows_steps(compiled):
    shown = {one["input"]: one.get("step") for one in inputs(compiled)}
    assert shown["induction.boost"] == {"pressure": {"metric": "0.01 bar", "us": "0.1 psi"}}
    assert shown["engine.compression_ratio"] == {"ratio": {"metric": "0.1", "us": "0.1"}}
    assert list(shown["fuel_system.injector_flow"]) == ["volume_flow", "mass_flow"]
    assert shown["induction.kind"] is None


def test_every_lever_has_a_step(compiled):
    levers = {path for check in compiled.checks.values() for path in check.levers}
    assert {
        path for path in levers if not compiled.inputs[path].steps and compiled.inputs[path].kind != "count"
    } == set()
    assert len(levers) > 60


def test_two_evaluators_give_one_identity():
    assert len({load_rulebook(RULES, name).digest for name in COMPILERS}) == 1
