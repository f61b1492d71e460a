"""Several builds in one sentence."""

import pytest

from service.advice.counted import counted


@pytest.mark.parametrize(
    ("outcomes", "told"),
    [
        (["pass"], "The build passes."),
        (["not_checked"], "The build could not be judged."),
        (["fail", "fail"], "All 2 builds fail."),
        (["fail", "pass", "warn", "warn"], "Of 4 builds 1 passes, 2 warn and 1 fails."),
        (["faulty", "pass"], "Of 2 builds 1 passes and 1 has faults."),
    ],
)
def test_counts_in_words(outcomes, told):
    assert counted(outcomes, "build") == told
