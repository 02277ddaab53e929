"""What a walk stands in, put together from a session: facts, proofs, limits judged anew with a reading, events, clock."""

from __future__ import annotations

from divelog.checks.around import Around, Lookup
from divelog.clock import moment
from divelog.limits import catalogue
from divelog.limits.model import Limit
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Num
from divelog.profiles.facts import Facts, plain_value
from divelog.session.session import Asked, Session


def looker(sheet: Sheet) -> Lookup:
    """Limits by key and item on a sheet, judged anew where a reading or a word is given."""

    def look(key: str, item: str, reading: Num | None, answer: str | None, /) -> Limit | None:
        if key not in KEYS:
            return None
        asked = sheet
        if reading is not None or answer:
            readings = dict(sheet.readings)
            answers = dict(sheet.answers)
            if reading is not None:
                readings[key, item] = reading
            if answer:
                answers[key, item] = answer
            else:
                answers.pop((key, item), None)
            asked = sheet.reread(readings, answers)
        found = catalogue.work_out(asked, (key,))
        return next((one for one in found if one.item == item), found[0] if found and not item else None)

    return look


def around(session: Session, asked: Asked, *, from_paper: bool = False) -> Around:
    """One moment of one boat."""
    facts: Facts = session.facts(asked)
    sheet = session.sheet(asked, facts)
    enclosed = plain_value(facts.site.value("kind")) in ("pool", "tank")
    pack = sheet.word("plan.pack") or ""
    report = session.proofs(asked.slug, asked.boat, asked.at, enclosed, pack)
    return Around(
        facts, report, looker(sheet), session.log(asked.slug).events, moment(session.clock), from_paper
    )
