"""Her file as it was: earlier texts are the shipped one with some lines as they stood then."""

from __future__ import annotations

import re

from sample_crew import Boat
from sample_log import Log

from divelog.profiles.reading import read_document
from divelog.profiles.schema import BOAT
from divelog.profiles.writing import changed_paths

_REMARK = re.compile(r"[ ]*#[^\n\"]*$", re.MULTILINE)
"""Her file had no remarks in it then."""

THEN: dict[str, tuple[tuple[str, str], ...]] = {
    "tansy": (
        ('temperature = "19 degC", on = 2032-04-18 }', 'temperature = "18 degC", on = 2031-03-16 }'),
        ('dived_balance = "21 g ± 4 g"', 'dived_balance = "24 g ± 4 g"'),
        ("fitted = 2031-11-02", "fitted = 2030-03-20"),
        ("fitted = 2032-03-01", "fitted = 2030-03-20"),
    ),
    "bulrush": (
        ('temperature = "14 degC", on = 2032-04-20 }', 'temperature = "9 degC", on = 2031-03-30 }'),
        ('dived_balance = "45 g ± 8 g"', 'dived_balance = "52 g ± 8 g"'),
        ("fitted = 2032-02-20", "fitted = 2030-05-10"),
    ),
    "bramble": (
        ("on = 2032-03-20 }", "on = 2031-04-26 }"),
        ('dived_balance = "9 g ± 1 g"', 'dived_balance = "10 g ± 1 g"'),
        ("fitted = 2031-08-30", "fitted = 2030-06-01"),
        ("fitted = 2032-03-19", "fitted = 2031-03-22"),
    ),
    "juniper": (
        ("on = 2032-04-04 }", "on = 2031-03-16 }"),
        ('dived_balance = "118 g ± 12 g"', 'dived_balance = "110 g ± 12 g"'),
        ("fitted = 2032-03-06", "fitted = 2031-03-15"),
    ),
}


def text_then(boat: Boat) -> str:
    """Her file as it was first written down."""
    text = boat.text
    for now, then in THEN[boat.slug]:
        assert now in text, f"{boat.slug}: {now} is not in her file any more"
        text = text.replace(now, then)
    return _REMARK.sub("", text)


def file_first(log: Log, boat: Boat) -> None:
    """Her file goes into the log for the first time: nothing was known before."""
    document = read_document(text_then(boat).encode(), f"{boat.slug}.toml", BOAT)
    log.put("boat.filed", {"digest": document.digest, "changed": [], "text": document.text}, boat.slug)


def file_now(log: Log, boat: Boat) -> None:
    """Her file as it is shipped."""
    before = read_document(text_then(boat).encode(), f"{boat.slug}.toml", BOAT)
    document = read_document(boat.text.encode(), f"{boat.slug}.toml", BOAT)
    changed = list(changed_paths(before, document))
    log.put("boat.filed", {"digest": document.digest, "changed": changed, "text": document.text}, boat.slug)
