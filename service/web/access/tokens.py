"""The file of tokens: names, scopes and hashes; the tokens themselves are kept nowhere.

It is YAML as strict as a rule file, so it is read the same way: every value text with its line.

counter-2026:
  scopes: [evaluate, read]
  hash: sha256:5f2a...
"""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest
from pathlib import Path
from stat import S_IWOTH

from service.errors import Problem, RulebookError, TokensError
from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import read_yaml

SCOPES = ("evaluate", "read")
MOST_TOKENS = 100
_HASH = re.compile(r"sha256:[0-9a-f]{64}")
NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


@dataclass(frozen=True, slots=True)
class Token:
    """What is known of one token."""

    name: str
    scopes: frozenset[str]
    hash: bytes


def hash_of(token: str) -> str:
    """What the file keeps of a token.

    Tokens are 256 random bits, which no dictionary holds, so one round of SHA-256 is enough (NIST SP 800-63B,
    look-up secrets).
    """
    return f"sha256:{sha256(token.encode()).hexdigest()}"


def token_presented(tokens: tuple[Token, ...], presented: str) -> Token | None:
    """The token that was presented; takes the same time whichever it is, or none."""
    match, presented_hash = None, hash_of(presented).encode()
    for token in tokens:
        if compare_digest(token.hash, presented_hash):
            match = token
    return match


def read_tokens(path: Path) -> tuple[Token, ...]:
    """The tokens of a file, or TokensError: a service that cannot read who may call must not start."""
    if not path.is_file() or not os.access(path, os.R_OK):
        raise TokensError(
            [
                Problem(
                    str(path),
                    0,
                    "cannot be read as a file of tokens.",
                    "TOKENS names a file that the service may read; "
                    "`python -m service token NAME` writes its lines.",
                )
            ]
        )
    if path.stat().st_mode & S_IWOTH:
        raise TokensError(
            [
                Problem(
                    str(path),
                    0,
                    "may be written by everybody on this machine, so anybody could let himself in.",
                    f"Run `chmod o-w {path}`, and look whether a token is in it that nobody of you made.",
                )
            ]
        )
    try:
        entries = read_yaml(path, path.name)
        tokens = tuple(_token(Section(path.name, name, node, name.line)) for name, node in entries.items())
    except RulebookError as error:
        raise TokensError(error.problems) from error
    for problem in _problems_of_all(path.name, tokens):
        raise TokensError([problem])
    return tokens


def _token(entry: Section) -> Token:
    if not NAME.fullmatch(entry.name):
        entry.fail("is no name for a token.", "Use small letters, digits and hyphens, such as counter-2026.")
    scopes = entry.items("scopes")
    for scope in scopes:
        if scope not in SCOPES:
            entry.fail(
                "has an unknown scope.",
                f"The scopes are {' and '.join(SCOPES)}.",
                entry.line_of("scopes"),
            )
    if not scopes:
        entry.fail(
            "has no scope, so nothing may be done with it.",
            f"Give it {' or '.join(SCOPES)}, or delete it.",
            entry.line_of("scopes"),
        )
    # The line is named and not repeated: somebody may have put the token itself there.
    token_hash = str(entry.text("hash"))
    if not _HASH.fullmatch(token_hash):
        entry.fail(
            "has a hash of another form.",
            "It is `sha256:` and 64 digits from 0 to f, as `python -m service token NAME` writes it; "
            "the token itself does not belong here.",
            entry.line_of("hash"),
        )
    entry.finish()
    return Token(entry.name, frozenset(str(scope) for scope in scopes), token_hash.encode())


def _problems_of_all(file: str, tokens: tuple[Token, ...]) -> Iterator[Problem]:
    if not tokens:
        yield Problem(
            file,
            1,
            "holds no token, so nobody could call.",
            "`python -m service token NAME` writes the lines of one.",
        )
    if len(tokens) > MOST_TOKENS:
        yield Problem(
            file,
            1,
            f"holds more than {MOST_TOKENS} tokens; each call is compared with all of them.",
            "Delete those no longer used.",
        )
    if len({token.hash for token in tokens}) < len(tokens):
        yield Problem(
            file,
            1,
            "holds one hash twice, so nobody could say who called.",
            "Give each caller a token of its own.",
        )
