"""A PostgreSQL cluster of its own, on loopback, that can be stopped and started."""

import os
import shutil
import subprocess
from pathlib import Path

from tests.support.server import free_port

# initdb refuses to run as root.
UNPRIVILEGED = "nobody"


class Absent(RuntimeError):
    """There is no PostgreSQL on this machine."""


class Postgres:
    """A context manager; `folder` must be open to others down from /tmp."""

    def __init__(self, folder: Path):
        self.folder, self.port = folder / "postgres", free_port()
        self.url = f"postgresql://shop@127.0.0.1:{self.port}/postgres"
        self._prefix = ["runuser", "-u", UNPRIVILEGED, "--"] if os.getuid() == 0 else []

    def __enter__(self) -> "Postgres":
        self.folder.mkdir()
        if self._prefix:
            self.folder.parent.chmod(0o755)
            shutil.chown(self.folder, UNPRIVILEGED)
        self._run(
            "initdb",
            "-D",
            str(self.folder / "data"),
            "-U",
            "shop",
            "--auth",
            "trust",
            "--no-sync",
            "-E",
            "UTF8",
        )
        self.start()
        return self

    def __exit__(self, *_) -> None:
        if (self.folder / "data/postmaster.pid").exists():
            self.stop()

    def start(self) -> None:
        """Start it, and wait until it takes connections."""
        options = f"-c listen_addresses=127.0.0.1 -p {self.port} -k {self.folder} -c fsync=off"
        self._run(
            "pg_ctl",
            "-D",
            str(self.folder / "data"),
            "-w",
            "-l",
            str(self.folder / "log"),
            "-o",
            options,
            "start",
        )

    def stop(self) -> None:
        """Stop it as a failing machine would."""
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-w", "-m", "immediate", "stop")

    def _run(self, name: str, *arguments: str) -> None:
        subprocess.run(
            [*self._prefix, _program(name), *arguments],
            check=True,
            capture_output=True,
            cwd=self.folder,
            timeout=60,
        )


def _program(name: str) -> str:
    found = shutil.which(name) or next(
        (str(path) for path in sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))), None
    )
    if found is None:
        raise Absent("the Debian package `postgresql` is needed for this proof")
    return str(Path(found).resolve())
