"""What each pack went through: charges and runs, over every boat it sat in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from divelog.history.care import Charge
from divelog.history.runs import Run


class PackState(StrEnum):
    """What the log says of a pack now."""

    CHARGED = "charged"
    STORAGE = "storage"
    USED = "used"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class PackUse:
    """One pack: runs and charges in order, minutes run, and its state as the log has it.

    A run still on counts as use. `runs_since_charge` counts runs begun after the last charge.
    """

    pack: str
    state: PackState
    runs: tuple[Run, ...]
    charges: tuple[Charge, ...]
    minutes: float
    runs_since_charge: int

    @property
    def last_charge(self) -> Charge | None:
        """The newest charge."""
        return self.charges[-1] if self.charges else None

    @property
    def last_run(self) -> Run | None:
        """The newest run."""
        return self.runs[-1] if self.runs else None


def packs(runs: Sequence[Run], charges: Sequence[Charge]) -> tuple[PackUse, ...]:
    """Every pack that ran or was charged, by name."""
    by_run: dict[str, list[Run]] = defaultdict(list)
    by_charge: dict[str, list[Charge]] = defaultdict(list)
    for run in runs:
        if run.pack is not None:
            by_run[run.pack].append(run)
    for charge in charges:
        if charge.pack is not None:
            by_charge[charge.pack].append(charge)
    found: list[PackUse] = []
    for pack in sorted({*by_run, *by_charge}):
        used, charged = by_run[pack], by_charge[pack]
        last = charged[-1] if charged else None
        since = [run for run in used if last is None or _begun_after(run, last)]
        if last is None:
            state = PackState.USED if used else PackState.UNKNOWN
        elif since:
            state = PackState.USED
        else:
            state = {"full": PackState.CHARGED, "storage": PackState.STORAGE}.get(
                last.to or "", PackState.UNKNOWN
            )
        minutes = sum(run.minutes or 0.0 for run in used)
        found.append(PackUse(pack, state, tuple(used), tuple(charged), minutes, len(since)))
    return tuple(found)


def _begun_after(run: Run, charge: Charge) -> bool:
    moment = run.start or run.end
    return moment is not None and moment >= charge.at
