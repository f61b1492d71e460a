"""What stands on a sheet of paper: of the build, of its first start and dyno, and of the result."""

from typing import Any, NamedTuple

from markupsafe import Markup

from service.json_object import JsonObject
from service.web.pages.asked import Asked
from service.web.pages.build import flat
from service.web.pages.fields import Form
from service.web.pages.pictures.bar import verdict_bar
from service.web.pages.pictures.two_sets import Spread, planned_and_measured
from service.web.pages.pull_lines import pulls_of
from service.web.pages.sheet_size import setting_of

EVALUATIONS, REQUIREMENTS, CALIBRATIONS = "/v1/evaluations", "/v1/requirements", "/v1/calibrations"
# One side of paper holds no more; the rest is counted.
WEAKEST, ORDERS, ASSUMED = 3, 7, 6
# Bolts and studs have torques; engines and clutches have them too.
_TORQUED = ("bolt_torque", "stud_torque", "nut_torque")
_MOMENTS = ("start", "dyno")


class Kind(NamedTuple):
    """A kind of sheet: its word in an address, its title and its template."""

    word: str
    title: str
    template: str


class Moment(NamedTuple):
    """What is watched at a moment, and what to be careful of."""

    label: str
    watch: list[JsonObject]
    cautions: list[str]


KINDS = {
    kind.word: kind
    for kind in (
        Kind("build", "Build sheet", "sheet_build.html"),
        Kind("start", "First start and dyno", "sheet_start.html"),
        Kind("result", "Result against the plan", "sheet_result.html"),
    )
}


def content_of(kind: Kind, about: Asked, pulls: str = "") -> dict[str, Any]:
    """What the template of a sheet shows."""
    answer = about.answer(EVALUATIONS, detail="full", moment="order")
    common = {"kind": kind, "kinds": KINDS.values(), "answer": answer, "given": _given(about, answer)}
    if kind.word == "start":
        return common | _start(about)
    if kind.word == "result":
        return common | _result(about, answer, pulls)
    return common | _build(about, answer)


def _start(about: Asked) -> dict[str, Any]:
    moments = [_moment(about, moment) for moment in _MOMENTS]
    cautions = list(dict.fromkeys(text for moment in moments for text in moment.cautions))
    return {"moments": moments, "torqued": _torqued(about), "cautions": cautions}


def _build(about: Asked, answer: JsonObject) -> dict[str, Any]:
    weakest = [entry for entry in answer["checks"] if "value" in entry][:WEAKEST]
    listed = about.answer(REQUIREMENTS)["requirements"]
    orders = [entry for entry in listed if entry.get("verdict") != "pass"]
    orders.sort(key=lambda entry: entry.get("verdict") not in ("fail", "warn"))
    bearing = about.answer(EVALUATIONS)["assumptions"]
    shown = [*bearing, *(entry for entry in answer["assumptions"] if entry["input"] not in _inputs(bearing))]
    trouble = [entry for entry in answer["checks"] if entry["verdict"] != "pass"]
    content = {
        "given": _given(about, answer),
        "weakest": [(entry, verdict_bar(entry)) for entry in weakest],
        "trouble": trouble,
        "orders": orders[:ORDERS],
        "more_orders": len(orders[ORDERS:]),
        "assumed": shown[:ASSUMED],
        "more_assumed": len(shown[ASSUMED:]) + answer.get("more_assumptions", 0),
        "moments": [_moment(about, moment) for moment in _MOMENTS],
        "torqued": _torqued(about),
        "cautions": _cautions(trouble),
    }
    return content | {"size": setting_of(content, about.units)}


def _inputs(entries: list[JsonObject]) -> set[str]:
    return {entry["input"] for entry in entries}


def _given(about: Asked, answer: JsonObject) -> list[tuple[str, str]]:
    """What the customer said, as it was understood."""
    form, read = Form(about), {entry["input"]: entry["text"] for entry in answer.get("understood", ())}
    titles = {part["number"]: part["title"] for part in answer.get("parts", ())}
    given = []
    for field in (*form.usual, *form.given):
        if field.value:
            given.append((field.label, read.get(field.path) or titles.get(field.value, field.said)))
    return given


def _moment(about: Asked, moment: str) -> Moment:
    answer = about.answer(EVALUATIONS, moment=moment, include=["ranges"])
    return Moment(about.rulebook.moments[moment].label, answer.get("watch", []), _cautions(answer["checks"]))


def _cautions(checks: list[JsonObject]) -> list[str]:
    """Each once, the worst check's first."""
    return list(dict.fromkeys(text for entry in checks for text in entry.get("cautions", ())))


def _torqued(about: Asked) -> list[tuple[str, str]]:
    """Torques of bolts and studs that the build names."""
    fields = [field for field in Form(about).given if field.path.endswith(_TORQUED)]
    return [(field.label, field.value) for field in fields]


def _result(about: Asked, answer: JsonObject, pulls: str) -> dict[str, Any]:
    measured = pulls_of(pulls)
    if not measured:
        return {"result": None, "picture": None, "changes": []}
    result = about.answer(CALIBRATIONS, pulls=measured)
    before = about.build
    after = flat(about.state.rulebook, result.get("spec", {}))
    changes = [
        (about.rulebook.inputs[path].label, str(value))
        for path, value in after.items()
        if before.get(path) != value and isinstance(value, str) and path in about.rulebook.inputs
    ]
    return {"result": result, "picture": _against_plan(answer, result), "changes": changes}


def _against_plan(answer: JsonObject, result: JsonObject) -> Markup | None:
    """What was expected, and what the pulls imply, in the unit of the pulls."""
    unit = result["pulls"]["mean"]["unit"]
    shown = [
        Spread(
            f"Planned, {entry['label'].lower()}",
            entry["text"],
            entry["value"],
            entry["range"]["low"],
            entry["range"]["high"],
        )
        for entry in answer["figures"]
        if entry["unit"] == unit and "range" in entry
    ]
    shown += [
        Spread(
            f"By the pulls, {entry['label'].lower()}",
            entry["value"]["text"],
            entry["value"]["value"],
            entry["between"]["low"],
            entry["between"]["high"],
        )
        for entry in result["found"]
        if entry["value"]["unit"] == unit and entry.get("between")
    ]
    return planned_and_measured(shown, unit)
