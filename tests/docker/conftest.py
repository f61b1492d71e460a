"""What the files of docker/ are held against: the settings of gunicorn and the contract's form of
a problem.
"""

import ast

import pytest
import yaml
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from tests.docker.dockerfile import ROOT


@pytest.fixture(scope="session")
def gunicorn_settings():
    """The settings of docker/gunicorn.conf.py that are plain values, read without running it."""
    found = {}
    for node in ast.parse((ROOT / "docker" / "gunicorn.conf.py").read_text()).body:
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
            found[node.targets[0].id] = node.value.value
    return found


@pytest.fixture(scope="session")
def problem_faults():
    """The complaints of the contract about a document that should be a problem."""
    contract = yaml.load((ROOT / "openapi" / "openapi.yaml").read_text(), Loader=yaml.CSafeLoader)
    registry = Registry().with_resource("contract", DRAFT202012.create_resource(contract))
    validator = Draft202012Validator({"$ref": "contract#/components/schemas/Problem"}, registry=registry)
    return lambda document: [
        f"{error.json_path}: {error.message}" for error in validator.iter_errors(document)
    ]
