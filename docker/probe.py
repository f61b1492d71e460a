"""Asks the service on this machine whether it is ready: exit code 0 or 1, and one line that says why. PROBE_TOKEN names a file with a token of scope `read`."""

import http.client
import os
import sys
from pathlib import Path

TIMEOUT = 3


def main() -> int:
    """0 when it is ready."""
    try:
        status = _status(int(os.environ.get("PORT") or "8077"), os.environ.get("PROBE_TOKEN"))
    except (OSError, ValueError, http.client.HTTPException) as error:
        # The name of the error alone: its text could hold the token.
        print(f"not ready: {type(error).__name__}")
        return 1
    print("ready" if status == 200 else f"not ready: status {status}")
    return int(status != 200)


def _status(port: int, token_file: str | None) -> int:
    headers = {"Authorization": f"Bearer {Path(token_file).read_text().strip()}"} if token_file else {}
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=TIMEOUT)
    connection.request("GET", "/readyz", headers=headers)
    return connection.getresponse().status


if __name__ == "__main__":
    sys.exit(main())
