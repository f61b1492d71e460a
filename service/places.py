"""Where the files are that come with the service: in the tree beside service/, in an installed package under
it.
"""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
_SHIPPED = PACKAGE / "shipped"
ROOT = _SHIPPED if _SHIPPED.is_dir() else PACKAGE.parent
