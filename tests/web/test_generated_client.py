"""A client that a public generator makes from the contract: every call is there, every example goes out and
comes back whole, and rules that are written later do not break it.
"""

import importlib
import json
import shutil
import subprocess
import sys

import httpx
import pytest

from tests.support.expected import app_with
from tests.support.places import EXAMPLES, RULES

pytestmark = pytest.mark.slow

REQUESTS = {path.stem: json.loads(path.read_text()) for path in sorted(EXAMPLES.glob("*.json"))}


class MadeClient:
    """The package as a program would use it, over an app in this process."""

    def __init__(self, contract, package, app):
        self.contract, self.package = contract, package
        transport = httpx.WSGITransport(app=app)
        self.connection = importlib.import_module(f"{package}.client").Client(
            base_url="http://localhost", httpx_args={"transport": transport}
        )
        self.models = importlib.import_module(f"{package}.models")

    def over(self, app):
        return MadeClient(self.contract, self.package, app)

    def call(self, operation, **given):
        tag = operation["tags"][0].replace(" ", "_")
        module = importlib.import_module(f"{self.package}.api.{tag}.{operation['operationId']}")
        return module.sync_detailed(client=self.connection, **given)

    def post(self, path, request):
        operation = self.contract["paths"][path]["post"]
        reference = operation["requestBody"]["content"]["application/json"]["schema"]["$ref"]
        body = getattr(self.models, reference.rpartition("/")[2]).from_dict(request)
        assert body.to_dict() == request
        return self.call(operation, body=body)


@pytest.fixture(scope="module")
def made(contract, catalog_client, tmp_path_factory):
    folder = tmp_path_factory.mktemp("client")
    (folder / "openapi.json").write_text(json.dumps(contract))
    # Otherwise it calls a formatter that need not be there.
    (folder / "config.yaml").write_text("post_hooks: []\n")
    command = [sys.executable, "-m", "openapi_python_client", "generate", "--meta", "none"]
    files = ["--path", "openapi.json", "--config", "config.yaml", "--output-path", "made_client"]
    done = subprocess.run([*command, "--fail-on-warning", *files], cwd=folder, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    sys.path.insert(0, str(folder))
    yield MadeClient(contract, "made_client", catalog_client.application)
    sys.path.remove(str(folder))
    for name in [name for name in sys.modules if name.partition(".")[0] == "made_client"]:
        del sys.modules[name]


def read_whole(response):
    """What the client read is all that was sent."""
    return response.parsed.to_dict() == json.loads(response.content)


@pytest.mark.parametrize("name", [name for name, example in REQUESTS.items() if example["status"] == 200])
def test_an_example_goes_out_and_comes_back_whole(made, name):
    response = made.post(REQUESTS[name].get("path", "/v1/evaluations"), REQUESTS[name]["request"])
    assert response.status_code == 200 and read_whole(response)


@pytest.mark.parametrize("detail", ["spoken", "summary", "full"])
def test_every_detail_is_read(made, detail):
    more = {"detail": detail, "include": ["ranges", "questions", "remedies"]}
    response = made.post("/v1/evaluations", REQUESTS["demo"]["request"] | more)
    assert response.parsed.verdict == "fail" and read_whole(response)


def test_a_problem_is_read(made):
    response = made.post("/v1/evaluations", {"build": {"engine": {"displacement": "5"}}})
    assert response.status_code == 422 and response.parsed.errors[0].code == "unit-missing"
    assert read_whole(response)


def test_a_misspelt_word_of_a_choice_is_not_even_sent(made):
    with pytest.raises(ValueError, match="'trubo' is not a valid"):
        made.post("/v1/evaluations", {"build": {"induction": {"kind": "trubo"}}})


def test_every_page_is_read(made, contract):
    pages = {path: item["get"] for path, item in contract["paths"].items() if "get" in item}
    for path, page in pages.items():
        given = {word["name"]: word["example"] for word in page.get("parameters", ()) if word.get("required")}
        response = made.call(page, **given)
        assert response.status_code == 200, path
        assert path == "/metrics" or read_whole(response), path


def test_a_check_written_later_breaks_nothing(made, tmp_path):
    rules = tmp_path / "rules"
    shutil.copytree(RULES, rules)
    text = (rules / "checks" / "tyre-speed.yaml").read_text()
    title, renamed = "title: ", "title: House limit, "
    assert text.count(title) == 1
    (rules / "checks" / "house-tyre-speed.yaml").write_text(text.replace(title, renamed))
    later = made.over(app_with(RULES=str(rules)))
    driveline = {"top_gear_ratio": 0.68, "final_drive_ratio": 3.55, "tyre_radius": "0.33 m"}
    build = {
        "engine": {"redline": "6500 rpm"},
        "driveline": driveline | {"tyre_speed_rating": "300 km/h"},
    }
    response = later.post("/v1/evaluations", {"build": build, "detail": "full"})
    assert "house-tyre-speed" in {entry.check for entry in response.parsed.checks} and read_whole(response)
