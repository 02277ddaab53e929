"""What papers that go out of the house have in common: what is left out and counted, proofs, defects, signatures."""

from __future__ import annotations

import re

from divelog.history.defects import Defect
from divelog.papers.sheets.figures import day_words
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.model import Table, Words
from divelog.profiles.document import Document
from divelog.proofs.model import State
from divelog.proofs.table import RULES
from divelog.sharing.private import NAMES, Scrubber
from divelog.text import shown

SIGN = "Makers' sheets, local law and the owner of the water come before anything on this paper."
SIGN_HERE = ("Given by", "Taken by")
"""What stands before a line to sign on."""
_SIGNS = {
    State.PROVED: "= proved", State.TO_PROVE: "! to prove", State.CLAIMED: "! claimed", State.NEVER: "! never",
    State.NOT_FITTED: "/ not fitted",
}  # fmt: skip


def left_words(scrubber: Scrubber) -> str:
    """What was left out, by name, counted."""
    found = []
    for name, count in sorted(scrubber.counts.items()):
        if count:
            one, many = NAMES.get(name, (name, name))
            found.append(f"{count} {one if count == 1 else many}")
    return "; ".join(found)


def boat_ids(boat: Document) -> frozenset[str]:
    """Names of her parts and packs: they are no serial numbers."""
    named = {entry for entries in boat.entries.values() for entry in entries}
    return frozenset({*named, *boat.texts_at("power.drive_packs"), *boat.texts_at("cylinder.closures")})


def proofs(given: Given) -> Table:
    """Every proof she can have, and how it stands now."""
    rows = []
    for proof in given.around.report.proofs:
        if proof.state is State.NOT_FITTED:
            continue
        title = RULES[proof.proof].title if proof.proof in RULES else proof.proof
        since = day_words(proof.since.astimezone(given.made.tzinfo)) if proof.since and proof.stands else ""
        rows.append(
            (
                _SIGNS[proof.state],
                shown(f"{title} {proof.item}".strip(), 60),
                since,
                shown(proof.because, 100),
            )
        )
    return Table("Proofs", ("stands", "proof", "since", "spent by"), (15, 35, 17, 33), tuple(rows))


def defects(given: Given, scrubber: Scrubber, most: int | None = None) -> Words:
    """Open defects, each with its date and whether it stops a launch."""
    found = [defect_words(one, scrubber) for one in given.history.open_defects(given.slug)[:most]]
    return Words("Open defects", tuple(found) or ("none written down",))


def defect_words(one: Defect, scrubber: Scrubber) -> str:
    """One open defect as a sentence: how often she went all the same, and why the last time."""
    stops = ": NOT TO LAUNCH" if one.stops_launch else ""
    over = ""
    if one.overruled:
        last, count = one.overruled[-1], len(one.overruled)
        times = "once" if count == 1 else f"{count} times, last"
        over = f"; overruled {times} {day_words(last.at)}: {scrubber.text(last.reason)}"
    return shown(f"{scrubber.text(one.words)}, since {day_words(one.at)}{stops}{over}", 300)


def words_of(path: str) -> str:
    """A path of a file in plain words."""
    return shown(re.sub(r"[._]", " ", re.sub(r"\[([^\]]*)\]", r" \1", path)), 60)
