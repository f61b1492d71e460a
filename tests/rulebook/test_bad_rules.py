"""One mistake in a good rulebook each: refused with the file, the line and the fix.

The cases are in bad_rules/, by topic. A case changes one file of small_rules/: `replace` (text that is there
once) `by` other text, or `append`, to a file that may be new. The problem is to be found on the line where
that change starts, or, where the mistake shows elsewhere, on the line that holds `at`, in the file
`shows_in`.
"""

import shutil
from pathlib import Path

import pytest
import yaml

from service.errors import RulebookError
from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.rulebook.files.yaml_file import read_yaml
from service.rulebook.load import load_rulebook

HERE = Path(__file__).parent
SMALL = HERE / "small_rules"
CASES = [
    pytest.param(case, id=f"{topic.stem}: {name}")
    for topic in sorted((HERE / "bad_rules").glob("*.yaml"))
    for name, case in yaml.load(topic.read_text(encoding="utf-8"), yaml.BaseLoader).items()
]


def load(folder: Path) -> None:
    run_examples(Evaluator(load_rulebook(folder)))


def refusals(folder: Path) -> list:
    with pytest.raises(RulebookError) as caught:
        load(folder)
    return caught.value.problems


def line_of(text: str, part: str) -> int:
    assert text.count(part) == 1, f"{part!r} is there {text.count(part)} times"
    return text[: text.index(part)].count("\n") + 1


def change(folder: Path, case: dict) -> int:
    """Make the mistake; the line where it is to be found."""
    path = folder / case["file"]
    good = path.read_text(encoding="utf-8") if path.exists() else ""
    if "append" in case:
        bad, place = good + case["append"] + "\n", good.count("\n") + 1
    else:
        place = line_of(good, case["replace"])
        bad = good.replace(case["replace"], case["by"])
    path.write_text(bad, encoding="utf-8")
    if "at" in case:
        return line_of((folder / case.get("shows_in", case["file"])).read_text(encoding="utf-8"), case["at"])
    return 1 if "shows_in" in case else place


@pytest.fixture
def rules(tmp_path):
    return Path(shutil.copytree(SMALL, tmp_path / "rules"))


def test_the_small_rulebook_is_good(rules):
    load(rules)


@pytest.mark.parametrize("case", CASES)
def test_one_mistake_is_refused_with_file_line_and_fix(rules, case):
    line = change(rules, case)
    problems = refusals(rules)
    found = [problem for problem in problems if case["says"] in problem.message]
    assert found, f"nothing says {case['says']!r}: {problems}"
    assert (found[0].file, found[0].line) == (case.get("shows_in", case["file"]), line), found[0]
    assert case["fix"] in found[0].fix, found[0]
    assert all(problem.fix for problem in problems), problems


def test_mistakes_in_several_places_are_named_together(rules):
    change(rules, {"file": "constants.yaml", "replace": "source: invented", "by": "source: hearsay"})
    change(
        rules, {"file": "checks/hose-burst.yaml", "replace": "caution: [burst]", "by": "caution: [bursts]"}
    )
    assert [(problem.file, problem.line) for problem in refusals(rules)] == [
        ("checks/hose-burst.yaml", 21),
        ("constants.yaml", 6),
    ]


def test_a_problem_reads_as_file_line_what_mend(rules):
    change(rules, {"file": "constants.yaml", "replace": "source: invented", "by": "source: invent"})
    assert (
        str(refusals(rules)[0])
        == "constants.yaml:6: `open_air` names the source `invent`, which is not in sources.yaml. "
        "Did you mean `invented`?"
    )


@pytest.mark.parametrize(
    "name", ["inputs", "sources", "cautions", "display", "constants", "assumptions", "operating_points"]
)
def test_a_missing_file_is_named(rules, name):
    (rules / f"{name}.yaml").unlink()
    problem = refusals(rules)[0]
    assert (problem.file, problem.line) == (f"{name}.yaml", 1)
    assert "is missing" in problem.message and problem.fix


def test_a_missing_folder_is_named(tmp_path):
    problem = refusals(tmp_path / "nowhere")[0]
    assert "is not a folder" in problem.message and problem.fix


@pytest.mark.parametrize(
    ("content", "line", "says"),
    [
        (b"a:\n  label: caf\xe9\n", 1, "not UTF-8"),
        (b"a: {text: b}\nc: \x07\n", 2, "control character"),
        (b"a: {text: b}\n---\nc: {text: d}\n", 2, "holds a second document"),
        (b"- a\n- b\n", 1, "does not hold one mapping"),
        (b"", 1, "does not hold one mapping"),
        (b"# nothing yet\n", 1, "does not hold one mapping"),
        (b"a: " + b"[" * 800 + b"]" * 800, 1, "nested too deeply"),
    ],
    ids=["not UTF-8", "control character", "two documents", "a list", "empty", "only a comment", "very deep"],
)
def test_a_file_that_is_no_rule_file(rules, content, line, says):
    (rules / "cautions.yaml").write_bytes(content)
    problem = refusals(rules)[0]
    assert (problem.file, problem.line) == ("cautions.yaml", line)
    assert says in problem.message and problem.fix


def _places(node: object, path: tuple = ()) -> list[tuple]:
    children = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [path] * bool(path) + [place for key, child in children for place in _places(child, (*path, key))]


CONTENT = {
    path.relative_to(SMALL).as_posix(): yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)
    for path in sorted(SMALL.rglob("*.yaml"))
}
PLACES = [(file, place) for file, content in CONTENT.items() for place in _places(content)]


@pytest.fixture
def files_read_once(monkeypatch):
    """Most files are the same from one mistake to the next, and parsing them is most of the time."""
    known = {}

    def read(path, shown):
        key = (shown, path.read_bytes())
        if key not in known:
            known[key] = read_yaml(path, shown)
        return known[key]

    monkeypatch.setattr("service.rulebook.read.read_yaml", read)


@pytest.mark.slow
@pytest.mark.usefixtures("files_read_once")
@pytest.mark.parametrize("instead", ["", "1", [], ["nonsense"], [["1"]], {}, {"nonsense": "1"}], ids=repr)
def test_a_wrong_shape_anywhere_is_refused_or_harmless(rules, instead):
    """Whatever stands in the wrong place, the loader says so as a rule problem: never another exception."""
    for file, place in PLACES:
        content = yaml.load((SMALL / file).read_text(encoding="utf-8"), yaml.BaseLoader)
        holder = content
        for key in place[:-1]:
            holder = holder[key]
        holder[place[-1]] = instead
        (rules / file).write_text(
            yaml.safe_dump(content, sort_keys=False, default_flow_style=None), encoding="utf-8"
        )
        try:
            load(rules)
        except RulebookError as error:
            assert all(problem.line >= 1 and problem.fix for problem in error.problems), (
                file,
                place,
                str(error),
            )
        except Exception as error:
            raise AssertionError(f"{file}: {'.'.join(map(str, place))} -> {instead!r}") from error
        shutil.copy(SMALL / file, rules / file)
