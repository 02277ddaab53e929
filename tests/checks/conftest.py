"""Makes ``walking`` importable from tests of checks."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
