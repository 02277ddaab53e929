"""What a plan says beside what was typed: how far today's water shifts her trim, so that proofs can judge it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from divelog.journal.events import Event
from divelog.journal.payload import text
from divelog.limits.model import Limit
from divelog.profiles.document import Num
from divelog.profiles.facts import Facts


def trim_data(limits: Iterable[Limit], facts: Facts) -> dict[str, float]:
    """``trim_shift`` and ``dived_balance`` of ``plan.set``, in kg, as far as they are known.

    Proofs judge trim by these two alone: half the balance spent by the shift, and trim is to be proved again.
    """
    found: dict[str, float] = {}
    change = next((one for one in limits if one.key == "buoyancy.trim_change"), None)
    if change is not None and change.value is not None:
        found["trim_shift"] = change.value
    balance = facts.get("boat.dived_balance")
    if balance is not None and isinstance(balance.value, Num):
        found["dived_balance"] = balance.value.si
    return found


def pack_data(events: Sequence[Event], facts: Facts, slug: str, pack: str | None) -> dict[str, Any]:
    """``pack_mass_change`` of ``plan.set``, where another pack goes in and the kit has the masses of both.

    Without it another pack spends the trim, whatever it weighs.
    """
    plans = (e for e in reversed(events) if e.what == "plan.set" and e.boat == slug and e.known)
    before = next((found for e in plans if (found := text(e.payload().get("pack")))), "")
    if not pack or not before or pack == before:
        return {}
    masses = [facts.get(f"kit.pack[{one}].mass") for one in (before, pack)]
    known = [fact.value for fact in masses if fact is not None and isinstance(fact.value, Num)]
    if len(known) < 2:
        return {}
    old, new = known
    return {"pack_mass_change": {"si": new.si - old.si, "u95": (old.u95**2 + new.u95**2) ** 0.5}}
