"""Faults that follow a part from boat to boat: the same thing gone wrong in two boats with one pack, set or receiver."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from divelog.history.runs import Run

RADIO = ("transmitter", "receiver")
PARTS = {"signal": RADIO, "failsafe": RADIO, "came back on low volts": ("pack",)}
"""Which parts each fault may come from. Packs, sets and receivers travel between boats: common practice, no source."""
_LOST = frozenset({"glitch", "drop", "lost"})


@dataclass(frozen=True, slots=True)
class Trace:
    """One fault seen with one part in two boats or more: how many runs of each boat, out of how many with that part."""

    part: str
    id: str
    fault: str
    boats: tuple[tuple[str, int], ...]
    runs: int
    last: datetime | None

    def words(self) -> str:
        """As a sentence: ``set tx-a: signal trouble in 2 boats (tansy 1, bramble 2), 3 of 9 runs``."""
        kinds = {"signal": "signal trouble", "failsafe": "failsafe did the wrong thing"}
        part = "set" if self.part == "transmitter" else self.part
        count = sum(n for _, n in self.boats)
        names = ", ".join(f"{boat} {n}" for boat, n in self.boats)
        fault = kinds.get(self.fault, self.fault)
        return (
            f"{part} {self.id}: {fault} in {len(self.boats)} boats ({names}), {count} of its {self.runs} runs"
        )


def _faults(run: Run) -> Iterator[str]:
    """What went wrong in a run that a part may have carried here."""
    if any(signal.kind in _LOST for signal in run.signals) or run.reason == "signal":
        yield "signal"
    if any(trip.wrong for trip in run.trips):
        yield "failsafe"
    if run.reason == "volts":
        yield "came back on low volts"


def traces(runs: Iterable[Run]) -> tuple[Trace, ...]:
    """Faults that two boats or more share with one part, those of most runs first. A lone boat's are her own defects."""
    used: dict[tuple[str, str], int] = defaultdict(int)
    seen: dict[tuple[str, str, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    last: dict[tuple[str, str, str], datetime | None] = {}
    for run in runs:
        held = {"transmitter": run.transmitter, "receiver": run.receiver, "pack": run.pack}
        for part, name in held.items():
            if name:
                used[part, name] += 1
        for fault in _faults(run):
            for part in PARTS[fault]:
                name = held[part]
                if name and run.boat:
                    seen[part, name, fault][run.boat] += 1
                    last[part, name, fault] = run.start or run.end
    found = [
        Trace(part, name, fault, tuple(sorted(boats.items())), used[part, name], last[part, name, fault])
        for (part, name, fault), boats in seen.items()
        if len(boats) > 1
    ]
    return tuple(sorted(found, key=lambda t: (-sum(n for _, n in t.boats), t.part, t.id, t.fault)))
