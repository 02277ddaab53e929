"""The tag for the case: what whoever opens it must know about the packs, and what is wrong with her."""

from __future__ import annotations

from divelog.papers.sheets.figures import day_words
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.leaving import defects
from divelog.papers.sheets.model import Pairs, Paper, Words
from divelog.profiles.document import Num
from divelog.sharing.private import Scrubber
from divelog.text import shown

_CAUTION = {
    "lithium": "Lithium: charge watched, out of the boat, on a surface that does not burn. Swollen, wet or hot: outdoors.",
    "lead": "Lead-acid: charge with the case open, away from flame.",
    "nickel": "Nickel: a charger meant for it; stop when warm.",
}
"""Usual cautions by kind of cell: common practice, no source; the maker's sheet comes first."""


def case_tag(given: Given) -> Paper:
    """Chemistry and charger setting of each pack, state in the log, open defects."""
    around = given.around
    packs = list(given.boat.texts_at("power.drive_packs"))
    receiver = given.boat.text_at("power.receiver_pack")
    packs += [receiver] if receiver and receiver != "from drive" else []
    rows, kinds = [], []
    for pack in dict.fromkeys(packs):
        chemistry = around.word(f"kit.pack[{pack}].chemistry") or "chemistry unknown"
        cells = around.facts.get(f"kit.pack[{pack}].cells")
        capacity = around.number(f"kit.pack[{pack}].capacity")
        kinds.append(next((k for k in ("lithium", "lead", "nickel") if k in chemistry), ""))
        count = (
            f"{cells.value:.0f} cells"
            if cells is not None and isinstance(cells.value, float)
            else "cells unknown"
        )
        label = f", {capacity.si / 3600:g} A h" if isinstance(capacity, Num) else ""
        used = given.history.pack(pack)
        state = f"; {used.state.value}" if used is not None else ""
        rows.append((shown(pack, 20), shown(f"{chemistry}, {count}{label}{state}", 160)))
    parts: list[Pairs | Words] = [
        Pairs("Packs: set the charger to this", tuple(rows) or (("?", "no pack in her file"),))
    ]
    scrubber = Scrubber()  # a tag hangs where anybody reads it
    parts.append(defects(given, scrubber, most=8))
    cautions = tuple(_CAUTION[k] for k in dict.fromkeys(kinds) if k)
    return Paper(
        "tag", "Case tag", given.name, given.made, day_words(given.made), tuple(parts), cautions, small=True
    )
