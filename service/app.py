"""Builds the Flask app: rules loaded, examples run, routes registered. A bad rulebook stops the start."""

from flask import Flask

from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.rulebook.load import load_rulebook
from service.settings import Settings
from service.web.contract import contract
from service.web.json_provider import OrjsonProvider
from service.web.problems import register_problem_handlers
from service.web.schemas import evaluation_schema, limits_schema, speed_curves_schema
from service.web.state import State
from service.web.views import blueprint


def create_app() -> Flask:
    """The app, configured from the environment."""
    settings = Settings.from_environment()
    rulebook = load_rulebook(settings.rules, settings.evaluator)
    evaluator = Evaluator(rulebook)
    run_examples(evaluator)
    app = Flask("engine-build-rules", static_folder=None)
    app.json = OrjsonProvider(app)
    app.url_map.strict_slashes = True
    app.extensions["engine-build-rules"] = State(rulebook, evaluator, contract(rulebook), evaluation_schema(rulebook), limits_schema(rulebook), speed_curves_schema())
    app.register_blueprint(blueprint)
    register_problem_handlers(app)
    return app
