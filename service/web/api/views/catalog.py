"""Pages of the catalog."""

from service.web.api import catalog_pages
from service.web.api.listing import ListQuery
from service.web.api.requests.queries import PAGED
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag
from service.web.api.views.listed import require_listed

CALLS = Calls(Tag("catalog", "The parts that are on offer, with price and stock."))


def _digest_of_parts(state: State) -> str:
    return state.catalog_digest or state.rulebook.digest


@CALLS.page(
    Page(
        "/v1/parts",
        "Parts",
        "Call it to look parts up; POST /v1/selections chooses among them.",
        query=("slot", "q", *PAGED),
        digest_of=_digest_of_parts,
    )
)
def list_parts(state: State, query: ListQuery) -> Answer:
    """The parts of the catalog by slot, with price and stock; empty where no catalog is loaded."""
    return catalog_pages.parts(state.catalog, state.rulebook.slots, query) if state.catalog else {"slots": []}


@CALLS.page(
    Page(
        "/v1/parts/<number>",
        "Part",
        "Call it for the figures of a part before it is named in a build.",
        digest_of=_digest_of_parts,
    )
)
def get_part(state: State, number: str) -> Answer:
    """One part: what it gives to a build, what it fits, price and stock."""
    require_listed(number, state.catalog.parts if state.catalog else (), "part", "/v1/parts")
    assert state.catalog is not None  # else no number was known
    return catalog_pages.part(state.catalog, number)
