"""What is asked of a selection."""

from dataclasses import dataclass

from service.advice.candidates import Candidate
from service.errors import SpecError, SpecFault
from service.json_object import JsonObject


@dataclass(frozen=True, slots=True)
class SelectionRequest:
    """A build, the slots to fill, and what is wanted of the set."""

    build: JsonObject
    slots: tuple[str, ...]
    objective: str = "cheapest"
    allow: str = "warn"
    budget: int | None = None
    checks: tuple[str, ...] = ()
    in_stock: bool = True
    units: str = "metric"


def refuse_empty(request: SelectionRequest, open_slots: dict[str, list[Candidate]]) -> None:
    """SpecError for slots that no part can fill."""
    faults = [
        SpecFault(
            f"/slots/{request.slots.index(slot)}",
            "no-candidate",
            f"The catalog has no part of the slot {slot} that is in stock and goes with the parts chosen.",
            "a slot with parts; see GET /v1/parts",
        )
        for slot, candidates in open_slots.items()
        if not candidates
    ]
    if faults:
        raise SpecError(faults)
