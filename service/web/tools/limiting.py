"""How far can it go, and which value reaches a figure?"""

from typing import Any

from service.web.api.json_schema import TEXT, described, list_of
from service.web.tools.arguments import CHECKS, SAME_BUILD, UNITS
from service.web.tools.asking import Service
from service.web.tools.shortened import first_question, kept, rest, told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered, picked

LIMITS, SOLUTIONS = "/v1/limits", "/v1/solutions"
HOW_FAR = (
    "How far inputs can move before something gives out: 'how much boost on 91', 'the most on my injectors'."
)
WHICH_VALUE = "The value of one input that gives a figure: 'which pulley makes 10 psi'."


def _limit(service: Service, given: Arguments) -> ToolAnswer:
    if "reach" in given:
        return _reach(service, given)
    answer = answered(service.post(LIMITS, picked(given, "build", "inputs", "checks", "units")))
    content: dict[str, Any] = kept(answer, "headline")
    content["limits"] = [kept(entry, "input", "state", "text") for entry in answer["limits"]]
    return ToolAnswer(told(answer["headline"], first_question(answer)), content | rest(answer))


def _reach(service: Service, given: Arguments) -> ToolAnswer:
    asked = picked(given, "build", "reach", "units")
    if given.get("inputs"):
        asked["find"] = given["inputs"][0]
    answer = answered(service.post(SOLUTIONS, asked))
    content: dict[str, Any] = kept(answer, "headline", "nearest")
    content["solutions"] = [
        kept(entry, "text", "set", "verdict", "remark") for entry in answer.get("solutions", ())
    ]
    return ToolAnswer(told(answer["headline"], first_question(answer)), content | rest(answer))


LIMIT = Tool(
    name="how_far",
    title="How far an input can go",
    about=f"{HOW_FAR} With `reach`: {WHICH_VALUE}",
    properties={
        "build": SAME_BUILD,
        "inputs": described(list_of(TEXT), "Such as induction.boost, target.power."),
        "reach": {
            "type": "object",
            "description": "A figure to reach; its name is a quantity of look_up.",
            "properties": {"quantity": TEXT, "value": described(TEXT, "Such as 10 psi.")},
        },
        "checks": CHECKS,
        "units": UNITS,
    },
    required=("build", "inputs"),
    work=_limit,
)
