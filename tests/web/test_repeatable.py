"""The same body gives the same bytes in any process: no clock, no random id, no order of a set."""

import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 60
POST_EXAMPLES = """
import json, sys
from hashlib import sha256
from service.app import create_app

client = create_app().test_client()
requests = json.load(sys.stdin)
print(json.dumps([sha256(client.post("/v1/evaluations", json=one).data).hexdigest() for one in requests]))
print(sha256(client.get("/openapi.json").data).hexdigest())
"""


def test_processes_with_other_hash_seeds_answer_alike():
    examples = [json.loads(path.read_text())["request"] for path in sorted((ROOT / "openapi" / "examples").glob("*.json"))]
    asked = json.dumps([one | {"detail": detail} for one in examples for detail in ("summary", "full")])
    answers = set()
    for seed in ("1", "2"):
        environment = {name: value for name, value in os.environ.items() if name not in ("RULES", "EVALUATOR")} | {"PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", POST_EXAMPLES], input=asked, text=True, capture_output=True, cwd=ROOT, env=environment, timeout=PATIENCE)
        assert done.returncode == 0, done.stderr
        answers.add(done.stdout)
    assert len(answers) == 1
