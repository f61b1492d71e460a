"""Make a token: print it once, and the lines that the file of tokens keeps of it."""

import secrets

from service.errors import ServiceError
from service.web.access.tokens import NAME, SCOPES, hash_of


def make_token(name: str, scopes: str) -> int:
    """0 once printed; nothing is stored, so whoever reads this line keeps the token."""
    if not NAME.fullmatch(name):
        raise ServiceError(
            "That name won't do for a token; use small letters, digits and hyphens, such as counter-2026."
        )
    wanted = [scope.strip() for scope in scopes.split(",")]
    for scope in wanted:
        if scope not in SCOPES:
            raise ServiceError(f"There is no scope {scope!r}; the scopes are {' and '.join(SCOPES)}.")
    token = secrets.token_urlsafe(32)
    print(
        f"The token, shown this once:\n\n  {token}\n\n"
        "Add to the file that TOKENS names, then `python -m service roll PIDFILE` or restart:\n"
    )
    print(f"{name}:\n  scopes: [{', '.join(wanted)}]\n  hash: {hash_of(token)}")
    return 0
