"""The service is open to other machines only where somebody said so."""

import pytest

from service.addresses import is_local
from service.errors import ServiceError
from service.settings import Settings
from tests.support.server import SETTINGS


@pytest.fixture
def read(monkeypatch):
    """The settings of an environment with these variables and no others."""

    def settings(**given):
        for name in SETTINGS:
            monkeypatch.delenv(name, raising=False)
        for name, value in given.items():
            monkeypatch.setenv(name, value)
        return Settings.from_environment()

    return settings


@pytest.mark.parametrize(
    "host",
    ["127.0.0.1", "127.8.8.8", "::1", "[::1]", "localhost", "::ffff:127.0.0.1", "unix:/run/service.socket"],
)
def test_addresses_of_the_own_machine_need_no_token(read, host):
    assert is_local(host)
    assert not read(HOST=host).anonymous


@pytest.mark.parametrize(
    "host",
    [
        "0.0.0.0",
        "::",
        "10.0.0.5",
        "192.168.1.20",
        "203.0.113.7",
        "::ffff:10.0.0.5",
        "counter.example",
        "127.0.0.1.example",
        "1270.0.0.1",
    ],
)
def test_any_other_address_needs_tokens_or_a_word(read, host):
    with pytest.raises(ServiceError, match="TOKENS.*ALLOW_ANONYMOUS=1"):
        read(HOST=host)
    assert read(HOST=host, ALLOW_ANONYMOUS="1").anonymous
    assert read(HOST=host, TOKENS="tokens.yaml").tokens.name == "tokens.yaml"


@pytest.mark.parametrize("value", ["true", "yes", "2", "01", " 1"])
def test_a_switch_is_1_or_0(read, value):
    for name in ("ALLOW_ANONYMOUS", "LOG_SPECS"):
        with pytest.raises(ServiceError, match=f"{name} .* use 1 or 0"):
            read(**{name: value})


def test_tokens_and_anonymous_contradict_each_other(read):
    with pytest.raises(ServiceError, match="contradict"):
        read(TOKENS="tokens.yaml", ALLOW_ANONYMOUS="1")


def test_empty_is_unset(read):
    settings = read(HOST="", TOKENS="", ALLOW_ANONYMOUS="", CORS_ORIGINS="", LOG_SPECS="", CATALOG="")
    assert (settings.tokens, settings.anonymous, settings.origins, settings.log_specs, settings.catalog) == (
        None,
        False,
        (),
        False,
        None,
    )


@pytest.mark.parametrize(
    "origins", ["*", "counter.example", "https://counter.example/", "https://counter.example/shop", "null"]
)
def test_an_origin_is_a_scheme_and_a_host(read, origins):
    with pytest.raises(ServiceError, match="CORS_ORIGINS"):
        read(CORS_ORIGINS=origins)


def test_origins(read):
    assert read(CORS_ORIGINS="https://counter.example, http://127.0.0.1:3000").origins == (
        "https://counter.example",
        "http://127.0.0.1:3000",
    )
