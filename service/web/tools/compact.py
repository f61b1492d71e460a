"""The calls of the tools as a contract small enough to be put before a model that calls functions.

The whole contract is GET /openapi.json; what this leaves out is taken all the same.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from service.version import VERSION
from service.web.api.json_schema import INTEGER, TEXT, TEXTS, Schema, described, list_of, one_of, record
from service.web.tools.arguments import BUILD
from service.web.tools.choosing import CHOOSE
from service.web.tools.judging import JUDGE
from service.web.tools.limiting import HOW_FAR, LIMIT, WHICH_VALUE
from service.web.tools.looking_up import LOOK_UP
from service.web.tools.pulls import COMPARE
from service.web.tools.sizing import SIZE

ABOUT = (
    "Judges planned engine builds by worked calculation. Never invent a number; read the headline out; ask "
    "the questions in their order; pass cautions on. A pass means nothing was found in the numbers given, "
    "never that an engine is safe. The whole contract is GET /openapi.json."
)
_DETAIL = described(
    one_of(("spoken", "summary")), "spoken: short, to be read out. summary: each check, what would fix it."
)
_INCLUDE = described(
    list_of(one_of(("ranges", "questions", "remedies"))),
    "At summary; remedies brings the plan that fixes it.",
)
_QUESTION = record({"input": TEXT, "ask": TEXT}, {"answers": TEXTS})
_BUILD = {
    "usage": "street",
    "engine": {"displacement": "5.0 L", "cylinders": 8, "compression_ratio": "9.5:1", "redline": "6500 rpm"},
    "induction": {"kind": "twin screw", "boost": "9 psi"},
    "fuel": {"octane": "93"},
    "target": {"power": "430 hp at the wheels"},
}
_PULLEYS = {
    "engine": {"displacement": "5.0 L", "cylinders": 8, "peak_power_speed": "6500 rpm"},
    "induction": {"kind": "twin screw", "blower_displacement": "2.3 L", "crank_pulley_diameter": "6.6 in"},
}


class CompactCall(NamedTuple):
    """A call as a model sees it: its name, what it is for, an example, and what its answer holds."""

    path: str
    name: str
    about: str
    properties: Mapping[str, Schema]
    required: tuple[str, ...]
    example: Mapping[str, Any]
    answer: Mapping[str, Schema]


_ASKS = {"questions": list_of(_QUESTION)}
_TEXT_OF_EACH = list_of(record({"text": TEXT}))
_LIMITED = {key: shape for key, shape in LIMIT.properties.items() if key != "reach"}
_SOLVED = {
    "build": LIMIT.properties["build"],
    "find": described(TEXT, "The input to find, such as induction.blower_pulley_diameter."),
    "reach": LIMIT.properties["reach"],
    "units": LIMIT.properties["units"],
}
POSTS = (
    CompactCall(
        "/v1/evaluations",
        JUDGE.name,
        JUDGE.about,
        {**JUDGE.properties, "detail": _DETAIL, "include": _INCLUDE},
        JUDGE.required,
        {"build": _BUILD, "units": "us", "detail": "spoken"},
        {
            "verdict": TEXT,
            "headline": TEXT,
            "say": TEXT,
            "question": _QUESTION,
            "checks": list_of(record({"check": TEXT, "verdict": TEXT}, {"explanation": TEXT})),
            "plan": record({"text": TEXT}),
            **_ASKS,
        },
    ),
    CompactCall(
        "/v1/requirements",
        SIZE.name,
        SIZE.about,
        SIZE.properties,
        SIZE.required,
        {"build": _BUILD, "slots": ["injectors", "clutch"], "units": "us"},
        {"headline": TEXT, "requirements": list_of(record({"slot": TEXT, "text": TEXT})), **_ASKS},
    ),
    CompactCall(
        "/v1/limits",
        LIMIT.name,
        HOW_FAR,
        _LIMITED,
        ("build",),
        {"build": _BUILD, "inputs": ["induction.boost"], "units": "us"},
        {"headline": TEXT, "limits": list_of(record({"input": TEXT, "text": TEXT})), **_ASKS},
    ),
    CompactCall(
        "/v1/solutions",
        "which_value",
        WHICH_VALUE,
        _SOLVED,
        ("build", "find", "reach"),
        {
            "build": _PULLEYS,
            "find": "induction.blower_pulley_diameter",
            "reach": {"quantity": "boost_from_drive", "value": "10 psi"},
            "units": "us",
        },
        {"headline": TEXT, "solutions": _TEXT_OF_EACH, **_ASKS},
    ),
    CompactCall(
        "/v1/selections",
        CHOOSE.name,
        CHOOSE.about,
        CHOOSE.properties,
        CHOOSE.required,
        {"build": _BUILD, "slots": ["injectors"], "units": "us"},
        {
            "headline": TEXT,
            "sets": list_of(record({"parts": {"type": "object"}, "text": TEXT, "verdict": TEXT})),
            **_ASKS,
        },
    ),
    CompactCall(
        "/v1/dyno-comparisons",
        COMPARE.name,
        COMPARE.about,
        COMPARE.properties,
        ("quantity", *COMPARE.required),
        {
            "quantity": "power",
            "a": ["401 whp", "403 whp", "402 whp"],
            "b": ["404 whp", "405 whp", "403 whp"],
            "claimed": "12 whp",
            "units": "us",
        },
        {"verdict": TEXT, "headline": TEXT, "text": TEXT, "pulls_needed": INTEGER, "cautions": TEXTS},
    ),
)
LOOK_UP_PATH = "/v1/words"


def compact_contract() -> Schema:
    """An OpenAPI document of these calls."""
    return {
        "openapi": "3.1.0",
        "info": {"title": "Engine-build rules, compact", "version": VERSION, "description": ABOUT},
        "servers": [{"url": "/"}],
        "security": [{}, {"token": []}],
        "paths": {call.path: {"post": _post(call)} for call in POSTS} | {LOOK_UP_PATH: {"get": _look_up()}},
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "schemas": {"Build": BUILD},
            "responses": {"Refused": _refused()},
        },
    }


def _post(call: CompactCall) -> Schema:
    properties = dict(call.properties) | (
        {"build": {"$ref": "#/components/schemas/Build"}} if "build" in call.properties else {}
    )
    body = {"type": "object", "properties": properties, "required": list(call.required)}
    return {
        "operationId": call.name,
        "description": call.about,
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": body, "example": dict(call.example)}},
        },
        "responses": _responses(call.answer),
    }


def _look_up() -> Schema:
    words = {"name": "q", "in": "query", "required": True, "schema": TEXT, "example": "blower pulley"}
    return {
        "operationId": LOOK_UP.name,
        "description": LOOK_UP.about,
        "parameters": [words],
        "responses": _responses({"inputs": list_of(record({"input": TEXT, "ask": TEXT})), "text": TEXT}),
    }


def _responses(answer: Mapping[str, Schema]) -> Schema:
    schema = {"type": "object", "properties": dict(answer)}
    return {
        "200": {"description": "The answer.", "content": {"application/json": {"schema": schema}}},
        "4XX": {"$ref": "#/components/responses/Refused"},
    }


def _refused() -> Schema:
    fault = record(
        {"pointer": TEXT, "detail": TEXT}, {"expected": TEXT, "suggestion": TEXT, "options": TEXTS}
    )
    schema = record({"code": TEXT, "detail": TEXT}, {"errors": list_of(fault)})
    return {
        "description": "What is wrong, where, and what was meant. Fix it and send it again.",
        "content": {"application/problem+json": {"schema": schema}},
    }
