"""The compressor map of a build, drawn with the points that its working names."""

from markupsafe import Markup

from service.evaluation.reporting.display import Display
from service.json_object import JsonObject
from service.rulebook.names import identifier
from service.web.pages.asked import Asked
from service.web.pages.build import for_request
from service.web.pages.pictures.compressor_map import Map, RunningPoint, map_with_points

CHECK, INPUT = "compressor-match", "induction.compressor_map"
_FLOW, _RATIO = "(corrected_flow)", "(compressor_pressure_ratio)"


def map_picture(about: Asked, answer: JsonObject) -> dict[str, Markup]:
    """By the id of its check; empty where the build has no map or it was not judged."""
    entry = next((entry for entry in answer["checks"] if entry["check"] == CHECK), None)
    if entry is None or INPUT not in about.build or "working" not in entry:
        return {}
    steps = {step["name"]: step for step in entry["working"]}
    running = [
        RunningPoint(
            step["label"].rpartition(", ")[2],
            step["value"],
            steps[name.removesuffix(_FLOW) + _RATIO]["value"],
        )
        for name, step in steps.items()
        if name.endswith(_FLOW) and name.removesuffix(_FLOW) + _RATIO in steps
    ]
    flow = next((step["unit"] for name, step in steps.items() if name.endswith(_FLOW)), None)
    if flow is None:
        return {}
    return {CHECK: map_with_points(_map(about, flow), running)}


def _map(about: Asked, unit: str) -> Map:
    """The map as the API reads it, in the unit of the working."""
    known = about.state.requests.load("EvaluationRequest", {"build": for_request(about.build)}).fields[
        "build"
    ]
    build = {key: value for key, value in known.items() if key != "parts"}
    lists = about.state.evaluator.reader.read(build).curves[identifier(INPUT)]
    assert isinstance(lists, dict)  # it is a map
    flow = Display(about.state.rulebook).shower("mass_flow", about.units, unit).number
    surge, choke = ([(flow(at), ratio) for at, ratio in lists.get(name, ())] for name in ("surge", "choke"))
    return Map(surge, choke, [(flow(at), ratio, share) for at, ratio, share in lists["points"]], unit)
