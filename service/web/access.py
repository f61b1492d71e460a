"""Who may call: holders of a token with the scope for it, or, where there are no tokens, callers on the same machine."""

from flask import Flask, Request, g

from service.settings import is_local
from service.web.problems import ProblemError
from service.web.tokens import Token, find

# Says nothing but that the process answers.
OPEN = "v1.get_health"
LONGEST_TOKEN = 200


class Access:
    """Admits or refuses a request; which tokens there are is fixed for the life of the process."""

    def __init__(self, tokens: tuple[Token, ...], anonymous: bool):
        self.tokens = tokens
        self.anonymous = anonymous

    def admit(self, request: Request) -> str | None:
        """The name of the caller's token, None for nobody in particular; ProblemError 401 or 403."""
        # OPTIONS tells which methods there are, and a browser asks it before it may send a token.
        if request.endpoint == OPEN or request.method == "OPTIONS" or self.anonymous:
            return None
        if not self.tokens:
            self._local(request)
            return None
        scheme, _, presented = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != "bearer" or not presented:
            raise ProblemError(401, "no-token", "This service wants a token.", "Send `Authorization: Bearer ...`.", headers={"WWW-Authenticate": "Bearer"})
        token = find(self.tokens, presented.strip()) if len(presented) <= LONGEST_TOKEN and presented.isascii() else None
        if token is None:
            raise ProblemError(401, "unknown-token", "The token is not one of those in use.", "Ask whoever runs the service for a new one.", headers={"WWW-Authenticate": 'Bearer error="invalid_token"'})
        scope = "evaluate" if request.method == "POST" else "read"
        if scope not in token.scopes:
            raise ProblemError(403, "scope", f"The token is not for this: it lacks the scope `{scope}`.", "Use a token that has it.", headers={"WWW-Authenticate": f'Bearer error="insufficient_scope", scope="{scope}"'})
        return token.name

    def _local(self, request: Request) -> None:
        """Without tokens nothing is answered beyond this machine, however the server was bound; what a gateway forwards came from elsewhere."""
        if not is_local(request.remote_addr or "") or "X-Forwarded-For" in request.headers or "Forwarded" in request.headers:
            raise ProblemError(403, "local-only", "Without tokens this service answers callers on its own machine only.", "Start it with TOKENS, or with ALLOW_ANONYMOUS=1 if everybody who reaches it may use it.")


def register_access(app: Flask, access: Access) -> None:
    """Every request is admitted before anything of it is read, those for pages that do not exist too."""

    @app.before_request
    def _admit() -> None:
        g.record.caller = access.admit(g.record.request)
