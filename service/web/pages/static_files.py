"""Style, script and their licences: read when first asked for, kept by browsers until they change."""

import hashlib
from functools import cache
from pathlib import Path
from typing import NamedTuple

FOLDER = Path(__file__).parent / "static"
MEDIA_TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".txt": "text/plain",
}
NAMES = tuple(sorted(path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*") if path.is_file()))


class StaticFile(NamedTuple):
    """What is served, as what, and the digest that its address and ETag carry."""

    content: bytes
    media_type: str
    digest: str


@cache
def static_file(name: str) -> StaticFile:
    """A file by its name, one of NAMES."""
    content = (FOLDER / name).read_bytes()
    return StaticFile(content, MEDIA_TYPES[Path(name).suffix], hashlib.sha256(content).hexdigest()[:12])


def address_of(name: str) -> str:
    """Where a page finds a file; another content has another address."""
    return f"/static/{name}?v={static_file(name).digest}"
