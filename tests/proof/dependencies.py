"""What runs beside our own code: known vulnerabilities by pip-audit, licences by pip-licenses."""

import json
import re
import subprocess
import sys
import urllib.request
from pathlib import Path

from tests.support.server import ROOT

LOCK = ROOT / "requirements.lock"
# Given up by its author, with advisories that nobody will fix.
KNOWN_BROKEN = "pycrypto"
# Licences under which a service may be run and its image passed on beside MIT code; the library under the
# LGPL is used unchanged and can be exchanged.
TAKEN = re.compile(
    r"\b(MIT|BSD|Apache|MPL|Mozilla Public|PSF|Python Software Foundation|LGPL)\b", re.IGNORECASE
)
NOT_TAKEN = re.compile(r"\bA?GPL", re.IGNORECASE)


def prove() -> bool:
    """No known vulnerability and no licence outside the list; what could not be looked up is said and is no
    success.
    """
    names = re.findall(r"^([a-z0-9._-]+)==", LOCK.read_text(), re.MULTILINE)
    return _licences(names) & _vulnerabilities()


def _vulnerabilities() -> bool:
    """pip-audit asks the index for each version; where the index answers for newest versions only, those are
    asked for here.
    """
    done = subprocess.run(
        [
            _tool("pip-audit"),
            "--require-hashes",
            "--disable-pip",
            "--progress-spinner",
            "off",
            "--format",
            "json",
            "--requirement",
            str(LOCK),
        ],
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    try:
        found = json.loads(done.stdout)["dependencies"]
    except (ValueError, KeyError):
        print(
            "vulnerabilities: pip-audit could not ask: "
            f"{done.stderr.strip().splitlines()[-1][:200] if done.stderr.strip() else 'no answer'}"
        )
        return False
    wrong = {one["name"]: [each["id"] for each in one["vulns"]] for one in found if one.get("vulns")}
    skipped = [one["name"] for one in found if "skip_reason" in one]
    versions = dict(re.findall(r"^([a-z0-9._-]+)==(\S+)", LOCK.read_text(), re.MULTILINE))
    # An index that knows nothing of a package known to be broken knows nothing of ours.
    newest = {name: _newest(name) for name in skipped} if skipped and _newest(KNOWN_BROKEN)[1] else {}
    asked = [name for name, (version, _) in newest.items() if version == versions[name]]
    wrong |= {name: newest[name][1] for name in asked if newest[name][1]}
    unknown = sorted(set(skipped) - set(asked))
    print(
        f"vulnerabilities: pip-audit looked up {len(found) - len(skipped)} of {len(found)} packages; the "
        f"index's own page of the newest version, which is the one pinned, {len(asked)} more; known ones: "
        f"{len(wrong)}"
    )
    for name, ids in wrong.items():
        print(f"  {name} {versions[name]}: {', '.join(ids)}")
    print(
        "  not looked up, because an older version is pinned or nobody answers: "
        f"{', '.join(unknown) or 'none'}"
    )
    return not wrong and not unknown


def _newest(name: str) -> tuple[str | None, list[str]]:
    """The newest version of a package and what is known against it, as the index tells; nothing where it does
    not.
    """
    try:
        with urllib.request.urlopen(f"https://pypi.org/pypi/{name}/json", timeout=30) as reply:
            page = json.load(reply)
    except (OSError, ValueError):
        return None, []
    return page["info"]["version"], [one["id"] for one in page.get("vulnerabilities", [])]


def _licences(names: list[str]) -> bool:
    done = subprocess.run(
        [_tool("pip-licenses"), "--from", "mixed", "--format", "json", "--packages", *names],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    found = {one["Name"]: one["License"] for one in json.loads(done.stdout)}
    by_licence: dict[str, list[str]] = {}
    for name, licence in sorted(found.items(), key=lambda pair: pair[0].casefold()):
        by_licence.setdefault(licence, []).append(name)
    print(f"licences of the {len(found)} packages of requirements.lock:")
    for licence, own in sorted(by_licence.items()):
        print(f"  {licence}: {', '.join(own)}")
    other = [
        name for name, licence in found.items() if NOT_TAKEN.search(licence) or not TAKEN.search(licence)
    ]
    print(f"  outside the list: {', '.join(other) or 'none'}")
    return not other and len(found) == len(set(names))


def _tool(name: str) -> str:
    return str(Path(sys.executable).with_name(name))
