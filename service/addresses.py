"""Which addresses are reached from their own machine only."""

from ipaddress import ip_address


def is_local(address: str) -> bool:
    """Whether an address is reached from its own machine only: loopback, or a socket file."""
    if address in ("127.0.0.1", "::1", "localhost", "") or address.startswith("unix:"):
        return True
    try:
        read = ip_address(address.strip("[]"))
    except ValueError:
        return False
    return (getattr(read, "ipv4_mapped", None) or read).is_loopback
