"""The short form of `make proof ONLY=resources`: each resource fails once under load, and comes back."""

import pytest

from tests.proof.resources.fault import suffer
from tests.proof.resources.faults import FAULTS, missing
from tests.proof.resources.prove import master_killed

pytestmark = pytest.mark.slow
SECONDS = 1.5


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_answers_go_on(fault):
    if reason := missing(fault):
        pytest.skip(reason)
    outcome = suffer(fault, SECONDS)
    assert outcome.trouble == [], f"{outcome}\n{outcome.log[-3000:]}"


def test_without_its_master_a_service_ends_and_can_be_started_again():
    ended, ready = master_killed()
    assert ended < 10 and ready < 30
