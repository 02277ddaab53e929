"""Makes ``boats2d`` importable from tests of the rehearsal."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
