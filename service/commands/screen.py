"""Judge a Parquet file of builds."""

from pathlib import Path

from tqdm import tqdm  # type: ignore[import-untyped]  # the library carries no types

from service.bulk.screen import screen
from service.settings import rules_folder


def screen_builds(builds: Path, out: Path) -> int:
    """Write the verdicts and say how many rows there were."""
    rows = screen(
        builds, out, rules_folder(), progress=lambda batches: tqdm(batches, unit=" batches", desc=builds.name)
    )
    print(f"{out}: {rows} builds judged.")
    return 0
