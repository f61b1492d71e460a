"""The knock-limited answer of all points against scipy's ODE solver on the same equations."""


def report() -> None:
    """Filled in with the knock check."""
