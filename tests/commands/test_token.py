"""A token is printed once, and the lines for the file of tokens are lines that the service takes."""

import re

import pytest

from service.__main__ import main
from service.commands.token import make_token
from service.errors import ServiceError
from service.web.access.tokens import read_tokens, token_presented


def test_the_lines_let_the_token_in(capsys, tmp_path):
    assert make_token("counter-2026", "evaluate,read") == 0
    shown = capsys.readouterr().out
    token = re.search(r"^  (\S{43})$", shown, re.MULTILINE)[1]
    path = tmp_path / "tokens.yaml"
    path.write_text(shown[shown.index("counter-2026:") :])
    assert token_presented(read_tokens(path), token).scopes == {"evaluate", "read"}
    # What is kept is no token, and the next one is another.
    assert token not in path.read_text()
    make_token("counter-2026", "read")
    assert token not in capsys.readouterr().out


def test_the_scopes_are_known(capsys):
    assert main(["token", "counter", "--scopes", "evaluate,admin"]) == 1
    assert "the scopes are evaluate and read" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["Counter", "two words", "a:\n  scopes: [read]\nb", "", "x" * 41])
def test_a_name_that_the_file_does_not_take_makes_no_token(capsys, name):
    with pytest.raises(ServiceError):
        make_token(name, "read")
    assert capsys.readouterr().out == ""
