"""The endpoints. Each docstring is what a client needs; the contract repeats it."""

import numpy
from flask import Blueprint, Response, current_app, g, request
from marshmallow import Schema

from service.advice.batches import MOST_FAULTS, MOST_SUGGESTED, evaluate_batch
from service.advice.limits import LimitsRequest, limits
from service.advice.remedies import add_remedies
from service.advice.selection import SelectionRequest, select
from service.advice.sweeps import evaluate_sweep, same_length
from service.catalog.expand import MOST_COMPARED
from service.dyno.answers import calibrated, compared, compared_curves, compared_summaries, corrected
from service.errors import PinError, SpecError, SpecFault
from service.evaluation.evaluate import Request
from service.evaluation.known import Known
from service.evaluation.speed_curves import SpeedRange, speed_curves
from service.units.choice_reading import nearest
from service.web.api import catalogue
from service.web.api.body import MAX_BATCH, MAX_BODY, json_object
from service.web.api.dyno_requests import read_measured, read_pulls, read_sides
from service.web.api.parts import NONE_TAKEN, Taken, name_parts, with_parts
from service.web.api.problems import ProblemError
from service.web.api.schemas import load_request
from service.web.api.state import State, state
from service.web.telemetry import metrics

blueprint = Blueprint("v1", __name__)


@blueprint.post("/v1/evaluations")
def create_evaluation():
    """Judge one build: send what is known of it, get verdicts with their reasons, and what is still to be asked."""
    here = state()
    words, taken = _asked(here, here.schemas.evaluation)
    asked = Request(**words, catalog=here.catalog.digest if here.catalog else None)
    watch = g.record.watch
    answer = here.evaluator.evaluate(asked, watch)
    if "remedies" in asked.include:
        add_remedies(here.evaluator, asked, answer)
        watch.lap("remedies")
    return _reply(name_parts(here, answer, taken))


@blueprint.post("/v1/evaluation-batches")
def create_evaluation_batch():
    """Judge many builds in one call: one entry each, in order; a bad one does not spoil the rest."""
    here = state()
    asked = _loaded(here, here.schemas.batch, MAX_BATCH)
    read, faulty = [], 0
    for build in asked["builds"]:
        known, taken = _read(here, build, suggest=faulty < MOST_SUGGESTED)
        faulty += isinstance(known, SpecError)
        read.append((known, taken))
    entries = evaluate_batch(
        here.evaluator, [known for known, _ in read], asked.get("checks", ()), asked.get("units", "metric")
    )
    for entry, (_, taken) in zip(entries, read):
        if taken.misfits:
            entry |= {"misfits": taken.misfits, "verdict": "fail"}
    answer = {
        "builds": entries,
        "rulebook": here.evaluator.reporter.identity,
        "service": here.rulebook.version,
    }
    return _reply(name_parts(here, answer))


def _read(here: State, build: dict, suggest: bool) -> tuple[Known | SpecError, Taken]:
    try:
        build, taken = with_parts(here, build, MOST_FAULTS, suggest)
        return here.evaluator.reader.read(build, most=MOST_FAULTS), taken
    except SpecError as error:
        return error, NONE_TAKEN


@blueprint.post("/v1/sweeps")
def create_sweep():
    """Judge one build over columns of candidate values: entry by entry they make one candidate."""
    here = state()
    asked, taken = _asked(here, here.schemas.sweep, MAX_BATCH)
    columns = asked["columns"]
    same_length({path: values for path, (_, values) in columns.items()})
    known = here.evaluator.reader.read(asked["build"])
    answer = evaluate_sweep(
        here.evaluator,
        known,
        {name: numpy.array(values) for name, values in columns.values()},
        asked.get("checks", ()),
        asked.get("units", "metric"),
    )
    return _reply(name_parts(here, answer, taken))


@blueprint.post("/v1/selections")
def create_selection():
    """Choose catalog parts for open slots: each part judged, the best complete sets, or what stands in the way."""
    here = state()
    asked = _loaded(here, here.schemas.selection)
    if here.catalog is None:
        raise ProblemError(
            422,
            "no-catalog",
            "No catalog of parts is loaded, so there is nothing to choose from.",
            "Start the service with CATALOG.",
        )
    return _reply(select(here.evaluator, here.catalog, here.dependence, SelectionRequest(**asked)))


@blueprint.post("/v1/limits")
def create_limits():
    """How far inputs can move, the others held, before the verdict changes: the most boost, the least injector."""
    here = state()
    asked, taken = _asked(here, here.schemas.limits)
    return _reply(name_parts(here, limits(here.evaluator, LimitsRequest(**asked)), taken))


@blueprint.post("/v1/speed-curves")
def create_speed_curves():
    """The build across its speed range, as columns: boost, air, knock, power and torque the air allows, injectors, pump."""
    here = state()
    asked, taken = _asked(here, here.schemas.speed_curves)
    return _reply(
        name_parts(
            here,
            speed_curves(
                here.evaluator,
                asked["build"],
                asked.get("speeds", SpeedRange()),
                asked.get("units", "metric"),
            ),
            taken,
        )
    )


@blueprint.post("/v1/dyno-corrections")
def create_dyno_correction():
    """Pulls brought to the weather of each standard; the figures as measured come first."""
    here = state()
    asked = _loaded(here, here.schemas.corrections)
    return _reply(
        corrected(
            here.evaluator,
            read_pulls(asked),
            asked.get("boost_controlled", False),
            asked.get("units", "metric"),
        )
    )


@blueprint.post("/v1/dyno-comparisons")
def create_dyno_comparison():
    """Pulls with one part against pulls with another: is the difference real, and could such a test have seen it."""
    here = state()
    asked = _loaded(here, here.schemas.comparison, MAX_BATCH)
    kind, first, second, claimed = read_sides(asked)
    units, quantity = asked.get("units", "metric"), asked["quantity"]
    if kind == "summaries":
        return _reply(compared_summaries(here.evaluator, quantity, first, second, units))
    try:
        if kind == "curves":
            return _reply(compared_curves(here.evaluator, quantity, first, second, units))
        return _reply(
            compared(
                here.evaluator,
                quantity,
                first,
                second,
                units,
                asked.get("interleaved", False),
                asked.get("in_order", False),
                claimed,
            )
        )
    except ValueError as error:
        raise SpecError(
            [
                SpecFault(
                    "/b",
                    "not-comparable",
                    f"{str(error)[:1].upper()}{str(error)[1:]}.",
                    "pulls of both sides that can be set against each other",
                )
            ]
        ) from error


@blueprint.post("/v1/calibrations")
def create_calibration():
    """A build held against its own pulls: power at the crank, the filling and fuel they imply, what would explain a difference."""
    here = state()
    asked, taken = _asked(here, here.schemas.calibration)
    known = here.evaluator.reader.read(asked["build"])
    pulls, place = read_measured(asked["pulls"])
    return _reply(
        name_parts(
            here,
            calibrated(here.evaluator, asked["build"], known, pulls, place, asked.get("units", "metric")),
            taken,
        )
    )


def _asked(here: State, schema: Schema, most: int = MAX_BODY) -> tuple[dict, Taken]:
    """The fields of the request in hand, its build with the fields of its parts, and those parts."""
    asked = _loaded(here, schema, most)
    asked["build"], taken = with_parts(here, asked["build"])
    return asked, taken


def _loaded(here: State, schema: Schema, most: int = MAX_BODY) -> dict:
    """The fields of the request in hand; a rulebook or catalog it pins has to be the one loaded."""
    record = g.record
    record.asked = json_object(record.request, most)
    asked, pinned = load_request(schema, record.asked, here.rulebook, here.evaluator.reader)
    record.watch.lap("read")
    for what, loaded in (
        ("rulebook", here.rulebook.digest),
        ("catalog", here.catalog.digest if here.catalog else None),
    ):
        if pinned.get(what, loaded) != loaded:
            raise PinError(what, loaded)
    return asked


def _reply(answer: dict) -> Response:
    """The answer as JSON; kept at hand for the log."""
    record = g.record
    record.answer = answer
    record.watch.lap("work")
    response = current_app.json.response(answer)
    record.watch.lap("write")
    return response


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


@blueprint.get("/v1/parts")
def list_parts():
    """The parts of the catalog by slot, with price and stock; empty where no catalog is loaded."""
    return _cached(
        lambda here: catalogue.parts(here.catalog),
        lambda here: here.catalog.digest if here.catalog else here.rulebook.digest,
    )


@blueprint.get("/v1/parts/<number>")
def get_part(number: str):
    """One part: what it gives to a build, what it fits, price and stock."""
    return _cached(
        lambda here: catalogue.part(
            here.catalog, _found(number, here.catalog.parts if here.catalog else {}, "part")
        ),
        lambda here: here.catalog.digest if here.catalog else here.rulebook.digest,
    )


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


@blueprint.get("/metrics")
def get_metrics():
    """Counts and times of all workers, in the Prometheus text format."""
    return Response(metrics.page(), content_type=metrics.MEDIA_TYPE)


def _cached(make, tag=lambda here: here.rulebook.digest) -> Response:
    """A view of the rulebook or the catalog: its ETag is the digest, so a client that has it gets 304."""
    here = state()
    response = current_app.json.response(make(here))
    response.headers["Cache-Control"] = "no-cache"
    response.set_etag(tag(here))
    return response.make_conditional(request)


def _found(name: str, known, what: str) -> str:
    if name in known:
        return name
    raise ProblemError(
        404,
        "not-found",
        f"There is no such {what}.",
        f"GET /v1/{what}s lists them.",
        nearest(name[:64], known) if len(known) <= MOST_COMPARED else None,
    )
