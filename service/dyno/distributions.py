"""The distributions of scipy, imported when a dyno call first needs them: they take long to import."""

from functools import cache
from typing import Any

from service.extra import need_extra


@cache
def distributions() -> Any:
    """`scipy.stats`."""
    need_extra("statistics", "scipy")
    from scipy import stats

    return stats
