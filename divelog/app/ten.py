"""Ten questions that make a boat: what is asked, and the profile and kit entries that come of the answers.

Nobody sees a file. What is not known is written as unknown, and everything else is assumed by her size and kind.
"""

from __future__ import annotations

import string
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from divelog.app.asking import TEN, Answer, Ask
from divelog.profiles.document import Document, Fact, State
from divelog.profiles.facts import field_at
from divelog.profiles.fields import Field, Mark
from divelog.profiles.reading import read_value
from divelog.profiles.schema import BOAT, CHEMISTRIES
from divelog.profiles.writing import with_facts, with_format
from divelog.session.shelf import Shelf

TITLES = (
    "What do you call her?", "How long is she?", "What does she weigh, ready to run?", "How does she go under?",
    "What keeps the water out?", "How much water does she take in?", "Which radio?", "What is on the pack's label?",
    "Deepest she came up bone dry, that you saw?", "Transmitter off: does she come up by herself?",
)  # fmt: skip
"""The ten, as they are asked."""

STILL_TO_COME = (
    "What do you call her?", "How long is she?", "What does she weigh?", "How does she go under?",
    "What keeps the water out?", "How much water taken in?", "Which radio?", "What is on the pack's label?",
    "Deepest she came up dry?", "Up by herself?",
)  # fmt: skip
"""The same, shorter, while they are still to come."""

SHORT = (
    "Name",
    "Length",
    "Mass",
    "Goes under by",
    "Kept dry by",
    "Water taken in",
    "Radio",
    "Pack",
    "Came up dry",
    "Up by herself",
)
"""The same again once answered."""

_KINDS = (
    ("driven down by planes only", "none"), ("piston tank", "piston"), ("pumped tank", "pumped_tank"),
    ("pumped bag", "pumped_bag"), ("air bladder", "air_bladder"), ("gas", "gas"), ("snort and blower", "snort_blower"),
)  # fmt: skip
_HULLS = (("a tube in a flooding hull", "flooding"), ("the hull itself", "dry"))
_MATERIALS = (
    ("acrylic", "acrylic"), ("polycarbonate", "polycarbonate"), ("pvc", "pvc"), ("aluminium", "aluminium"),
    ("glass fibre", "grp"), ("printed", "printed"), ("cast resin", "resin"),
)  # fmt: skip
_BANDS = (
    "2.4 GHz",
    "27 MHz",
    "40 MHz",
    "75 MHz",
    "459 MHz",
    "35 MHz",
    "72 MHz",
    "433 MHz",
    "868 MHz",
    "915 MHz",
)
_SIZES = (
    ("shorter than an arm, 0.6 m", "450 mm ± 150 mm"), ("one to two arms", "900 mm ± 300 mm"),
    ("longer than two arms", "1.7 m ± 0.5 m"),
)  # fmt: skip
_UP = (("yes, since the last bind", "bound"), ("I have seen it once", "once"))
ANOTHER = "another"
SEEN_U95 = 0.1
"""95 % of a depth seen and remembered, m (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One line to answer, and which of the ten it belongs to (11: may the kit be written)."""

    ask: Ask
    number: int


def _number(
    name: str,
    title: str,
    path: str,
    unit: str,
    *,
    need: bool = True,
    note: str = "",
    more: tuple[tuple[str, str], ...] = (),
) -> Ask:
    field = field_at(path)
    assert field is not None
    return Ask(
        name,
        title,
        unit,
        field.dimension,
        need=need,
        note=note,
        low=field.low,
        high=field.high,
        more=more,
        meter=False,
    )


def steps(told: Mapping[str, Answer], shelf: Shelf) -> tuple[Step, ...]:
    """Every line, as the answers so far have it."""
    found = [
        Step(Ask("name", TITLES[0], note="any name will do; it can be changed"), 1),
        Step(_number("length", TITLES[1], "boat.length", "mm"), 2),
    ]
    if _unknown(told, "length"):
        found.append(Step(Ask("size", "By the arm, how long is she?", choices=_SIZES), 2))
    found.append(Step(_number("mass", TITLES[2], "boat.mass", "kg"), 3))
    found.append(Step(Ask("dives", TITLES[3], choices=_KINDS), 4))
    if _unknown(told, "dives"):
        found.append(
            Step(
                Ask(
                    "stays",
                    "Does she stay down when stopped?",
                    choices=(("yes", "weight"), ("no, she comes up", "planes")),
                ),
                4,
            )
        )
    found.append(Step(Ask("hull", TITLES[4], choices=_HULLS), 5))
    if _word(told, "hull"):
        found.append(Step(Ask("material", "Made of what?", choices=_MATERIALS), 5))
    if _word(told, "dives") != "none":
        note = "or the seconds it takes to fill"
        found.append(
            Step(
                _number("ballast", TITLES[5], "boat.ballast.volume", "mL", more=(("time", "s"),), note=note),
                6,
            )
        )
    found += _radio(told, shelf)
    found += _pack(told, shelf)
    found.append(
        Step(
            _number(
                "dry",
                TITLES[8],
                "boat.my_limits.deepest",
                "m",
                note="u where never, or where you did not look",
            ),
            9,
        )
    )
    found.append(Step(Ask("up", TITLES[9], choices=_UP), 10))
    entries = kit_entries(told, shelf)
    if entries:
        new = " and ".join(dict.fromkeys(p.partition("[")[2].partition("]")[0] for p in entries))
        found.append(
            Step(
                Ask("kit", f"May {new} be written into your kit?", choices=(("yes", "yes"), ("no", "no"))), 11
            )
        )
    return tuple(found)


def _radio(told: Mapping[str, Answer], shelf: Shelf) -> list[Step]:
    found = [Step(Ask("band", TITLES[6], choices=tuple((b, b) for b in _BANDS)), 7)]
    band = _word(told, "band")
    if band:
        found.append(
            Step(
                _number(
                    "tip", "How high is the aerial's tip above her deck?", "boat.radio.tip_above_deck", "mm"
                ),
                7,
            )
        )
        known = _transmitters(shelf, band)
        if known:
            options = (*((one, one) for one in known[:8]), ("another one", ANOTHER))
            found.append(Step(Ask("transmitter", "Which transmitter?", choices=options), 7))
    return found


def _transmitters(shelf: Shelf, band: str) -> list[str]:
    ids = shelf.kit.entries.get("transmitter", ())
    return [one for one in ids if shelf.kit.text_at(f"transmitter[{one}].band") == band]


def _pack(told: Mapping[str, Answer], shelf: Shelf) -> list[Step]:
    known = shelf.kit.entries.get("pack", ())
    found = []
    if known:
        options = (
            *((_pack_words(shelf, one), one) for one in known[: len(TEN) - 1]),
            ("another one", ANOTHER),
        )
        found.append(Step(Ask("pack", "Which pack drives her?", choices=options), 8))
        if "pack" not in told or _word(told, "pack") != ANOTHER:
            return found
    found.append(Step(Ask("chemistry", TITLES[7], choices=tuple((c, c) for c in CHEMISTRIES)), 8))
    if _word(told, "chemistry"):
        found.append(Step(Ask("cells", "How many cells?", "", "count", low=1, high=60, meter=False), 8))
        if not _unknown(told, "cells"):
            found.append(
                Step(_number("capacity", "How much charge, by its label?", "kit.pack.capacity", "A h"), 8)
            )
    return found


def _pack_words(shelf: Shelf, pack: str) -> str:
    kit = shelf.kit
    cells, capacity = kit.facts.get(f"pack[{pack}].cells"), kit.facts.get(f"pack[{pack}].capacity")
    words = [kit.text_at(f"pack[{pack}].chemistry").replace("lithium", "li").split(" (")[0]]
    if cells is not None and isinstance(cells.value, float):
        words.append(f"{cells.value:g} cells")
    if capacity is not None:
        words.append(capacity.typed)
    return f"{pack}: {', '.join(w for w in words if w)}"


def _unknown(told: Mapping[str, Answer], name: str) -> bool:
    answer = told.get(name)
    return answer is not None and not answer.known


def _word(told: Mapping[str, Answer], name: str) -> str:
    answer = told.get(name)
    return answer.word if answer is not None else ""


def _typed(told: Mapping[str, Answer], name: str) -> str:
    answer = told.get(name)
    return answer.typed if answer is not None and answer.known else "unknown"


# -- what comes of it -----------------------------------------------------------------------------------------------


def fact(field: Field, text: str) -> Fact:
    """A fact as a form or a question gives it; raises UnitFaultError."""
    if text == "unknown" and "unknown" not in field.choices:
        return Fact(None, State.UNKNOWN, typed="unknown", origin="typed")
    value, typed, said = read_value(field, text, typed=True)
    return Fact(value, typed=typed or text, said=said, origin="typed")


def _next_id(taken: tuple[str, ...], names: list[str]) -> str:
    return next(name for name in names if name not in taken)


def transmitter_id(told: Mapping[str, Answer], shelf: Shelf) -> str:
    """The transmitter she is driven by: one of the kit, or the next free name."""
    chosen = _word(told, "transmitter")
    if chosen and chosen != ANOTHER:
        return chosen
    taken = shelf.kit.entries.get("transmitter", ())
    return _next_id(
        taken, [f"tx-{a}{b}" for a in ("", *string.ascii_lowercase) for b in string.ascii_lowercase]
    )


def pack_id(told: Mapping[str, Answer], shelf: Shelf) -> str:
    """The pack that drives her: one of the kit, or the next free name."""
    chosen = _word(told, "pack")
    if chosen and chosen != ANOTHER:
        return chosen
    return _next_id(shelf.kit.entries.get("pack", ()), [f"D{n}" for n in range(1, 1000)])


def kit_entries(told: Mapping[str, Answer], shelf: Shelf) -> dict[str, Fact]:
    """Facts of what the kit lacks: a transmitter of her band, the pack of the label."""
    found: dict[str, Fact] = {}

    def put(path: str, text: str) -> None:
        field = field_at(f"kit.{path}")
        assert field is not None
        found[path] = fact(field, text)

    new_set = _word(told, "transmitter") == ANOTHER or not _transmitters(shelf, _word(told, "band"))
    if _word(told, "band") and new_set and "tip" in told:
        one = f"transmitter[{transmitter_id(told, shelf)}]"
        put(f"{one}.id", transmitter_id(told, shelf))
        put(f"{one}.band", _word(told, "band"))
    capacity = told.get("capacity")
    if _word(told, "chemistry") and capacity is not None and capacity.known:
        one = f"pack[{pack_id(told, shelf)}]"
        put(f"{one}.id", pack_id(told, shelf))
        put(f"{one}.chemistry", _word(told, "chemistry"))
        put(f"{one}.cells", f"{told['cells'].si:g}")
        put(f"{one}.capacity", capacity.typed)
    return found


def profile(told: Mapping[str, Answer], shelf: Shelf) -> Document:
    """Her profile out of the answers so far: what must stand and is not known is written as unknown."""
    dives = _word(told, "dives")
    kit = _word(told, "kit") != "no"
    entries = kit_entries(told, shelf)
    pack_known = bool(_word(told, "pack") and _word(told, "pack") != ANOTHER) or (
        kit and any(p.startswith("pack[") for p in entries)
    )
    set_known = bool(_word(told, "transmitter") and _word(told, "transmitter") != ANOTHER) or (
        kit and any(p.startswith("transmitter[") for p in entries)
    )
    ballast = told.get("ballast")
    timed = ballast is not None and ballast.dimension == "time"
    texts = {
        "name": _typed(told, "name"),
        "hull": _word(told, "hull") or "unknown",
        "dives_by": _word(told, "stays")
        or ("unknown" if not dives else "planes" if dives == "none" else "weight"),
        "length": _word(told, "size") or _typed(told, "length"),
        "mass": _typed(told, "mass"),
        "cylinder.material": _word(told, "material") or "unknown",
        "ballast.kind": dives or "unknown",
        "radio.band": _word(told, "band") or "unknown",
        "radio.tip_above_deck": _typed(told, "tip"),
        "radio.transmitter": transmitter_id(told, shelf) if set_known else "unknown",
        "power.drive_packs": pack_id(told, shelf) if pack_known else "unknown",
    }
    if ballast is not None and ballast.known:
        texts["ballast.fill_time" if timed else "ballast.volume"] = ballast.typed
    facts: dict[str, Fact | None] = {}
    for field in BOAT.fields:
        if field.path in texts:
            facts[field.path] = fact(field, texts[field.path])
        elif field.mark is Mark.REQUIRED and field.path != "format":
            facts[field.path] = Fact(None, State.UNKNOWN, typed="unknown", origin="not asked")
    facts["failsafe[signal lost].trigger"] = Fact("signal lost", typed="signal lost")
    for name in ("does", "powered_from"):
        facts[f"failsafe[signal lost].{name}"] = Fact(
            None, State.UNKNOWN, typed="unknown", origin="not asked"
        )
    empty = Document("boat", "a new boat", MappingProxyType({}), MappingProxyType({}))
    return with_format(with_facts(empty, facts))
