"""Writes what is installed in an environment as a bill of materials (CycloneDX 1.6, JSON).

Name, version, licence and the hashes that the lock allows: `python docker/bill_of_materials.py /opt/packages`.
"""

import json
import re
import sys
from importlib.metadata import Distribution, distributions
from pathlib import Path

LOCK = Path(__file__).resolve().parent.parent / "requirements.lock"
ENTRY = re.compile(r"^([a-z0-9._-]+)==(\S+)((?: \\\n    --hash=\S+)+)", re.MULTILINE)


def main(environment: Path) -> dict[str, object]:
    """The bill of an environment."""
    folders = sorted(str(path) for path in environment.glob("lib/python3*/site-packages"))
    found = {one.name.lower().replace("_", "-"): one for one in distributions(path=folders)}
    allowed = {
        name: re.findall(r"sha256:(\w+)", hashes) for name, _, hashes in ENTRY.findall(LOCK.read_text())
    }
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": {"type": "application", "name": "engine-build-rules"}},
        "components": [_component(name, found[name], allowed.get(name, [])) for name in sorted(found)],
    }


def _component(name: str, package: Distribution, hashes: list[str]) -> dict[str, object]:
    component: dict[str, object] = {
        "type": "library",
        "name": name,
        "version": package.version,
        "purl": f"pkg:pypi/{name}@{package.version}",
    }
    expression, words = package.metadata.get("License-Expression"), package.metadata.get("License")
    if expression:
        component["licenses"] = [{"expression": expression}]
    elif words and "\n" not in words:
        component["licenses"] = [{"license": {"name": words}}]
    # One of them is the file that was installed: a lock allows the wheels of every platform.
    if hashes:
        component["properties"] = [{"name": "lock:sha256", "value": value} for value in hashes]
    return component


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1])), indent=2))
