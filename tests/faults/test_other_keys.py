"""Keys that other keyboards have: a raised two, a half, a figure in a ring, figures of other scripts.

They count as digits for some questions one can ask of a character and not for others (Unicode Standard, chapter 4.6, Numeric
Value), and a page that takes the one for the other would end the program.
"""

from __future__ import annotations

from datetime import datetime

import pytest
from foreign import harm_in
from roaming import openings
from using import BOAT, HOME, sample_home

from divelog.app.desk import Desk
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.journal.writing import Journal
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

KEYS = "\u00b2\u00bd\u2460\u2167\u0663\uff11\u00e9\U0001d7d9"
MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")


@pytest.mark.parametrize("before", ["", "enter", "1"])
def test_no_page_is_ended_by_a_key_of_another_keyboard(before: str) -> None:
    disk, clock = sample_home(), FixedClock(MORNING)
    with Journal(HOME, clock=clock, disk=disk) as journal:
        shell = Shell(Desk(Session(HOME, clock, read_shelf(HOME, disk), journal, disk)), MAKERS, EXTRAS)
        shell.desk.date_said = MORNING.date()
        for number in range(len(openings(shell))):
            shell.change_boat(BOAT)
            openings(shell)[number]()
            if before:
                shell.press(before)
            for key in KEYS:
                shell.press(key)
            assert harm_in(shell.draw_text()) == []
            shell.asked_to_leave = False
