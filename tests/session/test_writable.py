"""A home that cannot be written opens for reading, and says so; what is answered then is said not to be kept."""

from __future__ import annotations

import shutil

from divelog.app.demo import MORNING
from divelog.app.look.layout import STANDARD
from divelog.app.start import open_shell
from divelog.clock import FixedClock
from divelog.home import Home, data_folder


def test_a_home_under_a_file_opens_for_reading(tmp_path):
    (tmp_path / "file").write_text("no folder")
    shell, journal = open_shell(Home(tmp_path / "file" / "home"), FixedClock(MORNING))
    assert journal is None
    assert "Opened for reading" in shell.desk.read_only
    assert "Read only" in shell.draw(STANDARD).text()


def test_an_answer_without_a_journal_is_said_not_to_be_kept(tmp_path):
    shutil.copytree(data_folder("sample_boats"), tmp_path / "home")
    shell, journal = open_shell(Home(tmp_path / "home"), FixedClock(MORNING))
    assert journal is not None
    journal.close()
    shell.desk.session.journal = None
    shell.change_boat("tansy")
    shell.below("day")
    shell.press("1")
    text = shell.draw(STANDARD).text()
    assert "X NOT KEPT" in text
    assert "cannot be written" in text
