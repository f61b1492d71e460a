"""The identity of a rulebook: the rules, the code that computes with them, and the lock."""

import hashlib
from pathlib import Path

from service.places import PACKAGE, ROOT

CODE = ("physics", "units", "rulebook", "evaluation")


def rulebook_digest(folder: Path) -> str:
    """sha256 over the rule files, the physics, units, rulebook and evaluation code, and the lock, names
    included.
    """
    digest = hashlib.sha256()
    files = [("rules", path, folder) for path in sorted(folder.rglob("*.yaml")) if path.is_file()]
    for package in CODE:
        files += [("service", path, PACKAGE) for path in sorted((PACKAGE / package).rglob("*.py"))]
    lock = ROOT / "requirements.lock"
    if lock.is_file():
        files.append(("lock", lock, lock.parent))
    for prefix, path, root in files:
        content = path.read_bytes()
        digest.update(f"{prefix}/{path.relative_to(root).as_posix()}\0{len(content)}\0".encode())
        digest.update(content)
    return f"sha256:{digest.hexdigest()}"
