"""How many tokens a language model reads: by the public vocabulary o200k_base, which toktok-rs holds within.

Other models' vocabularies differ by a tenth or two (from memory).
"""

import json

import toktok


def tokens(content) -> int:
    """Of a text, or of an object as JSON without spaces, as the protocol sends it."""
    text = (
        content
        if isinstance(content, str)
        else json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    )
    return toktok.batch_count([text], "o200k_base")[0]
