"""Lets the tests of this folder import the disks that stand in for the real one."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
