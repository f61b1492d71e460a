"""What the views share: immutable for the life of the process."""

from dataclasses import dataclass

from flask import current_app
from marshmallow import Schema

from service.evaluation.evaluate import Evaluator
from service.rulebook.rulebook import Rulebook


@dataclass(frozen=True)
class State:
    rulebook: Rulebook
    evaluator: Evaluator
    contract: dict
    evaluation_schema: Schema
    limits_schema: Schema
    speed_curves_schema: Schema


def state() -> State:
    """The state of the running app."""
    return current_app.extensions["engine-build-rules"]
