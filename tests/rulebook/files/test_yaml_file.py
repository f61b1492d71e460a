"""The strict reader: every scalar stays as written, every node knows its line, the traps of YAML 1.1 are
shut.
"""

import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.errors import RulebookError
from service.rulebook.files.yaml_file import MOST_BYTES, Entries, Items, Text, read_yaml


def read(folder, text):
    path = folder / "one.yaml"
    path.write_text(text, encoding="utf-8")
    return read_yaml(path, "one.yaml")


def refusal(folder, text):
    with pytest.raises(RulebookError) as caught:
        read(folder, text)
    return caught.value.problems[0]


def test_a_pipe_or_a_device_is_no_rule_file(tmp_path):
    """Reading the one waits for ever, reading the other never ends."""
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "device.yaml").symlink_to("/dev/zero")
    for name in ("pipe.yaml", "device.yaml"):
        with pytest.raises(RulebookError, match="cannot be read as a file"):
            read_yaml(tmp_path / name, name)


def test_a_file_too_large_to_be_rules(tmp_path):
    problem = refusal(tmp_path, "# " + "x" * MOST_BYTES)
    assert "1,000,002 bytes" in problem.message


# What YAML 1.1 would make of each: False, True, None, 8, 31, 1000, 90, a date, a number or a piece of text.
@pytest.mark.parametrize(
    "scalar",
    [
        "no",
        "yes",
        "on",
        "off",
        "Y",
        "n",
        "true",
        "~",
        "null",
        "010",
        "0x1F",
        "1_000",
        "1:30",
        "2026-01-01",
        "1e-3",
        "1e+3",
        "1.0e-3",
        ".5",
        "1.",
        ".inf",
        ".nan",
        "=",
        "12",
    ],
)
def test_scalars_stay_as_written(tmp_path, scalar):
    value = read(tmp_path, f"key: {scalar}\n")["key"]
    assert isinstance(value, Text)
    assert value == scalar


def test_words_that_yaml_takes_for_flags_may_be_keys(tmp_path):
    assert list(read(tmp_path, "no: a\non: b\n010: c\n")) == ["no", "on", "010"]


def test_nothing_is_an_empty_text(tmp_path):
    assert read(tmp_path, "key:\n")["key"] == ""


def test_every_node_knows_its_line_and_style(tmp_path):
    made = read(tmp_path, "# a comment\nfirst: one\nsecond:\n  - a\n  - {b: c,\n     d: e}\n")
    assert (made.line_of("first"), made["first"].line) == (2, 2)
    assert isinstance(made["second"], Items) and made["second"].line == 4 and not made["second"].flow
    entry = made["second"][1]
    assert isinstance(entry, Entries) and entry.flow and entry.line == 5
    assert entry.line_of("d") == 6


def test_the_line_of_a_key_that_is_not_there_is_that_of_its_mapping(tmp_path):
    assert read(tmp_path, "\nfirst: {a: b}\n")["first"].line_of("zzz") == 2


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("a: b\nc: d\na: e\n", 3, "gives `a` twice (first on line 1)"),
        ("a:\n  b: c\n  b: d\n", 3, "gives `b` twice"),
        ("a: {b: c, b: d}\n", 1, "gives `b` twice"),
        ('no: a\n"no": b\n', 2, "gives `no` twice"),
        ("a: &x b\n", 1, "anchor"),
        ("a: b\nc: *x\n", 2, "anchor"),
        ("a: b\nc:\n  <<: {d: e}\n", 3, "merge key"),
        ("a: !!python/object/apply:os.system [ls]\n", 1, "tag"),
        ("a: !!str 1\n", 1, "tag"),
        ("a: ! b\n", 1, "tag"),
        ("? [a, b]\n: c\n", 1, "not a plain name"),
        ("a: b\n c: d\n", 2, "not YAML"),
        ("a: [b\n", 2, "not YAML"),
        ("a: b: c\n", 1, "not YAML"),
        ("a: b\n\tc: d\n", 2, "indented with a tab"),
        ("title Oil pressure\na: b\n", 1, "no colon after `title`"),
        ("limits:\n  warn\n    above: 3\n", 2, "no colon after `warn`"),
        ("a: b\n---\nc: d\n", 2, "second document"),
        ("a: b\nc: \x00\n", 2, "control character"),
        ("just text\n", 1, "does not hold one mapping"),
    ],
)
def test_refused_with_its_line(tmp_path, text, line, says):
    problem = refusal(tmp_path, text)
    assert (problem.file, problem.line) == ("one.yaml", line)
    assert says in problem.message and problem.fix


@given(
    text=st.text(max_size=80)
    | st.lists(st.sampled_from([*"abc:-?#&*!|>'\"%@`{}[],\n ", "<<", "---", "...", "\t"]), max_size=25).map(
        "".join
    )
)
def test_any_text_is_read_or_refused(tmp_path_factory, text):
    folder = tmp_path_factory.mktemp("any")
    try:
        path = folder / "one.yaml"
        path.write_bytes(text.encode("utf-8", "surrogatepass"))
        made = read_yaml(path, "one.yaml")
    except RulebookError as error:
        assert error.problems[0].line >= 1 and error.problems[0].fix
    else:
        assert isinstance(made, Entries)
