"""Asks the service on this machine whether it is ready: exit code 0 or 1, and one line that says why.

It asks at WATCH_PORT, where no token is needed, or at PORT of a service without tokens."""

import http.client
import os
import sys

TIMEOUT = 3


def main() -> int:
    """0 when it is ready."""
    try:
        status = _status(int(os.environ.get("WATCH_PORT") or os.environ.get("PORT") or "8077"))
    except (OSError, ValueError, http.client.HTTPException) as error:
        print(f"not ready: {type(error).__name__}")
        return 1
    print("ready" if status == 200 else f"not ready: status {status}")
    return int(status != 200)


def _status(port: int) -> int:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=TIMEOUT)
    connection.request("GET", "/readyz")
    return connection.getresponse().status


if __name__ == "__main__":
    sys.exit(main())
