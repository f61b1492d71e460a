"""docker/nginx.conf read, and run: as an ordinary user, in a folder of its own, in front of a port on
loopback.
"""

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import NamedTuple

from tests.docker.clean_folder import unprivileged
from tests.docker.dockerfile import ROOT
from tests.support.server import free_port

FILE = ROOT / "docker" / "nginx.conf"
NGINX = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin")
_WORD = re.compile(r"""#[^\n]*|"[^"]*"|'[^']*'|[{};]|[^\s{};]+""")


class Directive(NamedTuple):
    """One directive: its words, and what stands in its braces."""

    words: list[str]
    block: list["Directive"]

    def every(self, name: str) -> list["Directive"]:
        """The directives of that name directly in the block."""
        return [one for one in self.block if one.words[0] == name]

    def value(self, *name: str) -> str:
        """What stands after these words, in the one directive that begins with them."""
        (found,) = [one for one in self.block if one.words[: len(name)] == list(name)]
        return " ".join(found.words[len(name) :])

    def map(self, variable: str) -> dict[str, str]:
        """The table of a `map` that sets the variable."""
        (found,) = [one for one in self.every("map") if one.words[2] == variable]
        return {one.words[0]: one.words[1] for one in found.block}


def configuration() -> Directive:
    """The `http` block of the file."""
    words = iter(
        word if word in '""' or word[0] not in "\"'" else word[1:-1]
        for word in _WORD.findall(FILE.read_text())
        if word[0] != "#"
    )
    return next(one for one in _block(words) if one.words == ["http"])


def bursts() -> dict[str, int]:
    """How many requests at once each limit takes, by its zone."""
    (server,) = configuration().every("server")
    limits = [
        dict(word.split("=") for word in one.words[1:] if "=" in word) for one in server.every("limit_req")
    ]
    return {one["zone"]: int(one["burst"]) for one in limits}


def _block(words) -> list[Directive]:
    found, own = [], []
    for word in words:
        if word == "}":
            break
        if word in ("{", ";"):
            found.append(Directive(own, _block(words) if word == "{" else []))
            own = []
        else:
            own.append(word)
    return found


def _moved(text: str, port: int, upstream_ports: list[int], rates: bool) -> str:
    assert text.count("listen 8080;") == 1
    text = text.replace("listen 8080;", f"listen 127.0.0.1:{port};")
    servers = re.findall(r"^ +server service-\d:8077.*\n", text, re.MULTILINE)
    assert 1 <= len(upstream_ports) <= len(servers)
    for number, line in enumerate(servers):
        text = text.replace(
            line,
            re.sub(r"service-\d:8077", f"127.0.0.1:{upstream_ports[number]}", line)
            if number < len(upstream_ports)
            else "",
        )
    return text if rates else re.sub(r"^ +limit_(req|conn) .*\n", "", text, flags=re.MULTILINE)


class Gateway(NamedTuple):
    """A running nginx."""

    port: int
    access_log: Path


@contextmanager
def gateway(*upstream_ports: int, rates: bool = True, tools: int | None = None) -> Iterator[Gateway]:
    """nginx with the file as it is, but for the addresses: as many servers as ports are given, and the tools
    for language models at their own. Without `rates` nobody asks too often.
    """
    port, user = free_port(), unprivileged()
    with tempfile.TemporaryDirectory(prefix="gateway-") as name:
        folder = Path(name)
        text = _moved(FILE.read_text(), port, list(upstream_ports), rates)
        assert text.count("127.0.0.1:8078;") == 1
        text = text.replace("127.0.0.1:8078;", f"127.0.0.1:{tools or free_port()};")
        (folder / "nginx.conf").write_text(text)
        log = folder / "access.log"
        log.touch()
        if user:
            os.chown(folder, user, user)
            os.chown(log, user, user)
        command = [
            NGINX,
            "-e",
            "stderr",
            "-p",
            f"{folder}/",
            "-c",
            f"{folder}/nginx.conf",
            "-g",
            "daemon off; error_log stderr notice;",
        ]
        with (
            log.open("a") as out,
            subprocess.Popen(
                command,
                stdout=out,
                stderr=subprocess.PIPE,
                text=True,
                user=user,
                group=user,
                extra_groups=[] if user else None,
            ) as process,
        ):
            said = []
            for line in process.stderr:
                said.append(line)
                if "start worker processes" in line:
                    break
            else:
                raise RuntimeError(f"nginx did not start:\n{''.join(said)}")
            # Read on, or nginx stands still once the pipe is full of its complaints.
            reader = Thread(target=said.extend, args=[process.stderr])
            reader.start()
            try:
                yield Gateway(port, log)
            finally:
                process.terminate()
                process.wait(timeout=60)
                reader.join()
