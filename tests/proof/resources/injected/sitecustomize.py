"""What no limit of the system makes fail is made to fail here: read by Python as it starts, with this folder
on its path. FAULTS names a folder; a file in it is a fault.
"""

import os
import time
from pathlib import Path

_FAULTS = Path(os.environ["FAULTS"])
_replace, _time = os.replace, time.time


def _failing_replace(*paths, **options):
    if (_FAULTS / "rename").exists():
        raise OSError(5, "Input/output error")
    return _replace(*paths, **options)


def _shifted_time() -> float:
    try:
        return _time() + float((_FAULTS / "clock").read_text())
    except (OSError, ValueError):
        return _time()


os.replace, time.time = _failing_replace, _shifted_time
