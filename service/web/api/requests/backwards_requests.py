"""The fields of the calls that work backwards: what to order, and the value that reaches something."""

from service.rulebook.rulebook import Rulebook
from service.web.api.requests.common_fields import ALLOWED, Fields, pins, units
from service.web.api.requests.compared_builds_field import ComparedBuilds
from service.web.api.requests.plain_fields import Build, Word, Words
from service.web.api.requests.reach_field import Reached


def backwards_requests(rulebook: Rulebook) -> dict[str, Fields]:
    """The fields of each request by the name of its schema."""
    return {
        "RequirementsRequest": {
            "build": Build(required=True),
            "slots": Words(
                tuple(rulebook.slots), least=1, about="Kinds of part to size; without it all that can be."
            ),
            "allow": Word(ALLOWED, default="pass", about="The worst verdict a part may leave."),
            "units": units(),
            **pins(),
        },
        "BuildComparisonRequest": {
            "builds": ComparedBuilds(
                required=True, about="The first is the base; the others may be changes to it."
            ),
            "units": units(),
            **pins(),
        },
        "SolutionsRequest": {
            "build": Build(required=True),
            "find": Word(
                tuple(rulebook.inputs),
                required=True,
                about="The input to find, a number; what the build says of it is set aside.",
            ),
            "reach": Reached(rulebook, required=True, about="What it has to reach."),
            "units": units(),
            **pins(),
        },
    }
