"""The same body gives the same bytes in any process: no clock, no random id, no order of a set."""

import json
import subprocess
import sys
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.remedies import add_remedies
from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from tests.support.builds import builds
from tests.support.places import EXAMPLES, ROOT
from tests.support.server import clean_environment

pytestmark = pytest.mark.slow

PATIENCE = 60
POST_EXAMPLES = (
    "from tests.web.test_repeatable import digests; from service.app import create_app; import json, sys; "
    "print(json.dumps(digests(create_app().test_client(), json.load(sys.stdin))))"
)


def digests(client, requests):
    """sha256 of the answer to each request, and of the contract."""
    answers = [
        client.post(
            one.get("path", "/v1/evaluations"),
            json={key: value for key, value in one.items() if key != "path"},
        )
        for one in requests
    ]
    return [sha256(one.data).hexdigest() for one in (*answers, client.get("/openapi.json"))]


def test_a_process_with_another_hash_seed_answers_alike(apps):
    examples = [json.loads(path.read_text()) for path in sorted((EXAMPLES).glob("*.json"))]
    evaluations = [
        one["request"] | {"detail": detail}
        for one in examples
        if "path" not in one
        for detail in ("summary", "full")
    ]
    asked = [
        *evaluations,
        *(one["request"] | {"path": one["path"]} for one in examples if "path" in one and "needs" not in one),
    ]
    environment = clean_environment(PYTHONHASHSEED="4711")
    done = subprocess.run(
        [sys.executable, "-c", POST_EXAMPLES],
        input=json.dumps(asked),
        text=True,
        capture_output=True,
        cwd=ROOT,
        env=environment,
        timeout=PATIENCE,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == digests(apps["compiled"].test_client(), asked)


@settings(max_examples=25)
@given(build=builds(), detail=st.sampled_from(["spoken", "summary", "full"]))
def test_what_was_asked_before_changes_no_byte(client, build, detail):
    """A service that has just answered other builds, with its plans and cycles remembered, gives the bytes of
    a fresh one.
    """
    body = {"build": build, "detail": detail, "include": ["ranges", "questions", "remedies"]}
    used = client.post("/v1/evaluations", json=body).data
    fresh = Evaluator(client.application.extensions["engine-build-rules"].rulebook)
    asked = Request(build, detail, include=("ranges", "questions", "remedies"))
    answer = fresh.evaluate(asked)
    add_remedies(fresh, asked, answer)
    with client.application.app_context():
        assert (
            client.application.json.response(answer).data
            == used
            == client.post("/v1/evaluations", json=body).data
        )
    assert detail != "spoken" or len(used) < 600
