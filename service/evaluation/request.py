"""What is asked of an evaluation."""

from dataclasses import dataclass
from hashlib import sha256

import orjson

from service.json_object import JsonObject


@dataclass(frozen=True, slots=True)
class Request:
    """The build as the client wrote it, how much of the answer is wanted, and which catalog its parts came
    from.
    """

    build: JsonObject
    detail: str = "summary"
    units: str = "metric"
    checks: tuple[str, ...] = ()
    require: tuple[str, ...] = ()
    include: tuple[str, ...] = ("ranges", "questions")
    moment: str | None = None
    catalog: str | None = None

    @property
    def full(self) -> bool:
        return self.detail == "full"

    def digest(self, rulebook_digest: str) -> str:
        """Identifies the evaluation: the request in canonical form, the rulebook and the catalog."""
        asked = [
            self.build,
            self.detail,
            self.units,
            self.checks,
            self.require,
            self.include,
            self.moment,
            rulebook_digest,
            self.catalog,
        ]
        return f"sha256:{sha256(orjson.dumps(asked, option=orjson.OPT_SORT_KEYS)).hexdigest()}"
