"""The same body gives the same bytes in any process: no clock, no random id, no order of a set."""

import json
import os
import subprocess
import sys
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.remedies import add_remedies
from service.evaluation.evaluate import Evaluator, Request
from tests.builds import builds

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 60
POST_EXAMPLES = """
import json, sys
from hashlib import sha256
from service.app import create_app

client = create_app().test_client()
requests = json.load(sys.stdin)
print(json.dumps([sha256(client.post(one.pop("path", "/v1/evaluations"), json=one).data).hexdigest() for one in requests]))
print(sha256(client.get("/openapi.json").data).hexdigest())
"""


def test_processes_with_other_hash_seeds_answer_alike():
    examples = [json.loads(path.read_text()) for path in sorted((ROOT / "openapi" / "examples").glob("*.json"))]
    evaluations = [one["request"] | {"detail": detail} for one in examples if "path" not in one for detail in ("summary", "full")]
    asked = json.dumps([*evaluations, *(one["request"] | {"path": one["path"]} for one in examples if "path" in one and "needs" not in one)])
    answers = set()
    for seed in ("1", "2"):
        environment = {name: value for name, value in os.environ.items() if name not in ("RULES", "EVALUATOR")} | {"PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", POST_EXAMPLES], input=asked, text=True, capture_output=True, cwd=ROOT, env=environment, timeout=PATIENCE)
        assert done.returncode == 0, done.stderr
        answers.add(done.stdout)
    assert len(answers) == 1


@settings(max_examples=25)
@given(build=builds(), detail=st.sampled_from(["verdict", "summary", "full"]))
def test_what_was_asked_before_changes_no_byte(client, build, detail):
    """A service that has just answered other builds, with its plans and cycles remembered, gives the bytes of a fresh one."""
    body = {"build": build, "detail": detail, "include": ["ranges", "questions", "remedies"]}
    used = client.post("/v1/evaluations", json=body).data
    fresh = Evaluator(client.application.extensions["engine-build-rules"].rulebook)
    asked = Request(build, detail, include=("ranges", "questions", "remedies"))
    answer = fresh.evaluate(asked)
    add_remedies(fresh, asked, answer)
    with client.application.app_context():
        assert client.application.json.response(answer).data == used == client.post("/v1/evaluations", json=body).data
    assert detail != "verdict" or len(used) < 600
