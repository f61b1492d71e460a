"""The endpoints. Each docstring is what a client needs; the contract repeats it."""

from flask import Blueprint, Response, current_app, request

from marshmallow import Schema

from service.advice.limits import LimitsRequest, limits
from service.advice.remedies import add_remedies
from service.errors import PinError
from service.evaluation.evaluate import Request
from service.evaluation.speed_curves import SpeedRange, speed_curves
from service.rulebook.choice_reading import nearest
from service.web import catalogue
from service.web.body import json_object
from service.web.problems import ProblemError
from service.web.schemas import load_request
from service.web.state import State, state

blueprint = Blueprint("v1", __name__)


@blueprint.post("/v1/evaluations")
def create_evaluation():
    """Judge one build: send what is known of it, get verdicts with their reasons, and what is still to be asked."""
    here = state()
    asked = Request(**_asked(here, here.evaluation_schema))
    answer = here.evaluator.evaluate(asked)
    if "remedies" in asked.include:
        add_remedies(here.evaluator, asked, answer)
    return current_app.json.response(answer)


@blueprint.post("/v1/limits")
def create_limits():
    """How far inputs can move, the others held, before the verdict changes: the most boost, the least injector."""
    here = state()
    return current_app.json.response(limits(here.evaluator, LimitsRequest(**_asked(here, here.limits_schema))))


@blueprint.post("/v1/speed-curves")
def create_speed_curves():
    """The build across its speed range, as columns: boost, air, knock, power and torque the air allows, injectors, pump."""
    here = state()
    asked = _asked(here, here.speed_curves_schema)
    return current_app.json.response(speed_curves(here.evaluator, asked["build"], asked.get("speeds", SpeedRange()), asked.get("units", "metric")))


def _asked(here: State, schema: Schema) -> dict:
    """The fields of the request in hand; a rulebook it pins has to be the one loaded."""
    asked, pinned = load_request(schema, json_object(request), here.rulebook, here.evaluator.reader)
    if pinned is not None and pinned != here.rulebook.digest:
        raise PinError(here.rulebook.digest)
    return asked


@blueprint.get("/v1/checks")
def list_checks():
    """Every check the rulebook can judge."""
    return _cached(lambda here: {"checks": catalogue.checks(here.rulebook)})


@blueprint.get("/v1/checks/<id>")
def get_check(id: str):
    """One check: what it judges, its limits with sources, its levers, its worked examples."""
    return _cached(lambda here: catalogue.check(here.rulebook, _found(id, here.rulebook.checks, "check")))


@blueprint.get("/v1/inputs")
def list_inputs():
    """Every word a build may use, with its units and the question that asks for it."""
    return _cached(lambda here: {"inputs": catalogue.inputs(here.rulebook)})


@blueprint.get("/v1/quantities")
def list_quantities():
    """Everything the service works out, with the formulas it may use and their sources."""
    return _cached(lambda here: {"quantities": catalogue.quantities(here.rulebook)})


@blueprint.get("/v1/functions")
def list_functions():
    """The functions a formula may call."""
    return _cached(lambda here: {"functions": catalogue.functions()})


@blueprint.get("/v1/functions/<name>")
def get_function(name: str):
    """One function: method, arguments, validity, source."""
    return _cached(lambda here: catalogue.function(_found(name, catalogue.FUNCTIONS, "function")))


@blueprint.get("/v1/fuels")
def list_fuels():
    """The fuels a grade may name."""
    return _cached(lambda here: {"fuels": catalogue.fuels(here.rulebook)})


@blueprint.get("/v1/sources")
def list_sources():
    """Where the numbers come from, and how far each kind may be trusted."""
    return _cached(lambda here: {"sources": catalogue.sources(here.rulebook)})


@blueprint.get("/openapi.json")
def get_contract():
    """This contract."""
    return _cached(lambda here: here.contract)


@blueprint.get("/healthz")
def get_health():
    """The process answers."""
    return {"status": "ok"}


@blueprint.get("/readyz")
def get_readiness():
    """The rulebook is loaded and its worked examples came out."""
    return {"status": "ready", "rulebook": state().evaluator.reporter.identity}


def _cached(make) -> Response:
    """A view of the rulebook: its ETag is the digest, so a client that has it gets 304."""
    here = state()
    response = current_app.json.response(make(here))
    response.headers["Cache-Control"] = "no-cache"
    response.set_etag(here.rulebook.digest)
    return response.make_conditional(request)


def _found(name: str, known, what: str) -> str:
    if name in known:
        return name
    raise ProblemError(404, "not-found", f"There is no such {what}.", f"GET /v1/{what}s lists them.", nearest(name[:64], known))
