"""The file of tokens: read strictly, compared in constant time, and never repeated."""

import hashlib

import pytest

from service.errors import TokensError
from service.web.access.tokens import hash_of, read_tokens, token_presented

ONE = "counter-2026:\n  scopes: [evaluate, read]\n  hash: {}\n"


@pytest.fixture
def written(tmp_path):
    def write(text):
        path = tmp_path / "tokens.yaml"
        path.write_text(text)
        return path

    return write


def test_a_hash_is_sha256_of_the_token():
    # FIPS 180-4 (NIST's example file), SHA-256 of "abc".
    assert hash_of("abc") == "sha256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_several_at_once(written):
    tokens = read_tokens(
        written(ONE.format(hash_of("old")) + ONE.replace("2026", "2027").format(hash_of("new")))
    )
    assert [token_presented(tokens, presented).name for presented in ("old", "new")] == [
        "counter-2026",
        "counter-2027",
    ]
    assert token_presented(tokens, "older") is None


def test_every_hash_is_compared_whichever_fits(written, monkeypatch):
    tokens = read_tokens(
        written(
            "".join(f"t{number}:\n  scopes: read\n  hash: {hash_of(str(number))}\n" for number in range(5))
        )
    )
    compared = []
    monkeypatch.setattr(
        "service.web.access.tokens.compare_digest", lambda one, other: compared.append(one) or one == other
    )
    for presented in ("0", "4", "none"):
        compared.clear()
        token_presented(tokens, presented)
        assert len(compared) == 5


WRONG = {
    "token instead of its hash": (
        ONE.format("s3cret-token-of-the-counter"),
        "tokens.yaml:3:",
        "the token itself does not belong here",
    ),
    "short hash": (ONE.format("sha256:" + "0" * 63), "tokens.yaml:3:", "64 digits"),
    "unknown scope": (
        ONE.replace("read", "admin").format(hash_of("a")),
        "tokens.yaml:2:",
        "evaluate and read",
    ),
    "no scope": (ONE.replace("[evaluate, read]", "[]").format(hash_of("a")), "tokens.yaml:2:", "no scope"),
    "no hash": ("counter:\n  scopes: read\n", "tokens.yaml:1:", "lacks `hash`"),
    "another key": (ONE.format(hash_of("a")) + "  expires: never\n", "tokens.yaml:4:", "is not a known key"),
    "name twice": (ONE.format(hash_of("a")) * 2, "tokens.yaml:4:", "twice"),
    "hash twice": (
        ONE.format(hash_of("a")) + ONE.replace("2026", "2027").format(hash_of("a")),
        "tokens.yaml:1:",
        "one hash twice",
    ),
    "a name of another form": (
        ONE.replace("counter", "Counter!").format(hash_of("a")),
        "tokens.yaml:1:",
        "small letters",
    ),
    "none": ("{}\n", "tokens.yaml:1:", "no token"),
    "nothing": ("", "tokens.yaml:1:", "mapping"),
    "too many": (
        "".join(f"t{number}:\n  scopes: read\n  hash: {hash_of(str(number))}\n" for number in range(101)),
        "tokens.yaml:1:",
        "more than 100",
    ),
}


@pytest.mark.parametrize(("text", "place", "says"), WRONG.values(), ids=WRONG)
def test_a_wrong_file_stops_the_start(written, text, place, says):
    with pytest.raises(TokensError) as raised:
        read_tokens(written(text))
    assert place in str(raised.value) and says in str(raised.value)
    assert "s3cret" not in str(raised.value)


def test_a_file_that_is_not_there(tmp_path):
    for path in (tmp_path / "none.yaml", tmp_path):
        with pytest.raises(TokensError, match="TOKENS names a file"):
            read_tokens(path)


def test_a_file_that_everybody_may_write(tmp_path):
    """Whoever can write it lets himself in at the next start."""
    path = tmp_path / "tokens"
    path.write_text(f"me:\n  scopes: [read]\n  hash: {hash_of('s3cret')}\n")
    path.chmod(0o644)
    assert len(read_tokens(path)) == 1
    path.chmod(0o646)
    with pytest.raises(TokensError, match="chmod o-w"):
        read_tokens(path)


def test_two_ways_to_one_hash():
    assert hash_of("größe") == "sha256:" + hashlib.new("sha256", "größe".encode()).hexdigest()
