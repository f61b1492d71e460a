"""The distributions of scipy, imported when a dyno call first needs them: they take long to import."""

from functools import cache
from typing import Any


@cache
def distributions() -> Any:
    """`scipy.stats`."""
    from scipy import stats

    return stats
