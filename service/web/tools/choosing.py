"""Which parts of the catalog would do?"""

from typing import Any

from service.advice.choice import OBJECTIVES
from service.web.api.json_schema import NUMBER, described, one_of
from service.web.api.requests.common_fields import ALLOWED
from service.web.tools.arguments import CHECKS, SAME_BUILD, SLOTS, UNITS
from service.web.tools.asking import Service
from service.web.tools.shortened import first_question, kept, rest, told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered, picked

PATH = "/v1/selections"
MOST_PARTS = 3
_PASSED = ("build", "slots", "objective", "allow", "budget", "checks", "units")


def _choose(service: Service, given: Arguments) -> ToolAnswer:
    answer = answered(service.post(PATH, picked(given, *_PASSED)))
    content: dict[str, Any] = kept(answer, "headline")
    content["sets"] = [kept(entry, "parts", "price_text", "text", "verdict") for entry in answer["sets"]]
    if "conflict" in answer:
        content["conflict"] = answer["conflict"]["text"]
    if len(answer["slots"]) == 1:
        content["parts"] = _would_do(answer["slots"][0]["parts"], answer["allowed"])
    return ToolAnswer(told(answer["headline"], first_question(answer)), content | rest(answer))


def _would_do(parts: list[dict[str, Any]], allowed: str) -> list[dict[str, Any]]:
    """The cheapest of the verdict that is allowed, each with its sentence; where none is, the first."""
    fitting = [part for part in parts if part["verdict"] in ("pass", allowed)] or parts
    return [
        kept(part, "number", "title", "price", "stock", "verdict", "text") for part in fitting[:MOST_PARTS]
    ]


CHOOSE = Tool(
    name="choose_parts",
    title="Choose parts",
    about="Choose catalog parts for open slots: the best sets with price and sentence. Needs a catalog. "
    "Whether a part fits the car is for the counter to say.",
    properties={
        "build": SAME_BUILD,
        "slots": SLOTS,
        "objective": one_of(OBJECTIVES),
        "allow": described(one_of(ALLOWED), "Worst verdict allowed."),
        "budget": described(NUMBER, "In the catalog's currency."),
        "checks": CHECKS,
        "units": UNITS,
    },
    required=("build", "slots"),
    work=_choose,
)
