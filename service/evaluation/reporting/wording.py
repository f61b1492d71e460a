"""What the entry of a check takes from plan, point, verdict and units only: made once, filled at each run."""

from dataclasses import dataclass

from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.sentences import Prepared
from service.json_object import JsonObject


@dataclass(frozen=True, slots=True)
class Wording:
    """What an entry takes from plan, point, verdict and units only."""

    shower: Shower | None
    """None for a check that measures nothing."""
    sentences: list[Prepared]
    eased: list[Prepared]
    second_look: list[Prepared]
    source: JsonObject
    rests_on: list[str]
    unsized: list[str]
    tells_value: bool
    """Whether the first sentence tells what was judged."""


class Wordings(dict[tuple[object, ...], Wording]):
    """The wordings of one check in one plan; filled by EntryWriter._wording alone."""
