"""Writes the examples of the contract anew: what the service answers now, long lists cut short.

`make contract` runs it. That the examples fit is held by test_contract_examples.py.
"""

import json
import re

from tests.support.expected import app_with
from tests.support.places import CATALOG, EXAMPLES, ROOT

FILE = ROOT / "service" / "web" / "api" / "contract" / "examples.json"
REQUESTS = {
    "create_evaluation": "demo",
    "create_evaluation_batch": "batch",
    "create_sweep": "sweep",
    "create_selection": "selection",
    "create_limits": "limits-boost",
    "create_requirements": "requirements",
    "create_build_comparison": "build-comparison",
    "create_solutions": "solutions-pulley",
    "create_dyno_correction": "dyno-correction",
    "create_dyno_comparison": "dyno-comparison",
    "create_calibration": "calibration",
    "create_speed_curves": "speed-curves",
}
PROBLEM = {"build": {"engine": {"displacement": "5.0"}, "induction": {"kind": "trubo"}}}
# The contract would hold itself.
WITHOUT = {"get_contract", "get_compact_contract"}
METRICS = 'engine_build_rules_requests_total{operation="create_evaluation",status="200"} 12.0\n'
MOST_OBJECTS, MOST_VALUES = 2, 3
# They change with every rule, and say nothing to a reader.
DIGESTS = re.compile(r"(sha256:)?[0-9a-f]{16,64}")


def cut(answer):
    """An answer of a length that can be read."""
    if isinstance(answer, dict):
        return {key: cut(value) for key, value in answer.items()}
    if isinstance(answer, list):
        most = MOST_OBJECTS if answer and isinstance(answer[0], dict) else MOST_VALUES
        return [cut(value) for value in answer[:most]]
    if isinstance(answer, str) and DIGESTS.fullmatch(answer):
        return f"{answer.partition(':')[0]}:{'0' * 64}" if ":" in answer else "0" * len(answer)
    return answer


def examples():
    """By operation: the request of a POST, and the answer."""
    client = app_with(CATALOG=str(CATALOG)).test_client()
    contract = client.get("/openapi.json").get_json()
    told = {"problem": {"answer": client.post("/v1/evaluations", json=PROBLEM).get_json()}}
    for path, item in contract["paths"].items():
        for operation in item.values():
            name = operation["operationId"]
            if name in REQUESTS:
                request = json.loads((EXAMPLES / f"{REQUESTS[name]}.json").read_text())["request"]
                told[name] = {"request": request, "answer": cut(client.post(path, json=request).get_json())}
            elif name not in WITHOUT:
                told[name] = {"answer": cut(page(client, path, operation))}
    return told


def page(client, path, operation):
    """What is at a path, for the names that the contract itself gives as examples."""
    for word in operation.get("parameters", ()):
        if word["in"] == "path":
            path = path.replace(f"{{{word['name']}}}", word["example"])
        elif "example" in word:
            path += f"?{word['name']}={word['example']}"
    response = client.get(path)
    assert response.status_code == 200, path
    return response.get_json() if response.is_json else METRICS


if __name__ == "__main__":
    FILE.write_text(json.dumps(examples(), indent=1, ensure_ascii=False) + "\n")
