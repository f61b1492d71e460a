"""Who may call: holders of a token with the scope for it, or, without tokens, callers on the same machine."""

from functools import lru_cache
from urllib.parse import urlsplit

from flask import Flask, Request, g

from service.addresses import is_local
from service.web.access.cookie import comes_from_here, token_kept
from service.web.access.tokens import Token, token_presented
from service.web.api.problems import ProblemError
from service.web.telemetry.record import Record

# They say nothing but that the process answers, what the codes of a refusal mean, and how to sign in.
OPEN = frozenset(
    {
        "v1.get_health",
        "v1.list_problems",
        "v1.get_problem",
        "pages.show_file",
        "pages.show_sign_in",
        "pages.take_token",
        "pages.sign_out",
    }
)
# What the port for probes and monitoring answers, without a token.
WATCHED = frozenset({"v1.get_health", "v1.get_readiness", "v1.get_metrics"})
# Pages judge builds when they are read, but for these.
READ_PAGES = frozenset({"pages.list_rules", "pages.show_rule", "pages.show_docs"})
PAGES = "pages."
LONGEST_TOKEN = 200
# What gateways add; any of them says that the caller is elsewhere.
FORWARDED = (
    "HTTP_FORWARDED",
    "HTTP_VIA",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_REAL_IP",
)


class AccessError(ProblemError):
    """A caller who is not let in, and what a client has to present (RFC 6750)."""

    def __init__(self, status: int, code: str, detail: str, fix: str, challenge: str):
        super().__init__(status, code, detail, fix)
        self.headers = {"WWW-Authenticate": challenge}


class Access:
    """Admits or refuses a request; which tokens there are is fixed for the life of the process."""

    def __init__(self, tokens: tuple[Token, ...], anonymous: bool, watch_port: int | None = None):
        self.tokens = tokens
        self.anonymous = anonymous
        self.watch_port = watch_port

    def admit(self, record: Record) -> None:
        """Notes the name of the caller's token, or nobody in particular; ProblemError 401, 403 or 404."""
        request = record.request
        if self.watch_port is not None and _port_of(request) == self.watch_port:
            if request.endpoint not in WATCHED:
                detail = "This port tells how the process is doing, and nothing else."
                raise ProblemError(404, "not-found", detail, "Ask at the port of the service.")
            return
        is_page = (request.endpoint or "").startswith(PAGES)
        if is_page and request.method == "POST" and not comes_from_here(request):
            detail = "This form was sent from somewhere else."
            raise ProblemError(403, "cross-site", detail, "Open the page itself and send it from there.")
        # OPTIONS tells which methods there are, and a browser asks it before it may send a token.
        if request.endpoint in OPEN or request.method == "OPTIONS" or self.anonymous:
            return
        if not self.tokens:
            _admit_local(request)
            return
        token = self._token_of(request)
        record.caller = token.name
        judges = request.method == "POST" or (is_page and request.endpoint not in READ_PAGES)
        scope = "evaluate" if judges else "read"
        if scope not in token.scopes:
            raise AccessError(
                403,
                "scope",
                f"The token is not for this: it lacks the scope `{scope}`.",
                "Use a token that has it.",
                f'Bearer error="insufficient_scope", scope="{scope}"',
            )

    def _token_of(self, request: Request) -> Token:
        scheme, _, presented = _presented(request).partition(" ")
        if scheme.lower() != "bearer" or not presented:
            raise AccessError(
                401,
                "no-token",
                "This service needs a token.",
                "Send `Authorization: Bearer ...`; whoever runs the service gives tokens out.",
                "Bearer",
            )
        token = self.known(presented)
        if token is None:
            raise AccessError(
                401,
                "unknown-token",
                "The token is not one of those in use.",
                "Ask whoever runs the service for a new one.",
                'Bearer error="invalid_token"',
            )
        return token

    def known(self, presented: str) -> Token | None:
        """The token that was presented, if it is in use."""
        is_possible = len(presented) <= LONGEST_TOKEN and presented.isascii()
        return token_presented(self.tokens, presented.strip()) if is_possible else None


def _port_of(request: Request) -> int | None:
    """The port that the request came to; what it says of itself is not asked."""
    sock = request.environ.get("gunicorn.socket")
    name = sock.getsockname() if sock is not None else None
    return int(name[1]) if isinstance(name, tuple) else None


def _presented(request: Request) -> str:
    """What the request says of itself, or what the browser of somebody who signed in keeps for him."""
    kept = token_kept(request)
    return request.headers.get("Authorization") or (f"Bearer {kept}" if kept else "")


def _admit_local(request: Request) -> None:
    """Without tokens nothing is answered beyond this machine, however the server was bound.

    What a gateway forwards came from elsewhere. Nor under a name that is not this machine's own: any site may
    have its name resolve to loopback, and the browser of somebody here then asks for it.
    """
    address, host = request.remote_addr or "", request.environ.get("HTTP_HOST")
    elsewhere = not is_local(address) or not request.environ.keys().isdisjoint(FORWARDED)
    # A browser always names the host; and a socket file has no name, nor does a browser reach it.
    if elsewhere or (address and host is not None and not _is_own_name(host)):
        raise ProblemError(
            403,
            "local-only",
            "Without tokens this service answers callers on its own machine only, "
            "under a name such as localhost.",
            "Start it with TOKENS, or with ALLOW_ANONYMOUS=1 if anyone who can reach it may use it.",
        )


@lru_cache(maxsize=64)
def _is_own_name(host: str) -> bool:
    try:
        return is_local(urlsplit(f"//{host}").hostname or "?")
    except ValueError:
        return False


def register_access(app: Flask, access: Access) -> None:
    """Every request is admitted before anything of it is read, those for pages that do not exist too."""

    app.extensions["access"] = access

    @app.before_request
    def _admit() -> None:
        access.admit(g.record)
