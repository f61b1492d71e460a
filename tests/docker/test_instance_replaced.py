"""A short slice of tests/proof/faults/instance_replaced.py: a small app behind nginx and the settings that
gunicorn ships with, one instance replaced after the other, under load.
"""

import pytest

from tests.docker.gateway import NGINX
from tests.docker.small_app import ANSWER
from tests.proof.faults.instance_replaced import holds, replaced_in_turn
from tests.proof.load import Question
from tests.support.server import Server

pytestmark = pytest.mark.slow


@pytest.mark.skipif(NGINX is None, reason="nginx is not on this machine")
def test_no_client_notices_that_the_instances_are_replaced(tmp_path):
    servers = [
        Server(tmp_path, target="tests.docker.small_app:app", ready=("/", 200), workers=1) for _ in range(2)
    ]
    tally, _ = replaced_in_turn(servers, [Question(b"{}", ((200, ANSWER),))], seconds=1)
    assert holds(tally), (tally.samples, str(tally))
