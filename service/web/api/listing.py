"""A list as it was asked for: the entries that fit, and one page of them."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from service.errors import SpecError, SpecFault
from service.web.api.requests.queries import MOST_ENTRIES, PAGED

Entry = Mapping[str, Any]


class PageOfEntries(NamedTuple):
    """Some entries, and the token that asks for the next ones, where there are any."""

    entries: list[Any]
    next_page_token: str | None

    def told(self, name: str) -> dict[str, Any]:
        """The answer: the entries under their name."""
        more = {"next_page_token": self.next_page_token} if self.next_page_token else {}
        return {name: self.entries, **more}


class ListQuery:
    """What a query asks of a list; `digest` is of what the list shows."""

    def __init__(self, words: Mapping[str, Any], digest: str):
        self.words = words
        filters = sorted((word, value) for word, value in words.items() if word not in PAGED)
        self._print = hashlib.sha256(f"{digest}{filters}".encode()).hexdigest()[:16]

    def page(self, entries: Sequence[Entry], **kept: Callable[[Entry], str]) -> PageOfEntries:
        """The page asked for; `kept` gives of an entry the value that the query word has to have."""
        fitting = [entry for entry in entries if self._fits(entry, kept)]
        start = self._start()
        end = start + self.words.get("page_size", MOST_ENTRIES)
        return PageOfEntries(fitting[start:end], f"{end}-{self._print}" if end < len(fitting) else None)

    def _fits(self, entry: Entry, kept: Mapping[str, Callable[[Entry], str]]) -> bool:
        if any(word in self.words and value(entry) != self.words[word] for word, value in kept.items()):
            return False
        text = " ".join(value for value in entry.values() if isinstance(value, str)).casefold()
        return all(part in text for part in self.words.get("q", "").casefold().split())

    def _start(self) -> int:
        if "page_token" not in self.words:
            return 0
        start, _, of = self.words["page_token"].partition("-")
        if of == self._print and start.isascii() and start.isdigit():
            return int(start)
        detail = "This token belongs to another list, or the list has changed."
        fault = SpecFault("?page_token", "stale-page", detail, "the first page, without a token")
        raise SpecError([fault])
