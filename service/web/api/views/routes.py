"""All calls, in the order the contract shows them."""

from flask import Blueprint

from service.web.api.views import (
    advice,
    backwards,
    catalog,
    dyno,
    evaluations,
    problems,
    process,
    rulebook,
    words,
)
from service.web.api.views.calls import Call

_GROUPS = (
    evaluations.CALLS,
    advice.CHOICES,
    backwards.CALLS,
    dyno.CALLS,
    advice.CURVES,
    words.CALLS,
    rulebook.CALLS,
    catalog.CALLS,
    problems.CALLS,
    process.CALLS,
)
CALLS: tuple[Call, ...] = tuple(call for group in _GROUPS for call in group.calls)
blueprint = Blueprint("v1", __name__)
for _group in _GROUPS:
    _group.register(blueprint)
