"""Builds the Flask app: rules, catalog and tokens loaded, new rules' examples run, routes registered.

A bad one stops the start.
"""

from collections.abc import Callable
from typing import Any

from flask import Flask

from service.catalog.load import load_catalog
from service.evaluation.evaluate import Evaluator
from service.evaluation.examples import run_examples
from service.evaluation.passed import examples_passed, keep_passed
from service.rulebook.load import load_rulebook
from service.settings import Settings
from service.web.access.access import Access, register_access
from service.web.access.compression import register_compression
from service.web.access.headers import register_headers
from service.web.access.tokens import read_tokens
from service.web.api.contract.document import contract
from service.web.api.json_provider import OrjsonProvider
from service.web.api.problems import register_problem_handlers
from service.web.api.requests.load import RequestLoader
from service.web.api.requests.queries import QueryLoader
from service.web.api.state import State
from service.web.api.views.routes import blueprint
from service.web.api.word_search import WordSearch
from service.web.pages.routes import pages
from service.web.telemetry.recording import register_recording


class _App(Flask):
    """All views are plain functions; Flask would ask each of them anew with every request."""

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        return func


def create_app(write: Callable[[dict[str, Any]], None] | None = None) -> Flask:
    """The app, configured from the environment; log lines go to `write`, and nowhere without it."""
    settings = Settings.from_environment()
    tokens = read_tokens(settings.tokens) if settings.tokens else ()
    access = Access(tokens, settings.anonymous, settings.watch_port)
    rulebook = load_rulebook(settings.rules, settings.evaluator)
    evaluator = Evaluator(rulebook)
    if not examples_passed(settings.rules, rulebook):
        run_examples(evaluator)
        keep_passed(settings.rules, [rulebook])
    catalog = load_catalog(settings.catalog, evaluator.reader) if settings.catalog else None
    app = _App("engine-build-rules", static_folder=None)
    app.json = OrjsonProvider(app)
    app.url_map.strict_slashes = True
    requests = RequestLoader(rulebook, evaluator.reader)
    state = State(
        rulebook=rulebook,
        evaluator=evaluator,
        contract=contract(rulebook),
        requests=requests,
        queries=QueryLoader(rulebook),
        catalog=catalog,
        words=WordSearch(rulebook, catalog),
    )
    app.extensions["engine-build-rules"] = state
    # What is registered first sees the request first and the answer last.
    register_recording(app, state, write, settings.log_specs)
    register_headers(app, settings.origins)
    register_compression(app)
    register_access(app, access)
    app.register_blueprint(blueprint)
    app.register_blueprint(pages)
    register_problem_handlers(app)
    return app
