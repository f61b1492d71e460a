"""rules/checks/<check-id>.yaml: what is judged, where, against which limits, and in which words."""

from typing import Any

from service.rulebook.check import (
    AppliesAbove,
    Bound,
    Check,
    Contradiction,
    Outside,
    Requirement,
    Requirements,
    Watch,
)
from service.rulebook.files.section import Section
from service.rulebook.files.text import Sentence, sentences
from service.rulebook.files.yaml_file import Entries, Items
from service.rulebook.input import UNKNOWN
from service.rulebook.model import Guard
from service.rulebook.parse.contradictions import parse_contradictions
from service.rulebook.parse.examples import parse_examples
from service.rulebook.parse.guards import Choices, guard_of, parse_guard, without_asking
from service.rulebook.parse.limits import LimitsReader
from service.rulebook.parse.numbers import Numbers, measured
from service.rulebook.parse.watches import parse_watch

VERDICTS = ("pass", "warn", "fail")
# What stands in for a part that could not be read.
NOTHING: dict[str, Any] = {}


def parse_check(section: Section, choices: Choices, numbers: Numbers) -> Check:
    """One check; `numbers` tells what every quantity, input and constant is, by its identifier."""
    return _CheckReader(section, choices, numbers).read()


class _CheckReader:
    """Reads one check part by part, so that all that is wrong in it is said at once."""

    def __init__(self, section: Section, choices: Choices, numbers: Numbers):
        self.section = section
        self.choices = choices
        self.numbers = numbers

    def read(self) -> Check:
        section, attempt = self.section, self.section.attempt
        collects = section.text("collects", None) is not None
        judges = None if collects or section.has("requires") else attempt(self._judges, None)
        applies_when, applies_above = attempt(self._applies, (NOTHING, ()))
        limits = attempt(lambda: self._limits(judges), NOTHING) if judges else NOTHING
        section.taken.add("limits")
        requires = attempt(self._requires, None) if section.has("requires") else None
        second = attempt(self._second_look, ())
        check = Check(
            id=section.name,
            **self._names(),
            judges=judges,
            points=attempt(lambda: section.words("at"), ()),
            also_at=attempt(lambda: section.words("also_at"), ()),
            second_look=second,
            applies_when=applies_when,
            applies_above=applies_above,
            otherwise=attempt(lambda: section.sentence("otherwise", None), None),
            limits=limits,
            text=attempt(lambda: self._texts(self._verdicts(requires, second)), NOTHING),
            levers=attempt(self._levers, NOTHING),
            cautions=attempt(lambda: section.words("caution"), ()),
            examples=attempt(lambda: parse_examples(section), ()),
            held_against=attempt(self._held_against, ()),
            file=section.file,
            line=1,
            requires=requires,
            collects=collects,
            contradictions=attempt(self._contradictions, ()) if collects else (),
            shows=attempt(lambda: section.words("shows"), ()),
            eased_when=attempt(lambda: parse_guard(section, "eased_when", self.choices), NOTHING),
            watch=attempt(self._watch, None),
            numbers=attempt(self._numbers, ()),
            ask_first=section.one_of("ask_first", ("yes", "no"), "no") == "yes",
        )
        return self._finished(check)

    def _finished(self, check: Check) -> Check:
        if (check.applies_when or check.applies_above) and check.otherwise is None:
            self.section.attempt(self._lacks_otherwise, None)
        self.section.finish()
        return check

    def _names(self) -> dict[str, str]:
        """How a check is called, and what happens past it."""
        section = self.section
        title = section.attempt(lambda: str(section.sentence("title")), "")
        short = section.attempt(lambda: str(section.sentence("short")), "")
        beyond = section.attempt(lambda: section.sentence("beyond", None), None)
        return {"title": title, "short": short, "beyond": str(beyond or "")}

    def _contradictions(self) -> tuple[Contradiction, ...]:
        return parse_contradictions(self.section, self.choices, self.numbers)

    def _watch(self) -> Watch | None:
        return parse_watch(self.section.section("watch")) if self.section.has("watch") else None

    def _numbers(self) -> tuple[str, ...]:
        return tuple(str(number) for number in self.section.entries("numbers", Entries()))

    def _judges(self) -> str:
        judges = str(self.section.text("judges"))
        measured(self.section, judges, self.numbers, "judges", self.section.line_of("judges"))
        return judges

    def _limits(self, judges: str) -> dict[str, tuple[Bound, ...]]:
        return LimitsReader(judges, self.choices, self.numbers).read(self.section.section("limits"))

    def _lacks_otherwise(self) -> None:
        self.section.fail(
            "says when it applies but not what to say otherwise.",
            "Add `otherwise:` with one sentence.",
            self.section.line_of("applies_when"),
        )

    def _applies(self) -> tuple[Guard, tuple[AppliesAbove, ...]]:
        """Guards over choices, and `{above: 0 psi}` on a number."""
        section = self.section
        above: list[AppliesAbove] = []
        guards = Entries()
        for name, node in section.entries("applies_when", Entries()).items():
            if isinstance(node, Entries) and set(node) == {"above"}:
                judged = measured(section, name, self.numbers, "applies above a value of", name.line)
                [limit] = node.values()
                above.append(AppliesAbove(str(name), section.si(limit, judged.dimension, "applies_when")))
                continue
            guards[name] = node
            if not isinstance(node, Entries):
                continue
            # A Text key equals the str it is looked up by.
            if UNKNOWN in str(node.get("not", "")):  # type: ignore[call-overload]
                section.fail(
                    f"applies to `{name}` not being unknown, a double negation.",
                    "Name the words it applies to; with `ask_when_unknown: no` it asks nobody.",
                    name.line,
                )
        guard = guard_of(section, dict(guards), self.choices)
        asks = section.one_of("ask_when_unknown", ("yes", "no"), "yes") == "yes"
        return (guard if asks else without_asking(guard)), tuple(above)

    def _requires(self) -> Requirements:
        """`requires: {choice: word}`, or a list of such entries, each with a `when:` if need be."""
        section = self.section
        node = section.take("requires")
        entries = node if isinstance(node, Items) else Items([node])
        each = []
        for entry in entries:
            line = getattr(entry, "line", section.line_of("requires"))
            part = Section(section.file, f"{section.name}.requires", entry, line)
            when = parse_guard(part, "when", self.choices)
            wanted = {name: words for name, words in part.node.items() if name != "when"}
            part.taken.update(str(name) for name in wanted)
            if not wanted:
                part.fail("requires nothing.", "Write `choice: word` below it.")
            each.append(Requirement(when, guard_of(part, dict(wanted), self.choices)))
        return Requirements(
            tuple(each),
            section.one_of("if_missing", ("warn", "fail")),
            section.one_of("not_given", ("ask", "missing"), "ask") == "missing",
            str(section.text("source")),
            f"{section.name}@required",
        )

    def _second_look(self) -> tuple[str, ...]:
        if not self.section.has("second_look"):
            return ()
        second = self.section.section("second_look")
        points = second.words("at")
        second.finish()
        return points

    def _verdicts(self, requires: Requirements | None, second: tuple[str, ...]) -> list[str]:
        """The verdicts this check can give, which need their words; also where their limits
        cannot be read.
        """
        limits = self.section.take("limits", Entries())
        levels = limits if isinstance(limits, Entries) else ()
        verdicts = ["pass", *([requires.if_missing] if requires else levels)]
        verdicts = [verdict for verdict in VERDICTS if verdict in verdicts]
        return verdicts + ["second_look"] * bool(second) + ["eased"] * self.section.has("eased_when")

    def _texts(self, verdicts: list[str]) -> dict[str, tuple[Sentence, ...]]:
        node = self.section.section("text")
        texts = {verdict: sentences(node, verdict) for verdict in verdicts}
        node.finish()
        return texts

    def _levers(self) -> dict[str, str]:
        levers = {}
        for name, way in self.section.entries("levers", Entries()).items():
            if way not in ("up", "down"):
                self.section.fail(
                    f"moves the lever `{name}` `{way}`.", f"Write `{name}: up` or `{name}: down`.", name.line
                )
            levers[str(name)] = str(way)
        return levers

    def _held_against(self) -> tuple[Outside, ...]:
        """What outside the project the check is held against, and the test that does it."""
        outside = []
        for node in self.section.items("held_against", Items()):
            line = getattr(node, "line", self.section.line)
            entry = Section(self.section.file, f"{self.section.name}.held_against", node, line)
            outside.append(Outside(str(entry.sentence("against")), str(entry.text("test"))))
            entry.finish()
        return tuple(outside)
