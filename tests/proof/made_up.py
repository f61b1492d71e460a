"""Requests made up from the contract, in this process: those that fit it, most of which reach the computing,
and those that break it.
"""

from collections import Counter

import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.config import SchemathesisConfig

# For its hooks.
import tests.proof.readable_requests  # noqa: F401
from tests.support.places import ROOT

MODES = schemathesis.GenerationMode
LEAST_ANSWERED = 0.5


def operations(app: Flask) -> dict:
    """Every operation of the contract by its label, such as `POST /v1/limits`."""
    config = SchemathesisConfig.from_path(ROOT / "tests" / "proof" / "schemathesis.toml")
    contract = schemathesis.openapi.from_wsgi("/openapi.json", app, config=config)
    return {
        operation.label: operation for operation in (result.ok() for result in contract.get_all_operations())
    }


def run(operation, mode, cases: int) -> list[int]:
    """The statuses of so many requests, each answered as the contract promises."""
    seen = []

    @settings(
        max_examples=cases,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,),
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def answers_as_promised(case):
        # In this process nobody takes an answer out of its compression.
        response = case.call(headers={"Accept-Encoding": "identity"})
        seen.append(response.status_code)
        case.validate_response(response)

    answers_as_promised()
    return seen


def answered(app: Flask, cases: int) -> dict[str, Counter]:
    """Of each POST how many of its requests ended in which status."""
    posts = {label: one for label, one in operations(app).items() if label.startswith("POST")}
    return {label: Counter(run(one, MODES.POSITIVE, cases)) for label, one in posts.items()}
