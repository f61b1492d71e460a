"""The dearest requests that are legal: what an ill-meaning or hasty client can ask for in one call."""

import random

import orjson

from service.web.api.body import MAX_BATCH
from tests.support.random_builds import random_builds

# Of the fields of the fullest builds: so many fit into the bytes.
SHARE = 0.35


def dearest_batch(builds: int = 250, seed: int = 11) -> bytes:
    """As many builds as a batch may hold, with the most fields that fit into its bytes; nearly each has
    fields of its own, so that nearly each is planned anew.
    """
    source = random.Random(seed)
    candidates = sorted(random_builds(4 * builds, seed), key=lambda build: -len(orjson.dumps(build)))
    chosen = [_without_some(build, source) for build in candidates[:builds]]
    body = orjson.dumps({"builds": chosen})
    assert len(body) <= MAX_BATCH, len(body)
    return body


def _without_some(build: dict, source: random.Random) -> dict:
    """A build with some fields left out at random."""
    return {
        # Of a diesel or an electric motor little is judged.
        key: {name: value for name, value in group.items() if name != "type" and source.random() < SHARE}
        if isinstance(group, dict)
        else group
        for key, group in build.items()
    }
