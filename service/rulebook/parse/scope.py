"""rules/scope.yaml: what the rules do not model, which checks stop for it, and what to say."""

from service.rulebook.check import AppliesAbove, ScopeRule
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries
from service.rulebook.parse.guards import Choices, parse_guard
from service.rulebook.parse.numbers import Numbers, measured


def parse_scope(section: Section, choices: Choices, numbers: Numbers) -> ScopeRule:
    """One entry; it tells by choices (`when`), inputs that are given (`given`) or numbers (`above`) that it
    is there.
    """
    above = []
    for name, limit in section.entries("above", Entries()).items():
        judged = measured(section, name, numbers, "looks at", name.line)
        above.append(AppliesAbove(str(name), section.si(limit, judged.dimension, "above")))
    keeps = section.words("keeps") if section.has("keeps") else None
    if keeps is None and not section.has("stops"):
        section.fail(
            "says neither which checks stop nor which still hold.",
            "Write `stops: [checks]`, or `keeps: [checks]` where all others stop.",
        )
    ask = section.text("asks_for", None)
    rule = ScopeRule(
        id=section.name,
        when=parse_guard(section, "when", choices),
        given=section.words("given"),
        above=tuple(above),
        stops=section.words("stops"),
        keeps=keeps,
        ask=str(ask) if ask else None,
        text=str(section.sentence("text")),
    )
    if not (rule.when or rule.given or rule.above):
        section.fail("never says when it is there.", "Add `when:`, `given:` or `above:`.")
    section.finish()
    return rule
