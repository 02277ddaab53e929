"""One whole outing with keys alone, on the real application: bench to water and back, and found again afterwards."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import Place
from divelog.history import fold
from divelog.journal.loading import load
from divelog.journal.verifying import verify

_spec = importlib.util.spec_from_file_location("person", Path(__file__).with_name("person.py"))
person = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(person)

FIRST, SECOND, OPENED = 110, 50, 75
"""Most keys of an outing: a boat's first run of the day, a second with nothing opened, one after she was opened."""

_KEYS = {" ": "space", ".": "full_stop", ",": "comma", "?": "question_mark", "+": "plus", "-": "minus"}


def proved_at_home(shell, boat: str) -> None:
    """What the evening before and the tank have proved: packs charged, ten minutes dry, her depth and failsafe."""
    keep = shell.desk.session.append
    pack = {"tansy": "D2", "bulrush": "P1"}[boat]
    proofs = ["dry_long", "trim", "failsafe_wet", "look", "supply", "joints"]
    keep("check.answered", {"list": "tank-trim", "line": "x", "gives": proofs, "dry_depth": 1.0}, boat=boat)
    keep("charged", {"pack": pack, "charge": {"si": 7200.0, "u95": 360.0}, "to": "full"}, boat=boat)


@pytest.mark.parametrize(("boat", "depth"), [("tansy", "0.7"), ("bulrush", "0.2")])
async def test_one_outing_and_a_second_run(boat, depth, shell, clock, home):
    shell.desk.slug, shell.desk.date_said = None, None
    proved_at_home(shell, boat)
    clock.advance(5 * 3600)  # P1 has rested since its charge
    app = Divelog(shell)
    async with app.run_test(size=(80, 24)) as pilot:

        async def press(key: str) -> None:
            await pilot.press(_KEYS.get(key, key))

        who = person.Person(shell, press, clock.advance)
        await who.type("enter", str(shell.desk.boats.index(boat) + 1))
        assert "Limits: day" in app.canvas.page.text()
        await who.day(depth)
        assert "Limits today" in app.canvas.page.text()
        await who.type("c")
        await who.list(boat)
        first_lines = list(dict.fromkeys(who.lines))
        assert "ready to dive" in app.canvas.page.text()
        await who.type("enter")
        assert shell.here is Place.RUN
        await who.type("enter")
        assert "minutes left" in app.canvas.page.text()
        clock.advance(600)
        await who.type("space")
        clock.advance(600)
        await who.type("space", "e", "1")
        assert "After the run" in app.canvas.page.text()
        clock.advance(700)
        await who.list(boat)
        assert "every line is answered" in app.canvas.page.text()
        first = who.keys

        who.lines.clear()
        who.keys = 0
        await who.type("c")
        await who.list(boat)
        second_lines = list(dict.fromkeys(who.lines))
        await who.type("enter", "enter")
        clock.advance(600)
        await who.type("space", "space", "e", "1")
        clock.advance(700)
        await who.list(boat)
        second = who.keys

        who.lines.clear()
        who.keys = 0
        who.instead = {"undone": ["2"]}  # a hatch was opened; the set was switched off after the run before
        await who.type("c")
        await who.list(boat)
        opened_lines = list(dict.fromkeys(who.lines))
        await who.type("enter", "enter")
        clock.advance(600)
        await who.type("space", "space", "e", "1")
        clock.advance(700)
        await who.list(boat)
        opened = who.keys
        await pilot.press("escape", "5")
        assert "run" in app.canvas.page.text()
        await pilot.press("escape", "6")
        assert "Upkeep" in app.canvas.page.text()

    assert len(first_lines) <= 21
    assert first <= FIRST, who.said
    after = {"ended", "off", "water", "marks", "deepest", "volts", "shaft", "mend"}
    before_launch = [line for line in second_lines if line not in after]
    assert len(before_launch) <= 8, before_launch
    assert second <= SECOND, (second, who.said)
    undone = [line for line in opened_lines if line not in after]
    assert len(undone) <= 12, undone
    assert {"faces", "count"} <= set(undone)  # what the opening spent is asked again
    assert opened <= OPENED, (opened, who.said)
    history = fold(load(home, boat).events)
    assert len(history.runs) == 3
    assert all(run.after_run is not None and run.after_run.complete for run in history.runs)
    assert all(len(run.marks) == 2 for run in history.runs)
    assert history.runs[0].water is not None
    assert history.runs[0].water.word == "bone dry"
    assert all(verdict.whole for verdict in verify(home))
