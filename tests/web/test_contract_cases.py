"""Random requests that fit the contract, and random ones that do not: status, headers and bodies are those
the contract promises.
"""

import pytest

from tests.proof import made_up
from tests.proof.made_up import LEAST_ANSWERED, MODES

pytestmark = pytest.mark.slow

# make proof runs tens of thousands.
CASES_EACH = 5
POSTS_EACH = 12


@pytest.fixture(scope="module")
def operations(catalog_client):
    return made_up.operations(catalog_client.application)


def test_every_operation_answers_as_promised(operations):
    for label, operation in operations.items():
        assert max(made_up.run(operation, MODES.POSITIVE, CASES_EACH)) < 500, label


def test_most_requests_reach_the_computing(catalog_client):
    statuses = made_up.answered(catalog_client.application, POSTS_EACH)
    assert len(statuses) >= 9
    for label, counts in statuses.items():
        assert counts[200] >= LEAST_ANSWERED * counts.total(), (label, counts)


def test_what_breaks_the_contract_is_refused(operations):
    posts = [operation for label, operation in operations.items() if label.startswith("POST")]
    assert len(posts) >= 9
    for operation in posts:
        assert min(made_up.run(operation, MODES.NEGATIVE, CASES_EACH)) >= 400, operation.label
