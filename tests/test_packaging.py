"""Lists and sample boats are found from a checkout, an editable install and a wheel in a fresh environment."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from divelog.home import data_folder

ROOT = Path(__file__).resolve().parents[1]
LISTS = sorted(p.name for p in (ROOT / "checklists").glob("*.toml"))
BOATS = sorted(p.name for p in (ROOT / "sample_boats" / "boats").glob("*.toml"))
FOUND = (
    "import json; from divelog.home import data_folder as f; "
    "print(json.dumps([str(f('checklists')), sorted(p.name for p in f('checklists').glob('*.toml')), "
    "sorted(p.name for p in (f('sample_boats') / 'boats').glob('*.toml'))]))"
)


def run(python: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environ = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV")}
    return subprocess.run(
        [str(python), *words],
        capture_output=True,
        text=True,
        check=True,
        cwd=python.parent,
        env=environ,
        timeout=600,
    )


def fresh(folder: Path) -> Path:
    venv.create(folder, with_pip=True)
    return folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")


@pytest.fixture(scope="session")
def wheeled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh environment with the wheel and what it needs at run time, nothing else."""
    folder = tmp_path_factory.mktemp("wheel")
    python = fresh(folder / "env")
    run(python, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder / "dist"), str(ROOT))
    [wheel] = (folder / "dist").glob("divelog-*.whl")
    run(python, "-m", "pip", "install", "-q", str(wheel))
    return python


def test_from_the_checkout_both_folders_stand_beside_the_package():
    assert data_folder("checklists") == ROOT / "checklists"
    assert LISTS
    assert {"tansy.toml", "bulrush.toml", "juniper.toml", "bramble.toml"} <= set(BOATS)


def test_an_editable_install_finds_the_folders_of_the_checkout(tmp_path):
    python = fresh(tmp_path / "env")
    run(python, "-m", "pip", "install", "-q", "--no-deps", "-e", str(ROOT))
    folder, lists, boats = __import__("json").loads(run(python, "-c", FOUND).stdout)
    assert Path(folder) == ROOT / "checklists"
    assert (lists, boats) == (LISTS, BOATS)


def test_a_wheel_in_a_fresh_environment_brings_them(wheeled):
    folder, lists, boats = __import__("json").loads(run(wheeled, "-c", FOUND).stdout)
    assert "site-packages" in folder
    assert (lists, boats) == (LISTS, BOATS)


def test_the_wheel_works_without_development_packages(wheeled):
    script = wheeled.with_name("divelog.exe" if sys.platform == "win32" else "divelog")
    assert subprocess.run(
        [str(script), "--version"], capture_output=True, text=True, check=True
    ).stdout.startswith("divelog ")
    assert "Prove a model submarine" in run(wheeled, "-m", "divelog", "--help").stdout
    where = __import__("json").loads(run(wheeled, "-m", "divelog", "where", "--json").stdout)
    samples = Path(where["sample_boats"])
    files = sorted(str(p) for p in samples.rglob("*.toml"))
    lists = sorted(str(p) for p in Path(where["shipped_checklists"]).glob("*.toml"))
    assert run(wheeled, "-m", "divelog", "examine", *files, *lists).stdout.count("no fault") == len(
        files
    ) + len(lists)
    out = run(wheeled, "-m", "divelog", "--home", str(samples), "limits", "bulrush", "--json", "--no-history",
              "--today", str(samples / "days" / "withy-pond.toml")).stdout  # fmt: skip
    assert __import__("json").loads(out)["schema"] == "divelog.limits/1"


def test_the_styles_and_type_marker_ship(wheeled):
    code = "import importlib.resources as r; print((r.files('divelog') / 'py.typed').is_file())"
    assert run(wheeled, "-c", code).stdout.strip() == "True"
