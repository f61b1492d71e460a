"""The Dockerfile keeps what it promises, as far as its text can show."""

import pytest

from service.version import VERSION
from tests.docker.dockerfile import ROOT, copies_from_tree, environment, instructions, kept_out


def of(word):
    return [one for one in instructions() if one.word == word]


def test_two_stages_from_one_pinned_base():
    bases = [one.rest.split()[0] for one in of("FROM")]
    assert len(bases) == 2 and len(set(bases)) == 1
    assert bases[0].partition(":")[2] not in ("", "latest")


def test_packages_are_wheels_with_known_hashes():
    (install,) = [one.command for one in of("RUN") if "install" in (one.command or [])]
    assert "--require-hashes" in install and install[install.index("--only-binary") + 1] == ":all:"
    assert install[install.index("--requirement") + 1] == "/requirements.lock"


def test_nothing_is_fetched_but_the_packages():
    assert not of("ADD")
    assert not any("://" in one.rest for one in instructions() if one.word in ("COPY", "RUN", "HEALTHCHECK"))


def test_no_shell_is_needed():
    assert all(one.command for one in instructions() if one.word in ("RUN", "CMD", "ENTRYPOINT"))
    (check,) = of("HEALTHCHECK")
    assert check.rest == 'CMD ["python", "docker/probe.py"]'


def test_runs_as_a_numbered_user_who_is_not_root_and_after_all_building():
    (user,) = of("USER")
    assert all(part.isdigit() and int(part) >= 10000 for part in user.rest.split(":"))
    after = instructions()[instructions().index(user) :]
    assert not [one for one in after if one.word in ("RUN", "COPY")]


def test_the_rules_are_checked_before_they_are_shipped():
    (check,) = [step for step in of("RUN") if step.command == ["python", "-m", "service", "check"]]
    before = instructions()[: instructions().index(check)]
    assert any(step.word == "COPY" and step.rest == "rules/ rules/" for step in before)
    assert any(step.word == "ENV" and "PATH=" in step.rest for step in before)


def test_no_token_is_in_the_image_and_nobody_is_let_in_without():
    assert environment()["HOST"] == "0.0.0.0"
    assert not {"TOKENS", "ALLOW_ANONYMOUS"} & set(environment())


def test_stops_by_the_signal_that_gunicorn_takes_as_a_graceful_stop():
    assert [one.rest for one in of("STOPSIGNAL")] == ["SIGTERM"]


def test_serves_by_the_command_of_make():
    assert (
        " ".join(instructions()[-1].command) == "gunicorn --config docker/gunicorn.conf.py service.wsgi:app"
    )
    assert "gunicorn --config docker/gunicorn.conf.py service.wsgi:app" in (ROOT / "Makefile").read_text()


@pytest.mark.parametrize("source", [source for sources, _ in copies_from_tree() for source in sources])
def test_what_is_copied_is_there_and_not_kept_out(source):
    path = ROOT / source
    files = (
        [path]
        if path.is_file()
        else [one for one in path.rglob("*") if one.is_file() and one.suffix != ".pyc"]
    )
    brought = [one for one in files if not kept_out(one.relative_to(ROOT).as_posix())]
    assert brought
    assert {one.name[:5] for one in set(files) - set(brought)} <= {"test_"}


@pytest.mark.parametrize(
    "path",
    [
        ".git/config",
        ".venv/bin/python",
        "docker/secrets/tokens",
        "docker/compose.yaml",
        "tests/conftest.py",
        "tests/catalog/test_catalog.py",
        "service/__pycache__/app.cpython-311.pyc",
        "README.md",
    ],
)
def test_the_rest_of_the_tree_stays_out(path):
    assert kept_out(path)


def test_the_version_is_the_one_of_the_project():
    (labels,) = of("LABEL")
    assert f'org.opencontainers.image.version="{VERSION}"' in labels.rest
