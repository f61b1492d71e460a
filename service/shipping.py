"""Puts into a wheel what a service needs beside its code: rules, lock, settings of gunicorn, and the demo."""

import shutil
from pathlib import Path

from setuptools.command.build_py import build_py  # type: ignore[import-untyped]  # it ships no types

# As service/places.py looks for them: from the root of the tree to the same place in the wheel.
SHIPPED = (
    "rules/**/*.yaml",
    "requirements.lock",
    "docker/gunicorn.conf.py",
    "openapi/examples/*.json",
    "tests/catalog/**/*.yaml",
    "tests/catalog/**/*.csv",
)


class WithShipped(build_py):  # type: ignore[misc]  # as above
    """Named in pyproject.toml; an editable install finds all of it in the tree."""

    def run(self) -> None:
        """Copy the packages, then what goes with them."""
        super().run()
        if self.editable_mode:
            return
        for path in (path for pattern in SHIPPED for path in sorted(Path().glob(pattern))):
            target = Path(self.build_lib, "service", "shipped", path)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target)
