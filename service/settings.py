"""Settings from the environment, read once at start."""

import os
from dataclasses import dataclass
from pathlib import Path

from service.errors import ServiceError
from service.rulebook.evaluators import EVALUATORS


@dataclass(frozen=True)
class Settings:
    """Where the rules and the catalog are and which evaluator runs them."""

    rules: Path
    evaluator: str
    catalog: str | None = None

    @classmethod
    def from_environment(cls) -> "Settings":
        """RULES: the rules folder, default the one beside service/. EVALUATOR: compiled or reference. CATALOG: a folder or a database URL; none by default."""
        rules = Path(os.environ.get("RULES") or Path(__file__).resolve().parent.parent / "rules")
        evaluator = os.environ.get("EVALUATOR", "compiled")
        if evaluator not in EVALUATORS:
            raise ServiceError(f"EVALUATOR is {evaluator!r}; use {' or '.join(EVALUATORS)}.")
        return cls(rules, evaluator, os.environ.get("CATALOG") or None)
