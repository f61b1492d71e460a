"""Random requests that fit the contract, and random ones that do not: status, headers and bodies are those
the contract promises.
"""

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.config import SchemathesisConfig

from tests.support.places import ROOT

pytestmark = pytest.mark.slow

MODES = schemathesis.GenerationMode
# make proof runs tens of thousands.
CASES_EACH = 5


@pytest.fixture(scope="module")
def operations(catalog_client):
    config = SchemathesisConfig.from_path(ROOT / "tests" / "proof" / "schemathesis.toml")
    contract = schemathesis.openapi.from_wsgi("/openapi.json", catalog_client.application, config=config)
    return {
        operation.label: operation for operation in (result.ok() for result in contract.get_all_operations())
    }


def run(operation, mode):
    seen = []

    @settings(
        max_examples=CASES_EACH,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,),
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def answers_as_promised(case):
        response = case.call()
        seen.append(response.status_code)
        case.validate_response(response)

    answers_as_promised()
    return seen


def test_every_operation_answers_as_promised(operations):
    for label, operation in operations.items():
        assert max(run(operation, MODES.POSITIVE)) < 500, label


def test_what_breaks_the_contract_is_refused(operations):
    posts = [operation for label, operation in operations.items() if label.startswith("POST")]
    assert len(posts) == 9
    for operation in posts:
        assert min(run(operation, MODES.NEGATIVE)) >= 400, operation.label
