"""Makes the parts of the sample logbook's generator importable from its tests."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
