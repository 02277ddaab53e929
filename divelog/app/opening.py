"""The first frame: what stands on the terminal while boats and log are read. Imports next to nothing."""

from __future__ import annotations

from divelog.app.look import frame
from divelog.app.look.frame import KEYS, PLACES, TROUBLE, Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page
from divelog.app.look.stack import screen

BOATS_FIRST = (
    Key("1-9", "boat"),
    Key("d", "day and water", "day"),
    Key("+", "new boat"),
    Key("h", "hand over"),
    TROUBLE,
)
BOATS_SECOND = (KEYS, Key("g", "log, all boats", "log"), Key("k", "upkeep"), None, PLACES)


def opening_page(layout: Layout) -> Page:
    """Header, waterline and keys of Boats; the list comes with the next paint."""
    part = frame.header(layout, boat="Boats", place="")
    part += frame.waterline(layout, Place.BOATS)
    part += frame.keys(layout, BOATS_FIRST, BOATS_SECOND)
    return screen(layout, part, [])
