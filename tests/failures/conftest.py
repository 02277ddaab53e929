"""Makes the cases of this folder, the bench for walks and the sheets of the worked boats importable."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
for folder in (HERE, HERE.parent / "checks", HERE.parent / "limits"):
    sys.path.insert(0, str(folder))
