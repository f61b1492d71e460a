"""What the views share: immutable for the life of the process."""

from dataclasses import dataclass

from flask import current_app

from service.advice.dependence import Dependence
from service.catalog.catalog import Catalog
from service.evaluation.evaluate import Evaluator
from service.rulebook.rulebook import Rulebook
from service.web.api.schemas import Schemas


@dataclass(frozen=True)
class State:
    rulebook: Rulebook
    evaluator: Evaluator
    contract: dict
    schemas: Schemas
    catalog: Catalog | None
    dependence: Dependence


def state() -> State:
    """The state of the running app."""
    return current_app.extensions["engine-build-rules"]
