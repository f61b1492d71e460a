"""The image without a container: what its COPY lines bring, laid out in a folder, and served from there the
way the image does it.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from tests.docker.dockerfile import ROOT, copies_from_tree, environment, instructions, kept_out
from tests.support.server import clean_environment, free_port

UNPRIVILEGED = 65534


class Served(NamedTuple):
    """A running service."""

    port: int
    watch_port: int
    process: subprocess.Popen


def lay_out(folder: Path) -> None:
    """Copies into the folder what the last stage of the Dockerfile copies into its working directory."""
    for sources, target in copies_from_tree():
        for source in sources:
            into = (
                folder
                / target
                / (Path(source).name if target.endswith("/") and (ROOT / source).is_file() else "")
            )
            for path in sorted((ROOT / source).rglob("*")) if (ROOT / source).is_dir() else [ROOT / source]:
                if path.is_file() and not kept_out(path.relative_to(ROOT).as_posix()):
                    place = into / path.relative_to(ROOT / source)
                    place.parent.mkdir(parents=True, exist_ok=True)
                    shutil.copy(path, place)


def image_environment(folder: Path, **settings: str) -> dict[str, str]:
    """The environment of the image with these settings; /app is the folder, and the path to the packages is
    the caller's.
    """
    image = {
        name: value.replace("/app", str(folder)) for name, value in environment().items() if name != "PATH"
    }
    return clean_environment() | image | settings


def command(python: str) -> list[str]:
    """The command of the image, run by a certain Python."""
    words = instructions()[-1].command
    return [python, "-m", *words, "--log-level", "info"]


@contextmanager
def served(folder: Path, python: str, user: int | None = None, **settings: str) -> Iterator[Served]:
    """Starts the command of the image in the folder, on loopback; killed at the end if it is still there."""
    port, watch_port = free_port(), free_port()
    ports = {"HOST": "127.0.0.1", "PORT": str(port), "WATCH_PORT": str(watch_port)}
    settings = {**ports, "WORKERS": "1"} | settings
    process = subprocess.Popen(
        command(python),
        cwd=folder,
        env=image_environment(folder, **settings),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        user=user,
        group=user,
        extra_groups=[] if user else None,
    )
    with process:
        try:
            said = []
            for line in process.stderr:
                said.append(line)
                if "Listening at" in line:
                    break
            else:
                raise RuntimeError(f"the service did not start:\n{''.join(said)}")
            yield Served(port, watch_port, process)
        finally:
            if process.poll() is None:
                process.kill()


def unprivileged() -> int | None:
    """The user to run as: nobody where the tests run as root, else whoever runs them."""
    return UNPRIVILEGED if os.geteuid() == 0 else None
