"""The tools over the service in this process, with the fixed catalog."""

import pytest

from service.web.tools.all_tools import BY_NAME
from service.web.tools.asking import InProcess
from tests.support.expected import app_with
from tests.support.places import CATALOG


@pytest.fixture(scope="package")
def service():
    return InProcess(app_with(CATALOG=str(CATALOG)))


@pytest.fixture(scope="package")
def answer(service):
    return lambda tool, **given: BY_NAME[tool].answer(service, given)
