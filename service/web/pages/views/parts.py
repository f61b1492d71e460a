"""Parts: what is fitted, what of the catalog would do, at which price and with how much in hand."""

from typing import Any

from flask import Response, request

from service.errors import SpecError
from service.json_object import JsonObject
from service.web.pages.asked import Asked, asked
from service.web.pages.build import PARTS
from service.web.pages.pictures.choices import price_against_margin
from service.web.pages.render import page

SELECTIONS = "/v1/selections"


def show_parts() -> Response:
    """The slots to choose for, and what would do there."""
    about = asked()
    catalog = about.state.catalog
    if catalog is None:
        return page("no_catalog.html", about, here="/parts")
    offered = [slot for name, slot in about.rulebook.slots.items() if name in catalog.slots]
    chosen = [slot.name for slot in offered if slot.name in request.args.getlist("slot")]
    wanted = {word: request.args[word] for word in ("objective", "allow", "budget") if request.args.get(word)}
    words: dict[str, Any] = {"offered": offered, "chosen": chosen, "wanted": wanted, "fitted": _fitted(about)}
    return page("parts.html", about, here="/parts", **words, **_choice(about, chosen, wanted))


def _fitted(about: Asked) -> list[tuple[str, str, str]]:
    """Slot, number and title of each part that the build names."""
    catalog, fitted = about.state.catalog, []
    for path, number in about.build.items():
        slot = about.rulebook.slots.get(path.removeprefix(f"{PARTS}."))
        if path.startswith(f"{PARTS}.") and slot:
            part = catalog.parts.get(str(number)) if catalog else None
            fitted.append((slot.label, str(number), part.title if part else "not in the catalog"))
    return fitted


def _choice(about: Asked, chosen: list[str], wanted: dict[str, str]) -> dict[str, Any]:
    if not chosen:
        return {"answer": None, "faults": []}
    currency = about.state.catalog.currency if about.state.catalog else ""
    budget = wanted.get("budget", "")
    words = wanted | {"budget": float(budget)} if budget.replace(".", "", 1).isdecimal() else wanted
    try:
        answer = about.answer(SELECTIONS, slots=chosen, **words)
    except SpecError as error:
        if any(fault.pointer.startswith("/build") for fault in error.faults):
            raise
        return {"answer": None, "faults": error.faults}
    pictures = {entry["slot"]: price_against_margin(entry["parts"], currency) for entry in answer["slots"]}
    return {
        "answer": answer,
        "faults": [],
        "pictures": pictures,
        "currency": currency,
        "titles": _titles(answer),
    }


def _titles(answer: JsonObject) -> dict[str, str]:
    return {part["number"]: part["title"] for entry in answer["slots"] for part in entry["parts"]}
