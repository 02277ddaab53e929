"""Makes the sample logbook anew: two seasons of four invented boats, byte for byte the same each time.

    python tests/samples/generator.py          writes sample_boats/logbook

Everything in it is invented. It ends on 4 May 2032, minutes before the clock of the demo starts.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

import story_2031
import story_2032
import story_winter
from sample_crew import SAMPLES, boat
from sample_log import written

BOATS = ("tansy", "bulrush", "bramble", "juniper")


def build(root: Path) -> Path:
    """Writes the logbook of the story below an empty folder; returns the folder of its journals."""
    crew = {slug: boat(slug) for slug in BOATS}
    with written(root) as log:
        story_2031.season(log, crew)
        story_winter.winter(log, crew)
        story_2032.season(log, crew)
    return root / "logbook"


def main() -> None:
    """Puts it in the place of the shipped one."""
    with tempfile.TemporaryDirectory() as folder:
        made = build(Path(folder))
        shutil.rmtree(SAMPLES / "logbook", ignore_errors=True)
        shutil.copytree(made, SAMPLES / "logbook")


if __name__ == "__main__":
    main()
