"""What the log teaches about a boat, gathered: what ``Observed`` holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from types import MappingProxyType

from divelog.calibration.charges import charge_rates, full_since, hours_since, ran_since_charge
from divelog.calibration.measured import timed_at
from divelog.calibration.model import Observed, Parts, ProofView
from divelog.calibration.series import ballast_times, joint_resistances, measured, no_load
from divelog.journal.events import Event, ReadEvent
from divelog.journal.payload import quantity, text, texts
from divelog.profiles.document import Basis, Num
from divelog.proofs.model import Proof, ProofReport, State

_AWAY = frozenset({"", "off", "ashore", "bench", "none", "box"})
_NOBODY = Parts()
_TEACH = frozenset(
    {
        "boat.filed", "charged", "check.answered", "closed", "fitted", "mass.moved", "measured", "opened", "run.ended",
        "run.started", "serviced", "water.found",
    }
)  # fmt: skip
"""Kinds of events that anything is learnt from."""


def observe(
    events: Sequence[Event],
    now: float,
    report: ProofReport | None = None,
    parts: Parts = _NOBODY,
    packs: Sequence[Event] | None = None,
    today: date | None = None,
) -> Observed:
    """Everything limits may ask of the past; ``events`` of the boat in order of time, ``now`` in UTC seconds.

    ``packs`` are the events of every boat that shares a pack with her, where there is one: a pack is full only if none
    of them has run on it. ``today`` is the local date at ``now``.
    """
    day = today if today is not None else datetime.fromtimestamp(now, UTC).date()
    return learn(events, now, parts, packs, day).at(now, report)


@dataclass(frozen=True, slots=True)
class Learnt:
    """What the log teaches, as it stays until an event is more or the date is another."""

    observed: Observed
    full: Mapping[str, float]
    """Last full charge by pack, in UTC seconds."""

    def at(self, now: float, report: ProofReport | None) -> Observed:
        """With what a clock moves on: proofs, and hours since packs were charged full."""
        return replace(
            self.observed,
            proofs=MappingProxyType(_views(report)),
            dry_depth=report.dry_depth if report is not None else None,
            charged_full=MappingProxyType(hours_since(self.full, now)),
        )


def learn(
    events: Sequence[Event], now: float, parts: Parts, packs: Sequence[Event] | None, day: date
) -> Learnt:
    """Everything of ``observe`` that no clock moves on, each event's data decoded once."""
    seen = _seen(events, now)
    shared = seen if packs is None else _seen(packs, now)
    observed = Observed(
        charge_per_minute=MappingProxyType(charge_rates(shared, parts)),
        ran=MappingProxyType(ran_since_charge(shared, parts.receiver_packs)),
        joints=MappingProxyType(joint_resistances(seen, parts)),
        no_load=MappingProxyType(no_load(seen, parts, day)),
        times=MappingProxyType(ballast_times(seen, parts, day)),
        timed_at=MappingProxyType(timed_at(seen)),
        opened_since_wiped=opened_since_wiped(seen),
        trim_moves=trim_moves(seen),
    )
    return Learnt(observed, MappingProxyType(full_since(shared, parts.receiver_packs)))


def teaches(event: Event) -> bool:
    """Whether `learn` may find something else where this event, written by this program, comes last."""
    if event.what == "check.answered":
        data = bytes(event.data)  # our own writer escapes neither letters nor dots
        return b'"terminals.drop"' in data or b'"trim"' in data
    return event.what in _TEACH


def _seen(events: Sequence[Event], now: float) -> list[Event]:
    """Events by a moment that teach anything, their data decoded once for all that look at them."""
    return [ReadEvent.of(e) for e in events if e.what in _TEACH and e.known and e.seconds <= now]


def _views(report: ProofReport | None) -> dict[str, ProofView]:
    if report is None:
        return {}
    return {
        proof.name: ProofView(
            proof.stands, _because(proof), proof.since.isoformat() if proof.since is not None else ""
        )
        for proof in report.proofs
    }


def _because(proof: Proof) -> str:
    """Why a proof does not stand; ``never`` or ``claimed`` where nothing ended it."""
    return proof.because or (proof.state.value if proof.state in (State.NEVER, State.CLAIMED) else "")


def _files_balance(event: Event) -> bool:
    return any(
        path.removeprefix("boat.").startswith(("dived_balance", "trimmed_at"))
        for path in texts(event.payload().get("changed"))
    )


def opened_since_wiped(events: Iterable[Event]) -> int:
    """Times she was opened, closed in between, since somebody last looked for water with her open.

    The opening in which they looked does not count, whichever of the two was written first: she sweats only once closed.
    """
    count, closed = 0, False
    for event in events:
        if event.what == "closed":
            closed = True
        elif event.what == "opened" and closed:
            count, closed = count + 1, False
        elif event.what == "water.found" and event.payload().get("looked") == "opened":
            count, closed = 0, False
    return count


def trim_moves(events: Iterable[Event]) -> tuple[Num, ...]:
    """Lead put in or taken out since her dived balance was last written down: upward positive, kg.

    It is written down when a check gives the trim, when it is measured, or when her file changes it. A move within her
    is nought.
    """
    moves: list[Num] = []
    for event in events:
        if (
            (event.what == "check.answered" and "trim" in texts(event.payload().get("gives")))
            or measured(event, "dived_balance") is not None
            or (event.what == "boat.filed" and _files_balance(event))
        ):
            moves.clear()
        elif event.what == "mass.moved":
            data = event.payload()
            mass = quantity(data.get("mass"))
            if mass is None or mass.si is None:
                continue
            came, went = (text(data.get(k)) or "" for k in ("from", "to"))
            sign = -1.0 if came.lower() in _AWAY else 1.0 if went.lower() in _AWAY else 0.0
            if sign:
                moves.append(Num(sign * mass.si, mass.u95 or 0.0, Basis.MEASURED))
    return tuple(moves)
