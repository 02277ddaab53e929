"""The frame of every page: header, waterline, keys, and the places while they are open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from divelog.app.look import frame
from divelog.app.look.frame import BACK, KEYS, PLACES, TROUBLE, Key
from divelog.app.look.layout import Layout
from divelog.app.look.page import Page, Part
from divelog.app.look.stack import Block, screen
from divelog.app.spot import Spot
from divelog.clock import day_month

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def date_words(moment: datetime, year: bool = False) -> str:
    """``Tue 4 May``, with the year where it is to be confirmed."""
    words = f"{_DAYS[moment.weekday()]} {day_month(moment)}"
    return f"{words} {moment.year}" if year else words


def clock_words(moment: datetime) -> str:
    """``08:11``."""
    return f"{moment.hour:02d}:{moment.minute:02d}"


def moment_words(moment: datetime, year: bool = False) -> str:
    """``Tue 4 May  08:41``: two blanks, so that day and time stand apart in a header."""
    return f"{date_words(moment, year)}  {clock_words(moment)}"


def framed(
    spot: Spot,
    layout: Layout,
    blocks: Sequence[Block],
    *,
    place: str = "",
    what: str = "",
    boat: str = "",
    first: Sequence[Key | None] = (),
    second: Sequence[Key | None] = (),
    year: bool = False,
    extra: Part = (),
    own_keys: Part | None = None,
) -> Page:
    """A page with its frame. Four keys a row; the fifth slots are always trouble and places (or back)."""
    desk = spot.desk
    now = desk.now()
    part = frame.header(
        layout,
        boat=boat or (desk.name() if desk.slug is not None else "Boats"),
        place=place or spot.place.title,
        what=what,
        date=date_words(now, year),
        time=clock_words(now),
        keep_date=year,
    )
    part += frame.waterline(layout, spot.place, names=spot.shell.places_open)
    if spot.shell.places_open:
        part += frame.places_keys(layout)
    elif own_keys is not None:
        part += own_keys
    else:
        top = [*first[:4], *[None] * (4 - len(first[:4])), TROUBLE]
        below = [
            *second[:4],
            *[None] * (4 - len(second[:4])),
            BACK if spot.shell.front_is_below(spot) else PLACES,
        ]
        if not any(second):
            below[0] = KEYS
        part += frame.keys(layout, top, below)
    return screen(layout, part, blocks, extra)
