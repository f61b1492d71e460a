"""What runs beside our own code: known vulnerabilities by pip-audit, licences by pip-licenses."""

import json
import re
import subprocess
import sys
from pathlib import Path

from tests.proof.server import ROOT

LOCK = ROOT / "requirements.lock"
# Licences under which a service may be run and its image passed on beside MIT code; the library under the LGPL is used unchanged and can be exchanged.
TAKEN = re.compile(r"\b(MIT|BSD|Apache|MPL|Mozilla Public|PSF|Python Software Foundation|LGPL)\b", re.IGNORECASE)
NOT_TAKEN = re.compile(r"\bA?GPL", re.IGNORECASE)


def prove() -> bool:
    """No known vulnerability and no licence outside the list; what could not be looked up is said and is no success."""
    names = re.findall(r"^([a-z0-9._-]+)==", LOCK.read_text(), re.MULTILINE)
    return _licences(names) & _vulnerabilities()


def _vulnerabilities() -> bool:
    done = subprocess.run([_tool("pip-audit"), "--require-hashes", "--disable-pip", "--progress-spinner", "off", "--format", "json", "--requirement", str(LOCK)], capture_output=True, text=True, timeout=600, check=False)
    try:
        found = json.loads(done.stdout)["dependencies"]
    except (ValueError, KeyError):
        print(f"vulnerabilities: pip-audit could not ask: {done.stderr.strip().splitlines()[-1][:200] if done.stderr.strip() else 'no answer'}")
        return False
    unknown = [one["name"] for one in found if "skip_reason" in one]
    wrong = [f"{one['name']} {one['version']}: {', '.join(each['id'] for each in one['vulns'])}" for one in found if one.get("vulns")]
    print(f"vulnerabilities: {len(found) - len(unknown)} packages looked up, {len(wrong)} with any known; {len(unknown)} could not be looked up from here")
    for line in wrong:
        print(f"  {line}")
    return not wrong and not unknown


def _licences(names: list[str]) -> bool:
    done = subprocess.run([_tool("pip-licenses"), "--from", "mixed", "--format", "json", "--packages", *names], capture_output=True, text=True, timeout=120, check=True)
    found = {one["Name"]: one["License"] for one in json.loads(done.stdout)}
    by_licence: dict[str, list[str]] = {}
    for name, licence in sorted(found.items(), key=lambda pair: pair[0].casefold()):
        by_licence.setdefault(licence, []).append(name)
    print(f"licences of the {len(found)} packages of requirements.lock:")
    for licence, own in sorted(by_licence.items()):
        print(f"  {licence}: {', '.join(own)}")
    other = [name for name, licence in found.items() if NOT_TAKEN.search(licence) or not TAKEN.search(licence)]
    print(f"  outside the list: {', '.join(other) or 'none'}")
    return not other and len(found) == len(set(names))


def _tool(name: str) -> str:
    return str(Path(sys.executable).with_name(name))
