"""The name of what is sent and answered."""

from typing import Any

# What may lie in it is the contract's to say (openapi/), and tests hold the answers against that.
JsonObject = dict[str, Any]
