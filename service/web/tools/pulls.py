"""Is the gain on the dyno real?"""

from typing import Any

from service.web.api.json_schema import TEXT, TEXTS, YES_NO, described, one_of
from service.web.tools.arguments import UNITS
from service.web.tools.asking import Service
from service.web.tools.shortened import cautions_of, kept, told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered, picked

PATH = "/v1/dyno-comparisons"
_PASSED = ("quantity", "a", "b", "claimed", "in_order", "interleaved", "units")


def _compare(service: Service, given: Arguments) -> ToolAnswer:
    answer = answered(service.post(PATH, {"quantity": "power"} | picked(given, *_PASSED)))
    content: dict[str, Any] = kept(answer, "verdict", "headline", "text", "pulls_needed")
    for name in ("difference", "smallest_seen"):
        if name in answer:
            content[name] = answer[name]["text"]
    if cautions := cautions_of([answer]):
        content["cautions"] = cautions
    text = answer.get("text") or answer["headline"]
    return ToolAnswer(told(text), content)


COMPARE = Tool(
    name="compare_pulls",
    title="Compare dyno pulls",
    about="Whether pulls with a part (b) differ from those without (a), or only scatter. Send every single "
    "pull, at least three a side.",
    properties={
        "a": described(TEXTS, "Pulls before, such as 401 whp."),
        "b": described(TEXTS, "Pulls after."),
        "quantity": one_of(("power", "torque")),
        "claimed": described(TEXT, "The gain somebody claims."),
        "in_order": described(YES_NO, "Listed in the order they were made."),
        "interleaved": described(YES_NO, "Made in turns: a, b, a, b."),
        "units": UNITS,
    },
    required=("a", "b"),
    work=_compare,
)
