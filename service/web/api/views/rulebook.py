"""Pages of the rulebook."""

from service.rulebook.formulas.functions import FUNCTIONS
from service.web.api import rulebook_pages
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag
from service.web.api.views.listed import require_listed

CALLS = Calls(Tag("rulebook", "The rules, read-only: checks, inputs, quantities, functions, fuels, sources."))


@CALLS.page(Page("/v1/checks", "Checks", "Call it for the ids that `checks` of a request may name."))
def list_checks(state: State) -> Answer:
    """Every check the rulebook can judge."""
    return {"checks": rulebook_pages.checks(state.rulebook)}


@CALLS.page(
    Page(
        "/v1/checks/<id>",
        "Check",
        "Call it when somebody asks why a check says what it says, or on what authority.",
    )
)
def get_check(state: State, id: str) -> Answer:
    """One check: what it judges, its limits with sources, its levers, its worked examples."""
    require_listed(id, state.rulebook.checks, "check", "/v1/checks")
    return rulebook_pages.check(state.rulebook, id)


@CALLS.page(
    Page("/v1/inputs", "Inputs", "Call it to build a form, or to find the word for what a customer told.")
)
def list_inputs(state: State) -> Answer:
    """Every word a build may use, with its units and the question that asks for it."""
    return {"inputs": rulebook_pages.inputs(state.rulebook)}


@CALLS.page(Page("/v1/quantities", "Quantities", "Call it when somebody asks how a number is worked out."))
def list_quantities(state: State) -> Answer:
    """Everything the service works out, with the formulas it may use and their sources."""
    return {"quantities": rulebook_pages.quantities(state.rulebook)}


@CALLS.page(
    Page("/v1/functions", "Functions", "Call it for the names that formulas of GET /v1/quantities call.")
)
def list_functions(state: State) -> Answer:
    """The functions a formula may call."""
    return {"functions": rulebook_pages.functions()}


@CALLS.page(
    Page(
        "/v1/functions/<name>",
        "Function",
        "Call it when somebody asks what is behind a function of a formula.",
    )
)
def get_function(state: State, name: str) -> Answer:
    """One function: method, arguments, validity, source."""
    require_listed(name, FUNCTIONS, "function", "/v1/functions")
    return rulebook_pages.function(name)


@CALLS.page(
    Page(
        "/v1/fuels",
        "Fuels",
        "Call it for the words that `fuel.grade` takes, and what is assumed of each fuel.",
    )
)
def list_fuels(state: State) -> Answer:
    """The fuels a grade may name."""
    return {"fuels": rulebook_pages.fuels(state.rulebook)}


@CALLS.page(
    Page(
        "/v1/sources",
        "Sources",
        "Call it to see how much of the rules is published and how much is experience.",
    )
)
def list_sources(state: State) -> Answer:
    """Where the numbers come from, and how far each kind may be trusted."""
    return {"sources": rulebook_pages.sources(state.rulebook)}
