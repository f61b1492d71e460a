"""The names of what somebody says."""

from service.web.api.json_schema import TEXT, described
from service.web.tools.asking import Service
from service.web.tools.shortened import told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered

PATH = "/v1/words"


def _look_up(service: Service, given: Arguments) -> ToolAnswer:
    answer = answered(service.get(PATH, {"q": str(given["words"])} if "words" in given else {}))
    kinds = [f"{len(entries)} {kind}" for kind, entries in answer.items() if kind not in ("more", "text")]
    return ToolAnswer(told(answer.get("text") or f"Found {', '.join(kinds)}."), answer)


LOOK_UP = Tool(
    name="look_up",
    title="Look up words",
    about="The names a build and the other tools take for what a customer says: inputs with units and "
    "question, checks, slots, fuels, quantities, catalog parts.",
    properties={"words": described(TEXT, "A few words, such as blower pulley.")},
    required=("words",),
    work=_look_up,
)
