"""Builds the Flask app: rules and catalog loaded, examples run, routes registered. A bad one stops the start."""

from flask import Flask

from service.advice.dependence import Dependence
from service.catalog.load import load_catalog
from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.rulebook.load import load_rulebook
from service.settings import Settings
from service.web.contract import contract
from service.web.json_provider import OrjsonProvider
from service.web.problems import register_problem_handlers
from service.web.schemas import Schemas
from service.web.state import State
from service.web.views import blueprint


def create_app() -> Flask:
    """The app, configured from the environment."""
    settings = Settings.from_environment()
    rulebook = load_rulebook(settings.rules, settings.evaluator)
    evaluator = Evaluator(rulebook)
    run_examples(evaluator)
    catalog = load_catalog(settings.catalog, evaluator.reader) if settings.catalog else None
    app = Flask("engine-build-rules", static_folder=None)
    app.json = OrjsonProvider(app)
    app.url_map.strict_slashes = True
    app.extensions["engine-build-rules"] = State(rulebook, evaluator, contract(rulebook), Schemas(rulebook), catalog, Dependence(rulebook))
    app.register_blueprint(blueprint)
    register_problem_handlers(app)
    return app
