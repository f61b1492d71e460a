"""What fits somebody's words."""

from service.errors import SpecError, SpecFault
from service.web.api.listing import ListQuery
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag

CALLS = Calls(Tag("words", "From what somebody says to the names that requests take."))


def _digest_of_both(state: State) -> str:
    return f"{state.rulebook.digest}{state.catalog_digest or ''}"


@CALLS.page(
    Page(
        "/v1/words",
        "Words",
        "Call it before a request, for the names of what a customer said.",
        query=("q",),
        needs=("q",),
        digest_of=_digest_of_both,
    )
)
def find_words(state: State, query: ListQuery) -> Answer:
    """The inputs, checks, slots, fuels, quantities and parts that fit some words; a few of each."""
    if "q" not in query.words:
        fault = SpecFault("?q", "missing", "The request has no words to look up.", "?q=blower+pulley")
        raise SpecError([fault])
    return state.words.search(query.words["q"])
