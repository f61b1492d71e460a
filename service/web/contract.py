"""The contract (OpenAPI 3.1), made from the rulebook and the views; openapi/openapi.yaml is its committed copy."""

import inspect

from service.rulebook.inputs import Input
from service.rulebook.rulebook import Rulebook
from service.rulebook.units import DIMENSIONS
from service.web import views
from service.evaluation.speed_curves import MOST_SPEEDS
from service.advice.limits import MOST_INPUTS
from service.web.schemas import ALLOWED, DETAILS, INCLUDED, INCLUDES, UNITS

DESCRIPTION = (
    "Judges whether the parts of a planned engine build work together at the power wanted: pass, warn or fail for each check, with the "
    "working, units and sources, what was assumed, and what to ask next. A pass says that nothing was found in the numbers given; it never "
    "says that an engine is safe. The same body against the same rulebook gives the same bytes, so a call may be repeated freely."
)
WHEN_TO_CALL = (
    "Call it before a part is ordered or a quote is given, with whatever is known: every field is optional. Give numbers with their units "
    '("12 psi", "42 lb/h", "480 hp"). Boost is gauge pressure; a sensor range counts from vacuum. It does not decide whether parts fit the '
    "car, whether they are sound, or whether the law allows them. A fail is HTTP 200; 422 means the request has to be mended."
)
LIMITS_WHEN = (
    'Call it when a customer asks how much: "how much boost may I run", "what is the most I can make on these injectors". Name the inputs to move; '
    "without names it moves what the build gives. Everything else is held as given or assumed, so a limit is only as good as the rest of the spec. "
    "It does not look for the best build, and a limit is no promise that an engine lives there."
)
_STRING = {"type": "string"}
_STRINGS = {"type": "array", "items": _STRING}


def contract(rulebook: Rulebook) -> dict:
    """The whole document."""
    return {
        "openapi": "3.1.0",
        "info": {"title": "Engine-build compatibility rules", "version": rulebook.version, "description": DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
        "servers": [{"url": "/"}],
        "paths": _paths(),
        "components": {"schemas": _schemas(rulebook), "responses": _responses()},
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
        "/openapi.json": "get_contract",
        "/healthz": "get_health",
        "/readyz": "get_readiness",
    }
    problems = {status: {"$ref": "#/components/responses/Problem"} for status in ("400", "411", "412", "413", "415", "422")}
    post = {
        "operationId": "create_evaluation",
        "summary": _doc("create_evaluation"),
        "description": WHEN_TO_CALL,
        "requestBody": {"required": True, "content": {"application/json": {"schema": _ref("EvaluationRequest")}}},
        "responses": {"200": {"description": "The verdicts.", "content": {"application/json": {"schema": _ref("Evaluation")}}}}
        | problems,
    }
    curves = {
        "operationId": "create_speed_curves",
        "summary": _doc("create_speed_curves"),
        "description": "Call it to draw a build over engine speed. It judges nothing; a null is a value that cannot be worked out there.",
        "requestBody": {"required": True, "content": {"application/json": {"schema": _ref("SpeedCurvesRequest")}}},
        "responses": {"200": {"description": "Columns of equal length.", "content": {"application/json": {"schema": _ref("SpeedCurves")}}}} | problems,
    }
    limits = {
        "operationId": "create_limits",
        "summary": _doc("create_limits"),
        "description": LIMITS_WHEN,
        "requestBody": {"required": True, "content": {"application/json": {"schema": _ref("LimitsRequest")}}},
        "responses": {"200": {"description": "One entry an input.", "content": {"application/json": {"schema": _ref("Limits")}}}} | problems,
    }
    return {"/v1/evaluations": {"post": post}, "/v1/limits": {"post": limits}, "/v1/speed-curves": {"post": curves}} | {path: {"get": _get(path, operation)} for path, operation in get.items()}


def _get(path: str, operation: str) -> dict:
    made: dict = {
        "operationId": operation,
        "summary": _doc(operation),
        "responses": {"200": {"description": "As asked.", "content": {"application/json": {"schema": {"type": "object"}}}}},
    }
    if path not in ("/healthz", "/readyz"):
        made["responses"]["304"] = {"description": "The rulebook is the one named in If-None-Match."}
    if "{" in path:
        name = path[path.index("{") + 1 : -1]
        made["parameters"] = [{"name": name, "in": "path", "required": True, "schema": _STRING}]
        made["responses"]["404"] = {"$ref": "#/components/responses/Problem"}
    return made


def _doc(operation: str) -> str:
    return inspect.getdoc(getattr(views, operation))


def _ref(name: str) -> dict:
    return {"$ref": f"#/components/schemas/{name}"}


def _responses() -> dict:
    return {"Problem": {"description": "What is wrong, where, and what was expected (RFC 9457).", "content": {"application/problem+json": {"schema": _ref("Problem")}}}}


def _schemas(rulebook: Rulebook) -> dict:
    verdicts = {"type": "string", "enum": ["pass", "warn", "fail"]}
    check_ids = {"type": "string", "enum": list(rulebook.checks)}
    identity = {"type": "object", "required": ["version", "digest"], "properties": {"version": _STRING, "digest": _STRING}}
    source = {"type": "object", "required": ["kind", "citation"], "properties": {"kind": _STRING, "citation": _STRING}}
    return {
        "Build": _build(rulebook),
        "EvaluationRequest": _object(
            {
                "build": _ref("Build"),
                "detail": {"type": "string", "enum": list(DETAILS), "default": "summary", "description": "verdict: under 600 bytes; summary: passes are short; full: with the working of every check."},
                "units": {"type": "string", "enum": list(UNITS), "default": "metric", "description": "Units of the answer; the build may use any."},
                "include": {"type": "array", "uniqueItems": True, "items": {"type": "string", "enum": list(INCLUDES)}, "default": list(INCLUDED), "description": "ranges: what the assumptions leave open; questions: what to ask next; remedies: what would mend each warning and failure, tried on the whole build."},
                "checks": {"type": "array", "uniqueItems": True, "items": check_ids, "description": "Judge these only."},
                "require": {"type": "array", "uniqueItems": True, "items": check_ids, "description": "Without these judged the whole is not_checked."},
                "moment": {"type": "string", "enum": list(rulebook.moments), "description": "Where the job stands: picks cautions and the watch list, never a verdict."},
                "rulebook": {"type": "string", "description": "Digest of the rulebook to be used; 412 if another is loaded."},
            },
            ["build"],
            False,
        ),
        "Measure": _object({"value": {"type": ["number", "null"]}, "unit": _STRING, "text": _STRING}, ["value", "unit", "text"]),
        "Source": source,
        "Step": _object(
            {"name": _STRING, "label": _STRING, "formula": _STRING, "with_numbers": _STRING, "value": {"type": ["number", "null"]}, "unit": _STRING, "text": _STRING, "source": _ref("Source")},
            ["name", "label", "formula", "with_numbers", "value", "unit", "text", "source"],
        ),
        "Judgement": _object(
            {
                "check": check_ids,
                "title": _STRING,
                "verdict": verdicts,
                "value": _ref("Measure"),
                "limit": {"type": "object"},
                "margin": {"type": "number", "description": "How far inside (+) or outside (-) the limit that counts, as a share of it."},
                "judged_at": _STRING,
                "not_judged_at": _STRINGS,
                "range": _object({"low": {"type": "number"}, "high": {"type": "number"}, "unit": _STRING, "text": _STRING}, ["low", "high", "unit", "text"]) | {"description": "Where the value may lie under what was assumed, one input at a time, combined by root sum of squares."},
                "could_be": {"type": "array", "items": verdicts, "description": "The verdicts reachable under what was assumed."},
                "settle_by": {"type": "array", "items": _STRING, "description": "Unknown inputs, the one that would narrow the range most first."},
                "explanation": _STRING,
                "leans_on": _STRINGS,
                "remedies": {"type": "array", "items": _ref("Remedy")},
                "cautions": _STRINGS,
                "findings": {"type": "array", "items": {"type": "object"}},
                "working": {"type": "array", "items": _ref("Step")},
            },
            ["check", "verdict", "explanation"],
        ),
        "Remedy": _object(
            {
                "set": {"type": "object", "description": "Put this into the build and post it again."},
                "text": _STRING,
                "fixes": {"type": "array", "items": check_ids},
                "breaks": {"type": "array", "items": _object({"check": check_ids, "from": _STRING, "to": _STRING}, ["check", "from", "to"])},
                "verdict": verdicts | {"description": "Of the whole build with it."},
            },
            ["set", "text", "fixes", "breaks", "verdict"],
        ),
        "Evaluation": _object(
            {
                "verdict": {"type": "string", "enum": ["pass", "warn", "fail", "not_checked"]},
                "complete": {"type": "boolean", "description": "Whether every check that applies was judged at every point."},
                "headline": {"type": "string", "description": "One sentence, fit to read aloud."},
                "fail": _STRINGS,
                "warn": _STRINGS,
                "checks": {"type": "array", "items": _ref("Judgement")},
                "not_checked": {"type": "array", "items": _object({"check": check_ids, "needs": {"type": "array", "items": _STRINGS, "description": "One input of each inner list is needed."}, "reason": _STRING}, ["check", "needs"])},
                "not_applicable": {"type": "array", "items": _object({"check": check_ids, "reason": _STRING}, ["check", "reason"])},
                "understood": {"type": "array", "items": _object({"input": _STRING, "text": _STRING}, ["input", "text"])},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "questions": {"type": "array", "items": _object({"input": _STRING, "ask": _STRING, "why": _STRING, "would_settle": _STRINGS, "could_mean": _STRINGS}, ["input", "ask", "why", "would_settle"])},
                "watch": {"type": "array", "items": _object({"signal": _STRING, "expect": _STRING, "stop_at": _STRING}, ["signal", "expect", "stop_at"])},
                "rulebook": identity,
                "service": _STRING,
                "evaluation": _STRING,
            },
            ["verdict", "complete", "headline", "rulebook", "service", "evaluation"],
        ),
        "LimitsRequest": _object(
            {
                "build": _ref("Build"),
                "inputs": {"type": "array", "maxItems": MOST_INPUTS, "items": {"type": "string", "enum": list(rulebook.inputs)}, "description": "Inputs to move, one at a time; they need not be given in the build."},
                "checks": {"type": "array", "uniqueItems": True, "items": check_ids, "description": "Look at these only."},
                "verdict": {"type": "string", "enum": list(ALLOWED), "description": "The worst verdict allowed; the build's own where it passes, else warn."},
                "units": {"type": "string", "enum": list(UNITS), "default": "metric"},
                "rulebook": _STRING,
            },
            ["build"],
            False,
        ),
        "Limits": _object(
            {
                "verdict": {"type": "string", "enum": ["pass", "warn", "fail", "not_checked"], "description": "What the build is now."},
                "keeps": {"type": "string", "enum": list(ALLOWED)},
                "limits": {"type": "array", "items": _object({"input": _STRING, "label": _STRING, "now": _STRING, "text": _STRING, "at_least": _ref("Limit"), "at_most": _ref("Limit"), "stopped_by": check_ids}, ["input", "label", "text"])},
                "understood": {"type": "array", "items": {"type": "object"}},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "rulebook": identity,
                "service": _STRING,
            },
            ["verdict", "keeps", "limits", "rulebook", "service"],
        ),
        "Limit": _object({"text": _STRING, "set": {"type": ["string", "integer"], "description": "As it stands in a build."}, "stopped_by": check_ids}, ["text", "set", "stopped_by"]),
        "SpeedCurvesRequest": _object(
            {
                "build": _ref("Build"),
                "speeds": _object({"from": _dimensional(["rotational_speed"]), "to": _dimensional(["rotational_speed"]), "count": {"type": "integer", "minimum": 2, "maximum": MOST_SPEEDS}}, [], False),
                "units": {"type": "string", "enum": list(UNITS), "default": "metric"},
                "rulebook": _STRING,
            },
            ["build"],
            False,
        ),
        "SpeedCurves": _object(
            {
                "columns": {"type": "array", "items": _object({"quantity": _STRING, "label": _STRING, "unit": _STRING, "values": {"type": "array", "items": {"type": ["number", "null"]}}}, ["quantity", "label", "unit", "values"])},
                "not_worked_out": {"type": "array", "items": _object({"quantity": _STRING, "needs": {"type": "array", "items": _STRINGS}}, ["quantity", "needs"])},
                "understood": {"type": "array", "items": {"type": "object"}},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "rulebook": identity,
                "service": _STRING,
            },
            ["columns", "not_worked_out", "rulebook", "service"],
        ),
        "Problem": _object(
            {
                "type": _STRING,
                "title": _STRING,
                "status": {"type": "integer"},
                "code": {"type": "string", "description": "Stable; switch on this, never on prose."},
                "detail": _STRING,
                "suggestion": _STRING,
                "loaded": _STRING,
                "errors": {
                    "type": "array",
                    "items": _object(
                        {"pointer": {"type": "string", "description": "JSON Pointer into the request."}, "code": _STRING, "detail": _STRING, "expected": _STRING, "suggestion": _STRING},
                        ["pointer", "code", "detail"],
                    ),
                },
            },
            ["type", "title", "status", "code", "detail"],
        ),
    }


def _object(properties: dict, required: list[str], additional: bool = True) -> dict:
    made: dict = {"type": "object", "required": required, "properties": properties}
    if not additional:
        made["additionalProperties"] = False
    return made


def _build(rulebook: Rulebook) -> dict:
    """The build spec: one object a group, one property an input, nothing else."""
    top: dict = {}
    groups: dict[str, dict] = {}
    for one in rulebook.inputs.values():
        (groups.setdefault(one.group, {}) if one.group else top)[one.name] = _field(rulebook, one)
    top |= {group: _object(fields, [], False) | {"description": f"What is known of {group.replace('_', ' ')}."} for group, fields in groups.items()}
    for made in top.values():
        if made.get("required") == []:
            del made["required"]
    return {"type": "object", "description": "What is known of the build; every field is optional.", "properties": top, "additionalProperties": False}


def _field(rulebook: Rulebook, one: Input) -> dict:
    made: dict = {"description": f"{one.label}. {one.ask}"}
    if one.kind == "number":
        return made | _number(one)
    if one.kind == "count":
        return made | {"type": "integer", "minimum": one.possible_count[0], "maximum": one.possible_count[1]}
    if one.kind == "flag":
        return made | {"type": ["boolean", "string"], "enum": [True, False, "yes", "no"]}
    if one.kind == "choice":
        words = [*rulebook.words_of(one), *one.synonyms]
        yes_no = [word for word, said in ((True, "yes"), (False, "no")) if said in words]
        return made | ({"type": ["string", "boolean"]} if yes_no else {"type": "string"}) | {"enum": [*words, *yes_no]}
    if one.kind == "curve":
        words = [axis.word for axis in one.axes]
        point = _object({word: _dimensional([axis.dimension]) for word, axis in zip(words, one.axes)}, words, False)
        return made | {"type": "array", "minItems": one.points[0], "maxItems": one.points[1], "items": point}
    lists = {}
    for part, axes in one.lists.items():
        point = _object({axis.word: _dimensional([axis.dimension]) for axis in axes}, [axis.word for axis in axes], False)
        lists[part] = {"type": "array", "minItems": one.points[0], "maxItems": one.points[1], "items": point}
    return made | _object(lists, list(one.required), False)


def _number(one: Input) -> dict:
    if one.reading:
        reading = {"gauge": "Gauge pressure.", "absolute": "Absolute pressure, counted from vacuum.", "difference": "A pressure difference."}.get(one.reading)
        if reading:
            return _dimensional(list(one.words)) | {"x-reading": one.reading}
    return _dimensional(list(one.words))


def _dimensional(dimensions: list[str]) -> dict:
    units = [unit for dimension in dimensions for unit in DIMENSIONS[dimension].offered if unit]
    if all(DIMENSIONS[dimension].plain for dimension in dimensions):
        return {"type": ["number", "string"]}
    return {
        "oneOf": [
            {"type": "string", "maxLength": 64},
            {"type": "object", "required": ["value", "unit"], "properties": {"value": {"type": "number"}, "unit": {"type": "string", "enum": units}, "tolerance": {"type": "number", "minimum": 0, "description": "How far the value may be off, in the same unit."}}},
        ],
        "x-units": units,
    }
