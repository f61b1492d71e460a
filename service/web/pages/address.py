"""A build in the address of a page: short, so that it can be mailed and opened again; nothing is stored."""

import base64
import binascii
import zlib

import orjson

from service.errors import SpecError, SpecFault
from service.json_object import JsonObject

# What a server takes of an address, with room for the rest of its line (docker/gunicorn.conf.py).
LONGEST_CODE = 3500
# In place of one that is longer: a link of a page to a build that grew too long says so when it is opened.
TOO_LONG = "too-long"
# Far past any build that such a code can mean; a short code may unpack into gigabytes.
MOST_BYTES = 64 * 1024
_RAW = -zlib.MAX_WBITS


def code_of(build: JsonObject) -> str:
    """The build as letters, digits, - and _; SpecError where it is too long for an address."""
    packer = zlib.compressobj(9, zlib.DEFLATED, _RAW)
    packed = packer.compress(orjson.dumps(build, option=orjson.OPT_SORT_KEYS)) + packer.flush()
    code = base64.urlsafe_b64encode(packed).rstrip(b"=").decode()
    if len(code) > LONGEST_CODE:
        raise _too_long()
    return code


def build_of(code: str) -> JsonObject:
    """The build that a code means; SpecError where it means none."""
    if not code:
        return {}
    if code == TOO_LONG:
        raise _too_long()
    try:
        packed = base64.b64decode(code + "=" * (-len(code) % 4), altchars=b"-_", validate=True)
        unpacker = zlib.decompressobj(_RAW)
        build = orjson.loads(unpacker.decompress(packed, MOST_BYTES))
    except (binascii.Error, zlib.error, orjson.JSONDecodeError, ValueError) as error:
        raise _unreadable() from error
    if not isinstance(build, dict):
        raise _unreadable()
    return build


def _too_long() -> SpecError:
    return _refused("too-long", "This is more than an address holds.", "fewer fields, or a shorter map")


def _unreadable() -> SpecError:
    return _refused("unreadable", "This address is cut short or mistyped.", "the whole address")


def _refused(code: str, detail: str, expected: str) -> SpecError:
    return SpecError([SpecFault("/build", code, detail, expected)])
