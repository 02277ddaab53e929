"""The start page is on the terminal within 1.15 times an application of one Static."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from pathlib import Path

import pytest

from divelog.home import data_folder

_spec = importlib.util.spec_from_file_location("paint", Path(__file__).with_name("paint.py"))
paint = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(paint)

pytestmark = [pytest.mark.bench, pytest.mark.skipif(sys.platform == "win32", reason="needs a pty")]


def test_first_paint_against_one_static(tmp_path, capsys):
    home = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), home)
    environ = paint.surroundings(DIVELOG_HOME=str(home))
    best = paint.interleaved(
        {
            "one Static": ([paint.PYTHON, "-c", paint.EMPTY], b"MARKER", environ),
            "divelog": ([paint.PYTHON, "-m", "divelog"], b"Boats", environ),
        },
        rounds=11,
    )
    ratio = best["divelog"] / best["one Static"]
    with capsys.disabled():
        print(f"\nfirst paint: {best['one Static'] * 1e3:.0f} ms empty, ratio {ratio:.2f} (wanted 1.15)")
    assert ratio <= 1.15 * 1.05
