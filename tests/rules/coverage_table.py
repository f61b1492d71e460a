"""The table of tests/README.md: what each check rests on. `make golden` writes it anew."""

import textwrap
from collections import Counter
from collections.abc import Iterator

from service.rulebook.check import Check
from tests.support.places import ROOT
from tests.support.rules import real_rulebook
from tests.support.yaml_data import read_yaml

README = ROOT / "tests/README.md"
START, END = "<!-- checks: written by make golden -->\n", "<!-- end of checks -->\n"
PUBLISHED = {"standard", "regulation", "book", "paper", "factory data"}
RULEBOOK = real_rulebook()


def limit_kinds(check: Check, level: str) -> set[str]:
    """Kinds of source of what gives this verdict; a limit that is worked out has those of its routes too."""
    return {RULEBOOK.sources[source].kind for source in _limit_sources(check, level)}


def _limit_sources(check: Check, level: str) -> Iterator[str]:
    if check.requires and check.requires.if_missing == level:
        yield check.requires.source
    yield from (each.source for each in check.contradictions if each.verdict == level)
    for bound in check.limits.get(level, ()):
        yield bound.source
        if bound.quantity in RULEBOOK.quantities:
            yield from (route.source for route in RULEBOOK.quantities[bound.quantity].routes)
            yield from _constant_sources(bound.quantity)


def _constant_sources(quantity: str) -> Iterator[str]:
    """The sources of the constants that a limit is worked out from."""
    for name, node in RULEBOOK.graph.nodes.items():
        if name.partition("__at__")[0] == quantity:
            for constant in {used for route in node.routes for used in route.names}:
                if constant in RULEBOOK.constants:
                    yield RULEBOOK.constants[constant].source


def rows() -> dict[str, str]:
    """One row for each check, by its name."""
    hardware = read_yaml(ROOT / "tests/cases/factory-hardware.yaml")
    counts = Counter((entry["check"], entry["expect"]) for entry in hardware["entries"])
    return {
        name: f"| {name} | {_listed(check, 'warn')} | {_listed(check, 'fail')} | {counts[name, 'sound']} "
        f"| {counts[name, 'wrong']} | {'; '.join(outside.against for outside in check.held_against)} |"
        for name, check in sorted(RULEBOOK.checks.items())
    }


def _listed(check: Check, level: str) -> str:
    return ", ".join(sorted(limit_kinds(check, level)))


def published() -> list[str]:
    """The checks of which a limit rests on something published."""
    return [
        name
        for name, check in RULEBOOK.checks.items()
        if PUBLISHED & (limit_kinds(check, "warn") | limit_kinds(check, "fail"))
    ]


def by_kind() -> Counter[str]:
    """How many checks have a limit of each kind of source."""
    return Counter(
        kind
        for check in RULEBOOK.checks.values()
        for kind in limit_kinds(check, "warn") | limit_kinds(check, "fail")
    )


def table() -> str:
    """The count by kind, and the rows."""
    count = ", ".join(f"{kind} {number}" for kind, number in sorted(by_kind().items()))
    said = (
        f"{len(published())} of {len(RULEBOOK.checks)} checks have a published limit. Checks by kind of "
        f"source: {count}."
    )
    head = (
        f"{textwrap.fill(said, 100)}\n\n"
        "| check | warns by | fails by | sound | wrong | held against |\n|---|---|---|---|---|---|\n"
    )
    return head + "\n".join(rows().values()) + "\n"


def write() -> None:
    """Puts the table of today into tests/README.md."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(START)
    README.write_text(before + START + "\n" + table() + "\n" + END + rest.split(END)[1], encoding="utf-8")


if __name__ == "__main__":
    write()
