"""Pages of the rulebook."""

from service.rulebook.formulas.functions import FUNCTIONS
from service.web.api import rulebook_pages
from service.web.api.listing import Entry, ListQuery
from service.web.api.requests.queries import PAGED
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag
from service.web.api.views.listed import require_listed

# What every list may be asked.
LIST = ("q", *PAGED)
CALLS = Calls(Tag("rulebook", "The rules, read-only: checks, inputs, quantities, functions, fuels, sources."))


@CALLS.page(
    Page("/v1/checks", "Checks", "Call it for the ids that `checks` of a request may name.", query=LIST)
)
def list_checks(state: State, query: ListQuery) -> Answer:
    """Every check the rulebook can judge."""
    return query.page(rulebook_pages.checks(state.rulebook)).told("checks")


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
    Page(
        "/v1/inputs",
        "Inputs",
        "Call it to build a form, or to find the word for what a customer told.",
        query=("group", *LIST),
    )
)
def list_inputs(state: State, query: ListQuery) -> Answer:
    """Every word a build may use, with its units and the question that asks for it."""
    return query.page(rulebook_pages.inputs(state.rulebook), group=_group).told("inputs")


@CALLS.page(
    Page("/v1/inputs/<path>", "Input", "Call it for the units, words and question of an input you know.")
)
def get_input(state: State, path: str) -> Answer:
    """One word that a build may use, such as `induction.boost`."""
    require_listed(path, state.rulebook.inputs, "input", "/v1/inputs")
    return rulebook_pages.input_page(state.rulebook.inputs[path], state.rulebook)


def _group(entry: Entry) -> str:
    group, _, _ = str(entry["input"]).rpartition(".")
    return group


@CALLS.page(
    Page("/v1/quantities", "Quantities", "Call it when somebody asks how a number is worked out.", query=LIST)
)
def list_quantities(state: State, query: ListQuery) -> Answer:
    """Everything the service works out, with the formulas it may use and their sources."""
    return query.page(rulebook_pages.quantities(state.rulebook)).told("quantities")


@CALLS.page(
    Page(
        "/v1/functions",
        "Functions",
        "Call it for the names that formulas of GET /v1/quantities call.",
        query=LIST,
    )
)
def list_functions(state: State, query: ListQuery) -> Answer:
    """The functions a formula may call."""
    return query.page(rulebook_pages.functions()).told("functions")


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
        query=LIST,
    )
)
def list_fuels(state: State, query: ListQuery) -> Answer:
    """The fuels a grade may name."""
    return query.page(rulebook_pages.fuels(state.rulebook)).told("fuels")


@CALLS.page(
    Page(
        "/v1/sources",
        "Sources",
        "Call it to see how much of the rules is published and how much is experience.",
        query=LIST,
    )
)
def list_sources(state: State, query: ListQuery) -> Answer:
    """Where the numbers come from, and how far each kind may be trusted."""
    return query.page(rulebook_pages.sources(state.rulebook)).told("sources")
