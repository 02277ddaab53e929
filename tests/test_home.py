"""Where the home is, and where what comes with the program is."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from divelog.home import Home, data_folder, find_home

TOP = Path(__file__).resolve().parents[1]


def test_the_option_wins_over_the_variable_and_the_variable_over_the_platform(tmp_path: Path) -> None:
    environ = {"DIVELOG_HOME": str(tmp_path / "variable")}
    assert find_home(tmp_path / "option", environ).root == tmp_path / "option"
    assert find_home(None, environ).root == tmp_path / "variable"
    assert find_home("", environ).root == tmp_path / "variable"
    assert find_home(None, {"DIVELOG_HOME": ""}).root.name == "divelog"
    assert find_home(None, {}).root.is_absolute()


def test_finding_a_home_makes_nothing(tmp_path: Path) -> None:
    home = find_home(tmp_path / "none")
    assert not home.root.exists()
    assert find_home("relative").root == Path.cwd() / "relative"


def test_a_tilde_is_the_persons_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert find_home("~/boats-and-log").root == tmp_path / "boats-and-log"
    assert find_home("~nobody-of-that-name/x").root.name == "x"


@pytest.mark.skipif(os.name != "posix", reason="links need rights on Windows")
def test_the_home_itself_may_be_a_link(tmp_path: Path) -> None:
    (tmp_path / "synced").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "synced")
    assert find_home(tmp_path / "link").root == tmp_path / "synced"


def test_the_platform_library_is_loaded_only_when_asked() -> None:
    code = (
        "import sys; from divelog.home import find_home, data_folder; find_home('x'); data_folder('checklists');"
        " print('platformdirs' in sys.modules); find_home(None, {}); print('platformdirs' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=TOP, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]


def test_every_place_is_inside_the_home() -> None:
    home = Home(Path("/h"))
    places = [
        home.boats, home.sites, home.kit, home.checklists, home.logbook, home.settings, home.boat_file("tansy"),
        home.site_file("withy-pond"), home.journal_folder("tansy"), home.journal_folder(None),
    ]  # fmt: skip
    assert [str(place.relative_to("/h")) for place in places] == [
        "boats", "sites", "kit.toml", "checklists", "logbook", "settings.toml", "boats/tansy.toml",
        "sites/withy-pond.toml", "logbook/tansy", "logbook/_kit",
    ]  # fmt: skip


def test_in_a_checkout_lists_and_boats_stand_beside_the_package() -> None:
    assert data_folder("checklists") == TOP / "checklists"
    assert data_folder("sample_boats") == TOP / "sample_boats"


def test_in_a_wheel_they_stand_inside_it(tmp_path: Path) -> None:
    package = tmp_path / "divelog"
    package.mkdir()
    for name in ("__init__.py", "home.py"):
        shutil.copy(TOP / "divelog" / name, package / name)
    (package / "_data" / "checklists").mkdir(parents=True)
    done = subprocess.run(
        [sys.executable, "-c", "from divelog.home import data_folder; print(data_folder('checklists'))"],
        cwd=tmp_path, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert Path(done.stdout.strip()) == package / "_data" / "checklists"
