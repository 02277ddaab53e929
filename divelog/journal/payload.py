"""Reading the data of an event: quantities with their ±, and what by itself stops a launch.

Data may come from strangers, from older programs and from hands: anything of the wrong kind reads as missing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from divelog.journal.events import Event


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in SI with its 95 % half-width, the text as typed and how it was had.

    `si` is none where `state` says why: unknown, not fitted or skipped. `u95` is none where nothing was said.
    """

    si: float | None
    u95: float | None = None
    typed: str | None = None
    how: str | None = None
    state: str | None = None


def number(value: object) -> float | None:
    """A finite number, or none; `true` is no number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        found = float(value)
    except OverflowError:
        return None
    return found if math.isfinite(found) else None


def text(value: object) -> str | None:
    """A text, or none."""
    return value if isinstance(value, str) else None


def texts(value: object) -> tuple[str, ...]:
    """The texts of a list; one text counts as a list of one."""
    if isinstance(value, str):
        return (value,)
    return tuple(each for each in value if isinstance(each, str)) if isinstance(value, list) else ()


def mapping(value: object) -> Mapping[str, Any]:
    """An object, or an empty one."""
    return value if isinstance(value, dict) else {}


def quantity(value: object) -> Quantity | None:
    """A quantity out of `{"si", "u95", "typed", "how", "state"}` or out of a bare number; none if there is
    none."""
    bare = number(value)
    if bare is not None:
        return Quantity(bare)
    if not isinstance(value, dict) or ("si" not in value and "state" not in value):
        return None
    u95 = number(value.get("u95"))
    return Quantity(
        number(value.get("si")),
        u95 if u95 is not None and u95 >= 0.0 else None,
        text(value.get("typed")),
        text(value.get("how")),
        text(value.get("state")),
    )


def over_allowance(data: Mapping[str, Any]) -> bool:
    """Whether a `water.found` says more water than allowed, or flooded. An allowance nobody wrote is
    nought."""
    if data.get("flooded") is True:
        return True
    amount = number(data.get("si"))
    return amount is not None and amount > (number(data.get("allowance")) or 0.0)


def channels_wrong(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Channels that a `failsafe.tripped` says did the wrong thing."""
    return tuple(name for name, right in mapping(data.get("channels")).items() if right is False)


def stops_launch(event: Event) -> bool:
    """Whether the event opens a defect that stops launch until it is closed or overruled.

    `defect.opened` that says so; and by themselves `water.found` over allowance or flooded, `incident` *went
    down uncontrolled* or *lost*, and `failsafe.tripped` with a channel wrong.
    """
    if not event.known:
        return False
    match event.what:
        case "defect.opened":
            return event.payload().get("stops_launch") is True
        case "water.found":
            return over_allowance(event.payload())
        case "incident":
            return event.payload().get("step") in ("went down uncontrolled", "lost")
        case "failsafe.tripped":
            return bool(channels_wrong(event.payload()))
        case _:
            return False
