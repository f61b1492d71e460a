"""A call stands once: its path, what it takes and gives, when to use it; Flask and the contract read it."""

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any, NamedTuple

from flask import Blueprint, Response, g, request

from service.errors import PinError
from service.web.api.body import MAX_BODY, json_object
from service.web.api.json_provider import json_response
from service.web.api.lane import LONG_CALLS, in_lane
from service.web.api.listing import ListQuery
from service.web.api.problems import ProblemError
from service.web.api.state import State, state_of_app

Answer = dict[str, Any]
RequestView = Callable[[State, dict[str, Any]], Answer]
PageView = Callable[..., Answer | Response]


@dataclass(frozen=True)
class Post:
    """A call with a request: names of its schemas, what the answer is, when to call it, and whether it may
    take so long that short ones have to be kept clear of it.
    """

    path: str
    request: str
    answer: str
    gives: str
    when: str
    most: int = MAX_BODY
    is_long: bool = False


@dataclass(frozen=True)
class Page:
    """A page to read: its schema, when to call it, the words its query may have and those it needs, whose
    digest is its ETag, and whether anybody may read it.
    """

    path: str
    answer: str
    when: str
    media_type: str = "application/json"
    query: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    digest_of: Callable[[State], str] | None = lambda state: state.rulebook.digest
    for_anybody: bool = False


class Tag(NamedTuple):
    """What calls have in common: their word in the contract, and what it stands for."""

    word: str
    about: str


class Call(NamedTuple):
    """A path with what answers there."""

    told: Post | Page
    view: Callable[..., Answer | Response]
    tag: Tag
    work: Callable[..., Answer | Response]
    """What the view gives to whoever asks within this process."""

    @property
    def operation(self) -> str:
        """Its name in the contract, the log and the counts."""
        return self.view.__name__

    @property
    def summary(self) -> str:
        """What it does."""
        return " ".join((inspect.getdoc(self.view) or "").split())


class Calls:
    """The calls of one module, in the order they stand there."""

    def __init__(self, tag: Tag) -> None:
        self.tag = tag
        self.calls: list[Call] = []

    def post(self, told: Post) -> Callable[[RequestView], RequestView]:
        """A view that gets the fields of its request and gives the answer."""

        def add(view: RequestView) -> RequestView:
            @wraps(view)
            def answer() -> Response:
                state = state_of_app()
                return _reply(view(state, _fields(state, told)))

            call = Call(told, answer, self.tag, view)
            if told.is_long:
                # Before anything is read: reading the longest takes as long as working on many a short one.
                call = call._replace(view=in_lane(LONG_CALLS, answer), work=in_lane(LONG_CALLS, view))
            self.calls.append(call)
            return view

        return add

    def page(self, told: Page) -> Callable[[PageView], PageView]:
        """A view that gets its query, where it takes one, and the parts of its path, and gives a page."""

        def add(view: PageView) -> PageView:
            @wraps(view)
            def answer(**names: str) -> Answer | Response:
                state = state_of_app()
                words = state.queries.load(told.query, request.args)
                if told.query:
                    digest = told.digest_of(state) if told.digest_of else ""
                    page = view(state, ListQuery(words, digest), **names)
                else:
                    page = view(state, **names)
                if told.digest_of is None or isinstance(page, Response):
                    return page
                return _cached(page, told.digest_of(state))

            self.calls.append(Call(told, answer, self.tag, view))
            return view

        return add

    def register(self, blueprint: Blueprint) -> None:
        """Hand the calls to Flask."""
        for told, view, _, _ in self.calls:
            method = "POST" if isinstance(told, Post) else "GET"
            blueprint.add_url_rule(told.path, view.__name__, view, methods=[method])


def _fields(state: State, told: Post) -> dict[str, Any]:
    """The fields of the request in hand."""
    record = g.record
    state.queries.load((), record.request.args)
    record.asked = json_object(record.request, told.most)
    fields = fields_of(state, told, record.asked)
    record.watch.lap("read")
    return fields


def fields_of(state: State, told: Post, body: dict[str, Any]) -> dict[str, Any]:
    """The fields of a body; a rulebook or catalog it pins has to be the one loaded."""
    loaded = state.requests.load(told.request, body)
    for what, digest in (("rulebook", state.rulebook.digest), ("catalog", state.catalog_digest)):
        if loaded.pinned.get(what, digest) != digest:
            raise PinError(what, digest)
    return loaded.fields


def _reply(answer: Answer) -> Response:
    """The answer as JSON; kept at hand for the log."""
    record = g.record
    record.answer = answer
    record.watch.lap("work")
    response = json_response(answer)
    record.watch.lap("write")
    return response


def _cached(page: Answer, digest: str) -> Response:
    """A page whose ETag is the digest of what it shows, so a client that has it gets 304."""
    if request.if_match and not request.if_match.contains(digest):
        raise ProblemError(
            412, "changed", "The page is none of those in If-Match.", "Ask without the header."
        )
    response = json_response(page)
    response.headers["Cache-Control"] = "no-cache"
    response.set_etag(digest)
    # If-Match was looked at above: the framework takes `*` for a miss, and sends the page with its 412.
    response.make_conditional(request.environ | {"HTTP_IF_MATCH": ""})
    return response
