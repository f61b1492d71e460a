"""What fits somebody's words: inputs, checks, slots, fuels, quantities and parts, the nearest first."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from service.catalog.catalog import Catalog
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.web.api import rulebook_pages

# Of each kind; whoever needs more asks for more of the words, or for the whole list.
MOST_OF_A_KIND = 5
MOST_UNITS = 4
# They are in every question, and tell nothing.
_IDLE = re.compile("a|an|and|are|at|do|does|for|how|i|in|is|it|my|of|on|or|the|to|what|which|with")


class Entry(NamedTuple):
    """Something that can be named in a request: what is told of it, and the texts it is looked for in."""

    told: dict[str, Any]
    name: str
    texts: str


class Shelf(NamedTuple):
    """Entries of one kind."""

    kind: str
    entries: tuple[Entry, ...]


class WordSearch:
    """Looks words up in one rulebook and its catalog."""

    def __init__(self, rulebook: Rulebook, catalog: Catalog | None):
        self.shelves = (
            Shelf("inputs", tuple(_inputs(rulebook))),
            Shelf("checks", tuple(_checks(rulebook))),
            Shelf("slots", tuple(_slots(rulebook))),
            Shelf("fuels", tuple(_fuels(rulebook))),
            Shelf("quantities", tuple(_quantities(rulebook))),
            Shelf("parts", tuple(_parts(catalog)) if catalog else ()),
        )
        self._at_home = {abroad: word for told in rulebook.wording.values() for word, abroad in told.items()}
        words = (entry.texts.split() for shelf in self.shelves for entry in shelf.entries)
        self.vocabulary = sorted({word for line in words for word in line})

    def search(self, text: str) -> dict[str, Any]:
        """What holds all of the words, or else the most of them; where nothing does, the nearest word."""
        words = [self._as_told(word) for word in _plain(text).split() if not _IDLE.fullmatch(word)]
        most = max((_hits(entry, words) for shelf in self.shelves for entry in shelf.entries), default=0)
        if not most:
            near = filter(None, (nearest(word[1:65], self.vocabulary) for word in words))
            return {"text": "Nothing fits these words.", "nearest": list(near)}
        answer: dict[str, Any] = {}
        for shelf in self.shelves:
            fitting = [entry for entry in shelf.entries if _hits(entry, words) == most]
            fitting.sort(key=lambda entry: (-sum(word in entry.name for word in words), len(entry.name)))
            if fitting:
                answer[shelf.kind] = [entry.told for entry in fitting[:MOST_OF_A_KIND]]
            if len(fitting) > MOST_OF_A_KIND:
                answer.setdefault("more", {})[shelf.kind] = len(fitting) - MOST_OF_A_KIND
        return answer

    def _as_told(self, word: str) -> str:
        """As the rules have it: tyre for tire, and one for many."""
        word = self._at_home.get(word, word)
        return " " + (word[:-1] if len(word) > 3 and word.endswith("s") else word)


def _hits(entry: Entry, words: Iterable[str]) -> int:
    return sum(word in entry.texts for word in words)


def _entry(told: dict[str, Any], name: str, *texts: str) -> Entry:
    # A space first, so that a word fits where one begins.
    return Entry(told, f" {_plain(name)}", f" {_plain(' '.join([name, *texts]))}")


def _plain(text: str) -> str:
    return re.sub(r"[-_.,;:?()]+(?![0-9])", " ", text.casefold())


def _inputs(rulebook: Rulebook) -> Iterable[Entry]:
    for source in rulebook.inputs.values():
        page = rulebook_pages.input_page(source, rulebook)
        told = {key: page[key] for key in ("input", "kind", "label", "ask")}
        choices: Mapping[str, str] = page.get("choices", {})
        if choices:
            told["choices"] = list(choices)
        if "units" in page:
            told["units"] = page["units"][:MOST_UNITS]
        yield _entry(
            told, f"{source.path} {source.label}", source.ask, *choices, *choices.values(), *source.synonyms
        )


def _checks(rulebook: Rulebook) -> Iterable[Entry]:
    for check in rulebook.checks.values():
        told = {"check": check.id, "title": check.title}
        yield _entry(told, f"{check.id} {check.title}", check.short)


def _slots(rulebook: Rulebook) -> Iterable[Entry]:
    for slot in rulebook.slots.values():
        yield _entry({"slot": slot.name, "label": slot.label}, f"{slot.name} {slot.label}", slot.short)


def _fuels(rulebook: Rulebook) -> Iterable[Entry]:
    table = rulebook.tables.get("fuels")
    for row in table.rows.values() if table else ():
        if row.key != "unknown":
            yield _entry({"grade": row.key, "label": row.label}, f"{row.key} {row.label}")


def _quantities(rulebook: Rulebook) -> Iterable[Entry]:
    for quantity in rulebook.quantities.values():
        told = {"quantity": quantity.name, "label": quantity.label}
        yield _entry(told, f"{quantity.name} {quantity.label}")


def _parts(catalog: Catalog) -> Iterable[Entry]:
    for part in catalog.parts.values():
        told = {
            "number": part.number,
            "slot": part.slot,
            "title": part.title,
            "text": catalog.money(part.price),
            "stock": part.stock,
        }
        yield _entry(told, f"{part.number} {part.title}", part.slot, part.number)
