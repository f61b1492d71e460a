"""The whole contract; openapi/openapi.yaml is its committed copy."""

from service.rulebook.rulebook import Rulebook
from service.web.api.contract import (
    advice_answers,
    backwards_answers,
    dyno_answers,
    evaluation_answers,
    page_answers,
    problem_answers,
    shared_answers,
)
from service.web.api.contract.build import build_schema
from service.web.api.contract.operations import paths, responses, tags
from service.web.api.json_schema import Schema, closed, hoisted, record
from service.web.api.requests.common_fields import Fields
from service.web.api.requests.requests import requests

DESCRIPTION = (
    "Judges whether the parts of a planned engine build work together at the target power: pass, warn or "
    "fail for each check, with the working, units and sources, what was assumed, and what to ask next. A "
    "pass says that nothing was found in the numbers given; it never says that an engine is safe. The same "
    "body against the same rulebook and catalog gives the same bytes, so a call may be repeated freely."
)
TOKENS = (
    "Wanted wherever the service was started with tokens. The scope `evaluate` allows the POST calls, "
    "`read` the others. The service does not limit how often a caller may ask; the gateway before it may, "
    "and then answers 429 with Retry-After."
)


def contract(rulebook: Rulebook) -> Schema:
    """The OpenAPI document for one rulebook."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Engine-build compatibility rules",
            "version": rulebook.version,
            "description": DESCRIPTION,
            "contact": {"name": "Whoever runs this service"},
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/"}],
        "tags": tags(),
        "paths": paths(rulebook),
        "components": {
            "schemas": _schemas(rulebook),
            "responses": responses(),
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer", "description": TOKENS}},
        },
        "security": [{}, {"token": []}],
    }


def _schemas(rulebook: Rulebook) -> dict[str, Schema]:
    return hoisted(
        {"Build": build_schema(rulebook)}
        | {name: _request(fields) for name, fields in requests(rulebook).items()}
        | shared_answers.schemas(rulebook)
        | evaluation_answers.schemas()
        | advice_answers.schemas()
        | backwards_answers.schemas()
        | dyno_answers.schemas()
        | page_answers.schemas(rulebook)
        | problem_answers.schemas()
    )


def _request(fields: Fields) -> Schema:
    required = {name: field.schema for name, field in fields.items() if field.required}
    optional = {name: field.schema for name, field in fields.items() if not field.required}
    return closed(record(required, optional))
