"""Rules folders that a foreman could have made, and the link that RULES points to."""

import shutil
from pathlib import Path

from tests.support.server import ROOT

FILE, LINE = "checks/injector-duty.yaml", 7
AS_IT_IS, STRICTER, NO_SHARE = "street: 85 %", "street: 84 %", "street: 85 psi"


def copy_of_rules(folder: Path, name: str, limit: str = AS_IT_IS) -> Path:
    """A copy of rules/ with another limit for injectors on the street."""
    made = folder / name
    shutil.copytree(ROOT / "rules", made)
    place = made / FILE
    lines = place.read_text().splitlines(keepends=True)
    assert AS_IT_IS in lines[LINE - 1], f"{FILE} has changed; this file names its line {LINE}"
    lines[LINE - 1] = lines[LINE - 1].replace(AS_IT_IS, limit)
    place.write_text("".join(lines))
    return made


def point(link: Path, folder: Path) -> None:
    """Let the link name another folder, in one step."""
    new = link.with_name(link.name + ".new")
    new.symlink_to(folder)
    new.replace(link)
