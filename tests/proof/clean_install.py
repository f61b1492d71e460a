"""The image as far as it goes without a container: packages by the lock alone, the copied files read-only,
run by an unprivileged user, one evaluation, a graceful stop.
"""

import ast
import http.client
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psutil

from service.rulebook.digest import rulebook_digest
from service.web.access.tokens import hash_of
from tests.docker.clean_folder import command, image_environment, lay_out, served, unprivileged
from tests.docker.dockerfile import ROOT, instructions

TOKEN = "clean-install-token"
BUILD = {"parts": {"injectors": "IN-060-F09"}, "target": {"power": "600 rwhp"}}
MIB = 1024 * 1024


def prove() -> bool:
    """Whether all of it came out; prints what was measured."""
    with tempfile.TemporaryDirectory(prefix="clean-install-") as name:
        folder = Path(name)
        folder.chmod(0o755)
        user = unprivileged()
        base = _python_for(user)
        if base is None:
            base, user = sys.executable, None
        print(
            f"clean install, {Path(base).resolve()}, run as "
            f"{'user ' + str(user) if user else 'the present user: no Python here that another one may run'}"
        )
        seconds = _build(folder, base)
        print(
            f"packages from the lock, hashes required, wheels only: {seconds:.1f} s, "
            f"{_size(folder / 'packages') / MIB:.0f} MiB; the service itself "
            f"{_size(folder / 'app') / MIB:.1f} MiB"
        )
        _make_read_only(folder)
        before = _listing(folder)
        good = _refuses(folder, user) and _serve(folder, user)
        untouched = _listing(folder) == before
        print(f"nothing written in the folder: {untouched}")
        _make_writable(folder)
        return good and untouched


def _python_for(user: int | None) -> str | None:
    """A Python of this version that the user may run; one in root's home is not."""
    for path in (
        sys.executable,
        shutil.which(f"python3.{sys.version_info.minor}", path="/usr/local/bin:/usr/bin"),
    ):
        if path and _runs(path, user):
            return path
    return None


def _runs(path: str, user: int | None) -> bool:
    try:
        return (
            subprocess.run(
                [path, "-c", ""],
                user=user,
                group=user,
                extra_groups=[] if user else None,
                cwd="/",
                check=False,
                stderr=subprocess.DEVNULL,
            ).returncode
            == 0
        )
    except PermissionError:
        return False


def _build(folder: Path, base: str) -> float:
    """Does what the Dockerfile does with RUN and COPY; seconds that the packages took."""
    lay_out(folder / "app")
    python, seconds = str(folder / "packages" / "bin" / "python"), 0.0
    for one in instructions():
        if one.word != "RUN":
            continue
        words = [
            word.replace("/opt/packages", str(folder / "packages")).replace(
                "/requirements.lock", str(ROOT / "requirements.lock")
            )
            for word in one.command
        ]
        # pip is the tests' own: a Python of the distribution may have none.
        words[0] = {"venv": base, "pip": sys.executable}.get(words[2], python)
        started = time.monotonic()
        subprocess.run(
            words, cwd=folder / "app", check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        seconds += (time.monotonic() - started) * (words[2] == "pip")
    return seconds


def _refuses(folder: Path, user: int | None) -> bool:
    """Whether the command of the image as it is, without tokens, ends before it listens."""
    app, python = folder / "app", str(folder / "packages" / "bin" / "python")
    done = subprocess.run(
        command(python),
        cwd=app,
        env=image_environment(app, PORT="0", WATCH_PORT=""),
        capture_output=True,
        text=True,
        timeout=60,
        user=user,
        group=user,
        extra_groups=[] if user else None,
        check=False,
    )
    refused = done.returncode != 0 and "TOKENS" in done.stderr and "Listening at" not in done.stderr
    print(f"without tokens it refuses to start: {refused}")
    return refused


def _serve(folder: Path, user: int | None) -> bool:
    secrets = folder / "secrets"
    secrets.mkdir()
    (secrets / "tokens").write_text(f"both:\n  scopes: [evaluate, read]\n  hash: {hash_of(TOKEN)}\n")
    app, python = folder / "app", str(folder / "packages" / "bin" / "python")
    grace = _graceful_timeout()
    started = time.monotonic()
    with served(app, python, user, TOKENS=str(secrets / "tokens"), WORKERS="2") as running:
        print(f"up after {time.monotonic() - started:.1f} s")
        probe = subprocess.run(
            [python, "docker/probe.py"],
            cwd=app,
            env=image_environment(app, WATCH_PORT=str(running.watch_port)),
            capture_output=True,
            text=True,
            user=user,
            group=user,
            extra_groups=[] if user else None,
            check=False,
        )
        print(f"probe: {probe.stdout.strip()}")
        # The connection stays open and idle: it must not hold the stop up.
        connection = http.client.HTTPConnection("127.0.0.1", running.port, timeout=20)
        status, answer = _evaluate(connection)
        same = rulebook_digest(ROOT / "rules") in json.dumps(answer.get("rulebook", ""))
        print(
            f"evaluation: status {status}, verdict {answer.get('verdict')}; the rulebook is that of the "
            f"tree: {same}"
        )
        master = psutil.Process(running.process.pid)
        own = {one.uids().effective for one in (master, *master.children())}
        memory = [one.memory_full_info() for one in (master, *master.children())]
        print(
            f"memory with two workers after one evaluation: {sum(one.pss for one in memory) / MIB:.0f} MiB "
            f"in all (proportional), {max(one.rss for one in memory) / MIB:.0f} MiB resident in the "
            "largest process"
        )
        started = time.monotonic()
        running.process.terminate()
        code = running.process.wait(timeout=grace + 10)
        stopped = time.monotonic() - started
        connection.close()
    print(
        f"stopped by SIGTERM, with an idle connection open, after {stopped:.1f} s with code {code}; the "
        f"grace is {grace} s"
    )
    shutil.rmtree(secrets)
    return (
        probe.returncode == 0
        and status == 200
        and same
        and code == 0
        and stopped < grace
        and own == {user if user else os.geteuid()}
    )


def _evaluate(connection: http.client.HTTPConnection) -> tuple[int, dict]:
    connection.request(
        "POST",
        "/v1/evaluations",
        json.dumps({"build": BUILD}),
        {"Content-Type": "application/json", "Authorization": f"Bearer {TOKEN}"},
    )
    reply = connection.getresponse()
    return reply.status, json.loads(reply.read())


def _graceful_timeout() -> int:
    for node in ast.parse((ROOT / "docker" / "gunicorn.conf.py").read_text()).body:
        if isinstance(node, ast.Assign) and node.targets[0].id == "graceful_timeout":
            return node.value.value
    raise LookupError("docker/gunicorn.conf.py sets no graceful_timeout")


def _size(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file() and not path.is_symlink())


def _listing(folder: Path) -> list[tuple[str, int]]:
    return sorted(
        (str(path), path.lstat().st_mtime_ns)
        for part in ("app", "packages")
        for path in (folder / part).rglob("*")
    )


def _make_read_only(folder: Path) -> None:
    subprocess.run(["chmod", "-R", "a-w", str(folder / "app"), str(folder / "packages")], check=True)


def _make_writable(folder: Path) -> None:
    """So that whoever is not root can delete it."""
    subprocess.run(["chmod", "-R", "u+w", str(folder)], check=True)


if __name__ == "__main__":
    sys.exit(0 if prove() else 1)
