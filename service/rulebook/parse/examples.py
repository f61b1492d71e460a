"""The worked examples of a check."""

from service.rulebook.check import Example
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries, Items, Node, Text


def parse_examples(section: Section) -> tuple[Example, ...]:
    """Each on its own, or `like: 1` with what is changed; in the order of the file."""
    examples: list[Example] = []
    for node in section.items("examples", Items()):
        line = getattr(node, "line", section.line)
        example = Section(section.file, f"{section.name}.examples", node, line)
        model = _model(example, examples)
        within = example.si(example.text("within", Text("0.1 %")), "ratio", "within")
        given = {**(model.given if model else {}), **_given(example)}
        expect = {str(name): text for name, text in example.entries("expect").items()}
        source = str(example.text("source", model.source) if model else example.text("source"))
        examples.append(Example(given, expect, within, source, example.line))
        example.finish()
    return tuple(examples)


def _model(example: Section, earlier: list[Example]) -> Example | None:
    """The example that this one is a variant of; the first is number one."""
    if not example.has("like"):
        return None
    number = example.whole(example.text("like"), "like")
    if not 1 <= number <= len(earlier):
        example.fail(
            f"is like example {number}, which does not come before it.",
            "Count from one, and put the example it is like first.",
            example.line_of("like"),
        )
    return earlier[number - 1]


def _given(example: Section) -> dict[str, Node]:
    """Dotted names as they are, groups taken apart: `engine: {bore: 86 mm}` is `engine.bore: 86 mm`."""
    given: dict[str, Node] = {}
    lines: dict[str, int] = {}
    for name, node in example.entries("given").items():
        fields = node.items() if isinstance(node, Entries) and "." not in name else None
        flat = {f"{name}.{field}": value for field, value in fields} if fields else {str(name): node}
        for path, value in flat.items():
            if path in given:
                example.fail(f"gives `{path}` twice (first on line {lines[path]}).", "Keep one.", name.line)
            given[path], lines[path] = value, name.line
    for path in given:
        group = path.rpartition(".")[0]
        if group in given:
            example.fail(
                f"gives `{path}` beside `{group}`, which is no group then.",
                "Give an input its value or a group its fields, not both.",
                lines[path],
            )
    return given
