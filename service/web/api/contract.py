"""The contract (OpenAPI 3.1), made from the rulebook and the views; openapi/openapi.yaml is its committed copy."""

import inspect

from service.rulebook.rulebook import Rulebook
from service.web.api import views
from service.web.api.contract_schemas import ref, schemas

DESCRIPTION = (
    "Judges whether the parts of a planned engine build work together at the power wanted: pass, warn or fail for each check, with the "
    "working, units and sources, what was assumed, and what to ask next. A pass says that nothing was found in the numbers given; it never "
    "says that an engine is safe. The same body against the same rulebook and catalog gives the same bytes, so a call may be repeated freely."
)
WHEN_TO_CALL = (
    "Call it before a part is ordered or a quote is given, with whatever is known: every field is optional. Give numbers with their units "
    '("12 psi", "42 lb/h", "480 hp"). Boost is gauge pressure; a sensor range counts from vacuum. It does not decide whether parts fit the '
    "car, whether they are sound, or whether the law allows them. A fail is HTTP 200; 422 means the request has to be mended."
)
TOKENS = (
    "Wanted wherever the service was started with tokens. The scope `evaluate` allows the POST calls, `read` the others. "
    "The service does not limit how often a caller may ask; the gateway before it may, and then answers 429 with Retry-After."
)
LIMITS_WHEN = (
    'Call it when a customer asks how much: "how much boost may I run", "what is the most I can make on these injectors". Name the inputs to move; '
    "without names it moves what the build gives. Everything else is held as given or assumed, so a limit is only as good as the rest of the spec. "
    "It does not look for the best build, and a limit is no promise that an engine lives there."
)
# They tell of the process, not of the rulebook.
WITHOUT_TAG = ("/healthz", "/readyz", "/metrics")
POSTS = {
    "/v1/evaluations": (
        "create_evaluation",
        WHEN_TO_CALL,
        "EvaluationRequest",
        "Evaluation",
        "The verdicts.",
    ),
    "/v1/evaluation-batches": (
        "create_evaluation_batch",
        "Call it to judge many builds without their reasons: verdict, value and margin of each check. Send a build alone for the working.",
        "BatchRequest",
        "Batch",
        "One entry a build, in order.",
    ),
    "/v1/sweeps": (
        "create_sweep",
        "Call it to see where a verdict changes as one or more inputs move together. It judges; it does not choose.",
        "SweepRequest",
        "Sweep",
        "Columns of equal length, one entry a candidate.",
    ),
    "/v1/selections": (
        "create_selection",
        "Call it when the customer asks which of the parts in the catalog would do. Needs a service with a catalog. Parts are judged by the figures in the catalog; whether a part is the right one for a car is for the counter to say.",
        "SelectionRequest",
        "Selection",
        "The best sets, and the parts of each slot by themselves.",
    ),
    "/v1/limits": ("create_limits", LIMITS_WHEN, "LimitsRequest", "Limits", "One entry an input."),
    "/v1/dyno-corrections": (
        "create_dyno_correction",
        "Call it to bring a dyno figure to a standard's weather. It says where a correction is not to be believed; it does not make two places comparable.",
        "CorrectionsRequest",
        "Corrections",
        "One entry a pull.",
    ),
    "/v1/dyno-comparisons": (
        "create_dyno_comparison",
        "Call it when somebody says that a part gained something: send the single pulls of both sides, as peaks or curves; means alone are told what they cannot know. It says whether a difference is real, not what caused it.",
        "ComparisonRequest",
        "Comparison",
        "The verdict, the interval, and what such a test can see.",
    ),
    "/v1/calibrations": (
        "create_calibration",
        "Call it after the dyno with the build as it was planned and its pulls. It tells which assumption the pulls contradict and gives a narrower build to post back.",
        "CalibrationRequest",
        "Calibration",
        "What the pulls imply.",
    ),
    "/v1/speed-curves": (
        "create_speed_curves",
        "Call it to draw a build over engine speed. It judges nothing; a null is a value that cannot be worked out there.",
        "SpeedCurvesRequest",
        "SpeedCurves",
        "Columns of equal length.",
    ),
}


def contract(rulebook: Rulebook) -> dict:
    """The whole document."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Engine-build compatibility rules",
            "version": rulebook.version,
            "description": DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/"}],
        "paths": _paths(),
        "components": {
            "schemas": schemas(rulebook),
            "responses": _responses(),
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer", "description": TOKENS}},
        },
        "security": [{}, {"token": []}],
    }


def _paths() -> dict:
    get = {
        "/v1/checks": "list_checks",
        "/v1/checks/{id}": "get_check",
        "/v1/inputs": "list_inputs",
        "/v1/quantities": "list_quantities",
        "/v1/functions": "list_functions",
        "/v1/functions/{name}": "get_function",
        "/v1/fuels": "list_fuels",
        "/v1/sources": "list_sources",
        "/v1/parts": "list_parts",
        "/v1/parts/{number}": "get_part",
        "/openapi.json": "get_contract",
        "/healthz": "get_health",
        "/readyz": "get_readiness",
        "/metrics": "get_metrics",
    }
    post = {path: {"post": _post(*words)} for path, words in POSTS.items()}
    return post | {path: {"get": _get(path, operation)} for path, operation in get.items()}


def _post(operation: str, when: str, asked: str, answered: str, about: str) -> dict:
    problems = {
        status: {"$ref": "#/components/responses/Problem"}
        for status in ("400", "401", "403", "411", "412", "413", "415", "422", "500")
    }
    problems["429"] = {"$ref": "#/components/responses/TooMany"}
    return {
        "operationId": operation,
        "summary": _doc(operation),
        "description": when,
        "requestBody": {"required": True, "content": {"application/json": {"schema": ref(asked)}}},
        "responses": {
            "200": {"description": about, "content": {"application/json": {"schema": ref(answered)}}}
        }
        | problems,
    }


def _get(path: str, operation: str) -> dict:
    content = (
        {"text/plain": {"schema": {"type": "string"}}}
        if path == "/metrics"
        else {"application/json": {"schema": {"type": "object"}}}
    )
    made: dict = {
        "operationId": operation,
        "summary": _doc(operation),
        "responses": {"200": {"description": "As asked.", "content": content}},
    }
    if path == "/healthz":
        made["security"] = []
    else:
        made["responses"] |= {
            status: {"$ref": "#/components/responses/Problem"} for status in ("401", "403", "500")
        } | {"429": {"$ref": "#/components/responses/TooMany"}}
    if path not in WITHOUT_TAG:
        made["responses"]["304"] = {
            "description": "The rulebook, for parts the catalog, is the one named in If-None-Match."
        }
    if "{" in path:
        name = path[path.index("{") + 1 : -1]
        made["parameters"] = [{"name": name, "in": "path", "required": True, "schema": {"type": "string"}}]
        made["responses"]["404"] = {"$ref": "#/components/responses/Problem"}
    return made


def _doc(operation: str) -> str:
    return inspect.getdoc(getattr(views, operation))


def _responses() -> dict:
    problem = {
        "description": "What is wrong, where, and what was expected (RFC 9457).",
        "content": {"application/problem+json": {"schema": ref("Problem")}},
    }
    too_many = {
        "description": "The gateway was asked too often by this caller; nothing was evaluated.",
        "headers": {"Retry-After": {"description": "Seconds to wait.", "schema": {"type": "integer"}}},
    }
    return {"Problem": problem, "TooMany": too_many | {"content": problem["content"]}}
