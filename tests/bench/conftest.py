"""Makes ``big_log`` and ``paint`` importable from the benches."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
