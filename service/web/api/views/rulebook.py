"""Pages of the rulebook and the catalog."""

from collections.abc import Collection

from service.catalog.expand import MOST_COMPARED
from service.rulebook.formulas.functions import FUNCTIONS
from service.units.choice_reading import nearest
from service.web.api import catalog_pages, rulebook_pages
from service.web.api.problems import ProblemError
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page

CALLS = Calls()


def _digest_of_parts(state: State) -> str:
    return state.catalog_digest or state.rulebook.digest


@CALLS.page(Page("/v1/checks"))
def list_checks(state: State) -> Answer:
    """Every check the rulebook can judge."""
    return {"checks": rulebook_pages.checks(state.rulebook)}


@CALLS.page(Page("/v1/checks/<id>"))
def get_check(state: State, id: str) -> Answer:
    """One check: what it judges, its limits with sources, its levers, its worked examples."""
    _require(id, state.rulebook.checks, "check")
    return rulebook_pages.check(state.rulebook, id)


@CALLS.page(Page("/v1/inputs"))
def list_inputs(state: State) -> Answer:
    """Every word a build may use, with its units and the question that asks for it."""
    return {"inputs": rulebook_pages.inputs(state.rulebook)}


@CALLS.page(Page("/v1/quantities"))
def list_quantities(state: State) -> Answer:
    """Everything the service works out, with the formulas it may use and their sources."""
    return {"quantities": rulebook_pages.quantities(state.rulebook)}


@CALLS.page(Page("/v1/functions"))
def list_functions(state: State) -> Answer:
    """The functions a formula may call."""
    return {"functions": rulebook_pages.functions()}


@CALLS.page(Page("/v1/functions/<name>"))
def get_function(state: State, name: str) -> Answer:
    """One function: method, arguments, validity, source."""
    _require(name, FUNCTIONS, "function")
    return rulebook_pages.function(name)


@CALLS.page(Page("/v1/fuels"))
def list_fuels(state: State) -> Answer:
    """The fuels a grade may name."""
    return {"fuels": rulebook_pages.fuels(state.rulebook)}


@CALLS.page(Page("/v1/sources"))
def list_sources(state: State) -> Answer:
    """Where the numbers come from, and how far each kind may be trusted."""
    return {"sources": rulebook_pages.sources(state.rulebook)}


@CALLS.page(Page("/v1/parts", digest_of=_digest_of_parts))
def list_parts(state: State) -> Answer:
    """The parts of the catalog by slot, with price and stock; empty where no catalog is loaded."""
    return catalog_pages.parts(state.catalog) if state.catalog else {"slots": []}


@CALLS.page(Page("/v1/parts/<number>", digest_of=_digest_of_parts))
def get_part(state: State, number: str) -> Answer:
    """One part: what it gives to a build, what it fits, price and stock."""
    _require(number, state.catalog.parts if state.catalog else (), "part")
    assert state.catalog is not None  # else no number was known
    return catalog_pages.part(state.catalog, number)


def _require(name: str, known: Collection[str], what: str) -> None:
    if name not in known:
        raise ProblemError(
            404,
            "not-found",
            f"There is no such {what}.",
            f"GET /v1/{what}s lists them.",
            nearest(name[:64], known) if len(known) <= MOST_COMPARED else None,
        )
