"""Does the combination work, and what gives out first?"""

from typing import Any

from service.web.tools.arguments import BUILD, CHECKS, UNITS
from service.web.tools.asking import Service
from service.web.tools.shortened import cautions_of, kept, rest, told
from service.web.tools.tool import Arguments, Tool, ToolAnswer, answered, picked

PATH = "/v1/evaluations"
MOST_CHECKS = 3


def _judge(service: Service, given: Arguments) -> ToolAnswer:
    asked = picked(given, "build", "checks", "units")
    spoken = answered(service.post(PATH, asked | {"detail": "spoken"}))
    whole = answered(service.post(PATH, asked | {"include": ["ranges", "questions", "remedies"]}))
    checks = [entry for entry in whole["checks"] if entry["verdict"] != "pass"]
    shown = checks[:MOST_CHECKS] or whole["checks"][:1]
    content: dict[str, Any] = kept(spoken, "verdict", "headline")
    content["checks"] = [kept(entry, "check", "verdict", "explanation", "text") for entry in shown]
    if len(checks) > len(shown):
        content["more_that_warn_or_fail"] = [entry["check"] for entry in checks[len(shown) :]]
    content["passed"] = len(whole["checks"]) - len(checks)
    if plan := whole.get("plan"):
        content["fix"] = kept(plan, "text", "set")
    cautions = cautions_of(shown)
    if cautions:
        content["cautions"] = cautions
    return ToolAnswer(_text(spoken, cautions), content | rest(whole))


def _text(spoken: dict[str, Any], cautions: list[str]) -> str:
    """What is read out, and the first caution: some clients show a model nothing else."""
    question = spoken.get("question", {}).get("ask")
    return told(spoken["headline"], spoken.get("say"), question, *cautions[:1])


JUDGE = Tool(
    name="judge_build",
    title="Judge a build",
    about="Judge an engine build before parts are ordered: verdict, what gives out first, what would fix it, "
    "what to ask next. Read the text to the customer. A pass means nothing was found in the numbers given.",
    properties={"build": BUILD, "checks": CHECKS, "units": UNITS},
    required=("build",),
    work=_judge,
)
