"""What has to be ordered for a target?"""

from typing import Any

from service.web.tools.arguments import SAME_BUILD, SLOTS, UNITS
from service.web.tools.asking import Service
from service.web.tools.shortened import first_question, kept, rest, told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered, picked

PATH = "/v1/requirements"
MOST_SIZES = 6
MOST_NUMBERS = 2


def _size(service: Service, given: Arguments) -> ToolAnswer:
    answer = answered(service.post(PATH, picked(given, "build", "slots", "units")))
    lacking = [entry for entry in answer["requirements"] if entry.get("verdict") != "pass"]
    enough = [entry for entry in answer["requirements"] if entry.get("verdict") == "pass"]
    shown = [*lacking, *enough][:MOST_SIZES]
    content: dict[str, Any] = kept(answer, "headline")
    content["needs"] = [_line(entry) for entry in shown]
    if more := dict.fromkeys(entry["slot"] for entry in [*lacking, *enough][MOST_SIZES:]):
        content["more"] = list(more)
    return ToolAnswer(told(answer["headline"], first_question(answer)), content | rest(answer))


def _line(entry: dict[str, Any]) -> dict[str, Any]:
    line = kept(entry, "slot", "text")
    numbers = [part["number"] for part in entry.get("parts", ())[:MOST_NUMBERS]]
    return line | ({"parts": numbers} if numbers else {})


SIZE = Tool(
    name="what_is_needed",
    title="What a target needs",
    about="Size the parts for a power or torque target: what must be bought, how large, what the catalog "
    "has. Call it for 'what injectors for 600 hp'. `more` names slots to ask for by name.",
    properties={"build": SAME_BUILD, "slots": SLOTS, "units": UNITS},
    required=("build",),
    work=_size,
)
