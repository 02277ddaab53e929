"""The limits a run begins with, as its event keeps them: whoever looks back sees what was known then."""

from __future__ import annotations

from collections.abc import Iterable

from divelog.limits.model import Limit, Verdict


def limits_in_force(limits: Iterable[Limit], pack: str = "") -> dict[str, float | None]:
    """Whole minutes, m of keel, m of keel by the aerial alone, least volts under load; None where unknown.

    As they are shown. ``pack`` is the one she runs on; where it has no limit of its own the first of its like is taken.
    The last two are drawn over the run's curve.
    """
    found: dict[str, Limit] = {}
    for one in limits:
        if one.key not in found or (pack and one.item == pack):
            found[one.key] = one
        if (one.key, one.item) == ("depth.keel", "under control"):
            found["keel"] = one
    keel, back, least = (
        _known(found.get(key)) for key in ("keel", "battery.endurance", "battery.load_voltage")
    )
    terms = found["keel"].terms if "keel" in found else ()
    radio = next((term for term in terms if term.name == "radio" and not term.waived), None)
    return {
        "minutes": round(back.shown_high / 60.0, 3) if back is not None and back.shown_high else None,
        "keel": keel.shown_high if keel is not None else None,
        "aerial": round(radio.safe, 3) if radio is not None else None,
        "volts": least.shown_low if least is not None else None,
    }


def _known(limit: Limit | None) -> Limit | None:
    return limit if limit is not None and limit.verdict is not Verdict.UNKNOWN else None
