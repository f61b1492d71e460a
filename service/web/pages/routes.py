"""Every page, its address, and what answers a refusal there."""

from collections.abc import Callable
from typing import Any

from flask import Blueprint

from service.errors import SpecError, TooMuchWorkError
from service.web.api.problems import ProblemError
from service.web.pages.refusals import faults_page, problem_page, too_much_page
from service.web.pages.views import (
    answer,
    compare,
    docs,
    dyno,
    files,
    have,
    needs,
    parts,
    power,
    rules,
    sheet,
    sign_in,
)

_PAGES: tuple[tuple[str, Callable[..., Any]], ...] = (
    ("/", have.show_form),
    ("/answer", answer.show_answer),
    ("/working", answer.show_working),
    ("/needs", needs.show_needs),
    ("/power", power.show_power),
    ("/parts", parts.show_parts),
    ("/compare", compare.show_comparison),
    ("/dyno", dyno.show_dyno),
    ("/sheet", sheet.show_sheet),
    ("/rules", rules.list_rules),
    ("/rules/<id>", rules.show_rule),
    ("/docs", docs.show_docs),
    ("/sign-in", sign_in.show_sign_in),
    ("/static/<path:name>", files.show_file),
)
_FORMS: tuple[tuple[str, Callable[..., Any]], ...] = (
    ("/", have.take_form),
    ("/compare", compare.take_second),
    ("/dyno", dyno.take_pulls),
    ("/sign-in", sign_in.take_token),
    ("/sign-out", sign_in.sign_out),
)

pages = Blueprint("pages", __name__)
for _methods, _views in (("GET", _PAGES), ("POST", _FORMS)):
    for _path, _view in _views:
        pages.add_url_rule(_path, _view.__name__, _view, methods=[_methods])
pages.register_error_handler(ProblemError, problem_page)
pages.register_error_handler(SpecError, faults_page)
pages.register_error_handler(TooMuchWorkError, too_much_page)
