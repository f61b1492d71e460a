"""What is told of the contract and of the process."""

from flask import Response

from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Page, Tag
from service.web.telemetry import metrics

CALLS = Calls(Tag("process", "The contract, and how the process is doing."))


@CALLS.page(Page("/openapi.json", "Contract", "Call it to make a client or to look up a field."))
def get_contract(state: State) -> Answer:
    """This contract."""
    return state.contract


@CALLS.page(
    Page(
        "/openapi-compact.json",
        "Contract",
        "Call it for the few calls that a language model needs, small enough to put before it.",
    )
)
def get_compact_contract(state: State) -> Answer:
    """The calls a language model needs, as functions."""
    # Few ask for it, and every start would pay for it.
    from service.web.tools.compact import compact_contract

    return compact_contract()


@CALLS.page(
    Page(
        "/healthz",
        "Health",
        "For whatever restarts a process that hangs. Needs no token.",
        digest_of=None,
        for_anybody=True,
    )
)
def get_health(state: State) -> Answer:
    """The process answers."""
    return {"status": "ok"}


@CALLS.page(Page("/readyz", "Readiness", "For whatever decides where requests are sent to.", digest_of=None))
def get_readiness(state: State) -> Answer:
    """The rulebook is loaded and its worked examples came out."""
    return {"status": "ready", "rulebook": state.evaluator.reporter.identity}


@CALLS.page(
    Page("/metrics", "Metrics", "For monitoring.", media_type="text/plain", digest_of=None),
)
def get_metrics(state: State) -> Response:
    """Counts and times of all workers, in the Prometheus text format."""
    return Response(metrics.page(), content_type=metrics.MEDIA_TYPE)
