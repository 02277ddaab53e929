"""What a seal's own entry says of its rubber, grease and age: cautions, never numbers."""

from __future__ import annotations

from divelog.limits.sheet import Sheet
from divelog.physics.seals import Grease, Match, Rubber, match

_RUBBERS = {
    "nitrile": Rubber.NITRILE,
    "silicone": Rubber.SILICONE,
    "fluorocarbon": Rubber.FLUOROCARBON,
    "epdm": Rubber.EPDM,
    "polyurethane": Rubber.POLYURETHANE,
    "neoprene": Rubber.CHLOROPRENE,
    "hnbr": Rubber.HYDROGENATED_NITRILE,
}

_GREASES = {
    "silicone": Grease.SILICONE,
    # Sold for propeller shafts and trailers: soap on mineral oil unless its packet says otherwise.
    "marine": Grease.LITHIUM_SOAP,
    "lithium": Grease.LITHIUM_SOAP,
    "mineral": Grease.PETROLEUM,
    "petroleum jelly": Grease.PETROLEUM,
    # The thickener says nothing of the oil; the worse of the two is taken.
    "ptfe": Grease.PTFE_ON_MINERAL,
}

STATIC_DAYS = 730
MOVING_DAYS = 365
"""Age in the boat from which a ring is looked at or renewed: common practice, no source."""

_NAMES = {"epdm": "EPDM", "hnbr": "HNBR"}


def grease_caution(s: Sheet, item: str) -> tuple[str, ...]:
    """One sentence where the grease written down does not suit the rubber, or nobody can say."""
    grease = s.word(f"seal[{item}].grease")
    if grease is None or grease not in _GREASES:
        return ()
    rubber = s.word(f"seal[{item}].rubber") or "unknown"
    found = match(_RUBBERS.get(rubber, Rubber.UNKNOWN), _GREASES[grease])
    name = _NAMES.get(rubber, rubber)
    better = "PTFE grease on PFPE oil" if rubber == "silicone" else "silicone grease"
    if found is Match.NO:
        return (f"{_cap(name)} with {grease} grease swells: wipe it off, renew the ring, use {better}.",)
    if found is Match.AVOID:
        return (f"{_cap(name)} and {grease} grease do not go well together: use {better}.",)
    if found is Match.UNKNOWN:
        return (
            f"Nobody knows whether {grease} grease suits this rubber: find out what the ring is made of. "
            "The maker's sheet rules.",
        )
    if rubber == "unknown":
        return ("Silicone grease suits most rubbers, but swells silicone rubber: find out what the ring is.",)
    return ()


def age_caution(s: Sheet, item: str) -> tuple[str, ...]:
    """One sentence where a seal has been in the boat for longer than rings keep their spring."""
    fitted = s.day_of(f"seal[{item}].fitted")
    if fitted is None or s.day is None:
        return ()
    days = (s.day - fitted).days
    moves = s.flag(f"seal[{item}].moves")
    if days < (MOVING_DAYS if moves else STATIC_DAYS):
        return ()
    return (f"It has been in her for {days // 30} months: look for flats, nicks and cracks, or renew it.",)


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]
