"""A sheet of paper about the build of a request, as PDF."""

import os
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode

from service.app import create_app
from service.commands.request_file import read_request
from service.errors import ServiceError, SpecError
from service.web.pages.address import code_of
from service.web.tools.refusal import refusal_text


@dataclass(frozen=True)
class SheetOrder:
    """Which sheet of which request, and where it goes."""

    request: Path
    out: Path
    kind: str
    units: str | None
    pulls: tuple[str, ...]


def write_sheet(order: SheetOrder) -> int:
    """0 once written; ServiceError where the request holds faults."""
    asked = read_request(order.request)
    units = order.units or asked.get("units", "metric")
    # Whoever runs the command is its only caller.
    os.environ.pop("TOKENS", None)
    client = create_app().test_client(use_cookies=False)
    judged = client.post("/v1/evaluations", json={"build": asked.get("build"), "units": units})
    if judged.status_code != 200:
        raise ServiceError(refusal_text(judged.get_json()))
    try:
        words = {"b": code_of(asked["build"]), "units": units, "kind": order.kind, "as": "pdf"}
    except SpecError as error:
        raise ServiceError(str(error)) from error
    page = client.get(f"/sheet?{urlencode(words | {'pulls': chr(10).join(order.pulls)})}")
    if page.status_code != 200:
        raise ServiceError("These pulls make no sheet; give each with its place, such as '402 whp'.")
    order.out.write_bytes(page.data)
    print(f"{order.out}: written.")
    return 0
