"""What the address of a page says: the build, the units, and where the job stands."""

from dataclasses import dataclass, replace
from functools import cached_property
from urllib.parse import urlencode

from flask import g, request

from service.errors import SpecError
from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook
from service.web.api.answering import answer_to
from service.web.api.requests.common_fields import UNITS
from service.web.api.state import State, state_of_app
from service.web.pages.address import LONGEST_CODE, TOO_LONG, build_of, code_of
from service.web.pages.build import flat, for_request


@dataclass(frozen=True)
class Asked:
    """A page that was asked for; `build` by names with a dot."""

    state: State
    build: JsonObject
    units: str

    @cached_property
    def code(self) -> str:
        """The build as it is in an address."""
        return code_of(self.build) if self.build else ""

    @cached_property
    def rulebook(self) -> Rulebook:
        """In the words that go with the units: gasoline and tire, or petrol and tyre."""
        return self.state.evaluator.speaking(self.units).rulebook

    def with_set(self, piece: JsonObject) -> "Asked":
        """The same with a piece of a build put in."""
        return replace(self, build=self.build | flat(self.state.rulebook, piece))

    def with_typed(self, path: str, text: object) -> "Asked":
        """The same with one field written."""
        return replace(self, build=self.build | {path: text})

    def address(self, page: str, **words: str) -> str:
        """The address of a page about this build."""
        query = urlencode({"units": self.units, **({"b": self._code} if self.build else {}), **words})
        if len(query) > LONGEST_CODE:
            query = urlencode({"units": self.units, "b": TOO_LONG})
        return f"{page}?{query}"

    @property
    def _code(self) -> str:
        try:
            return self.code
        except SpecError:
            return TOO_LONG

    def answer(self, path: str, **words: object) -> JsonObject:
        """What the API answers about this build."""
        return self.post(path, {"build": for_request(self.build), **words})

    def post(self, path: str, body: JsonObject) -> JsonObject:
        """What the API answers to a body; the first of a page is kept at hand for the log."""
        body = body | {"units": self.units}
        record = g.record
        record.asked = record.asked or body
        answer = answer_to(self.state, path, body)
        record.answer = record.answer or answer
        return answer


def asked() -> Asked:
    """What the request in hand asks for; SpecError where its code is no build."""
    state = state_of_app()
    return Asked(state, flat(state.rulebook, build_of(request.values.get("b", ""))), units_asked())


def units_asked() -> str:
    """Those of the address, else those of the reader's language."""
    units = request.values.get("units", "")
    if units in UNITS:
        return units
    return "us" if (request.accept_languages.best or "").lower() == "en-us" else "metric"
