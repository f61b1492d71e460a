"""Settings from the environment, read once at start."""

import os
from dataclasses import dataclass
from pathlib import Path

from service.addresses import is_local
from service.errors import ServiceError
from service.extra import need_extra
from service.places import ROOT
from service.rulebook.formulas.compilers import COMPILERS


@dataclass(frozen=True)
class Settings:
    """Where rules and catalog are, which evaluator runs the rules, who may call, and what is logged."""

    rules: Path
    evaluator: str
    catalog: str | None = None
    tokens: Path | None = None
    anonymous: bool = False
    origins: tuple[str, ...] = ()
    log_specs: bool = False
    watch_port: int | None = None

    @classmethod
    def from_environment(cls) -> "Settings":
        """Every variable that README.md explains; of HOST only whether it needs tokens."""
        evaluator = os.environ.get("EVALUATOR", "compiled")
        if evaluator not in COMPILERS:
            raise ServiceError(f"EVALUATOR is {evaluator!r}; use {' or '.join(COMPILERS)}.")
        if os.environ.get("OTEL_EXPORTER_OTLP_ENDPOINT"):
            need_extra("traces", "opentelemetry")
        tokens = Path(os.environ["TOKENS"]) if os.environ.get("TOKENS") else None
        anonymous = _switch("ALLOW_ANONYMOUS")
        _refuse_unsafe(tokens, anonymous)
        return cls(
            rules_folder(),
            evaluator,
            os.environ.get("CATALOG") or None,
            tokens,
            anonymous,
            allowed_origins(),
            _switch("LOG_SPECS"),
            _watch_port(),
        )


def _refuse_unsafe(tokens: Path | None, anonymous: bool) -> None:
    if tokens and anonymous:
        raise ServiceError(
            "TOKENS and ALLOW_ANONYMOUS=1 are both set, and they contradict each other; unset one of the two."
        )
    host = os.environ.get("HOST") or "127.0.0.1"
    if not (tokens or anonymous or is_local(host)):
        raise ServiceError(
            "Other machines can reach HOST, but no caller is authorised. "
            "Set TOKENS to a file of tokens (`python -m service token NAME` makes one), "
            "or ALLOW_ANONYMOUS=1 if anyone who can reach it may use it."
        )


def allowed_origins() -> tuple[str, ...]:
    """CORS_ORIGINS: the pages that may ask from a browser."""
    entries = (entry.strip() for entry in os.environ.get("CORS_ORIGINS", "").split(","))
    origins = tuple(entry for entry in entries if entry)
    for origin in origins:
        if not origin.startswith(("http://", "https://")) or origin.count("/") != 2:
            raise ServiceError(
                f"CORS_ORIGINS holds {origin!r}; an origin is a scheme and a host such as "
                "https://counter.example, without a path, and * is not taken."
            )
    return origins


def _watch_port() -> int | None:
    """WATCH_PORT: where probes and monitoring ask without a token."""
    port = os.environ.get("WATCH_PORT")
    if not port:
        return None
    is_port = port.isascii() and port.isdigit() and 1 <= int(port) <= 65535
    if not is_port or port == (os.environ.get("PORT") or "8077"):
        raise ServiceError(f"WATCH_PORT is {port!r}; use a number from 1 to 65535 that PORT is not.")
    return int(port)


def _switch(name: str) -> bool:
    value = os.environ.get(name) or "0"
    if value not in ("0", "1"):
        raise ServiceError(f"{name} is {value!r}; use 1 or 0.")
    return value == "1"


def rules_folder() -> Path:
    """RULES, or the folder that comes with the service; commands that serve nobody need no more than this."""
    return Path(os.environ.get("RULES") or ROOT / "rules")
