"""What a run's readings say, in sentences: against the limits that held then, at a moment, and what is missing. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from divelog.app.frames import clock_words
from divelog.app.logbook import incident_words, mark_words, signal_words, trip_words
from divelog.app.look.curve import Curve, Level, Window, ends
from divelog.app.phrases import clause, listed
from divelog.history.runs import Run
from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import Against, Stat, Telemetry
from divelog.papers.telemetry.words import SHOWN, clock, figure, in_unit, minutes, reading

MARGIN = 60.0
"""Seconds drawn before a run and after it, where the file holds them."""
LONE = 1.25
"""A reading this many times deeper than three rows bear out is named as one that stands alone."""
DEPTH, VOLTS, CURRENT = "depth", "volts", "current"


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happened in a run: seconds from its start, its words, and whether it went wrong."""

    at: float
    words: str
    loud: bool = False


@dataclass(frozen=True, slots=True)
class RunCurve:
    """A run and what an instrument read in it."""

    run: Run
    mapping: Mapping
    found: Telemetry
    limits: Against
    happened: tuple[Happening, ...]

    @property
    def upper(self) -> str | None:
        """The quantity of the upper plot: depth; a charger's volts; else the first there is."""
        names = list(self.found.series)
        return next((name for name in (DEPTH, VOLTS, CURRENT) if name in names), names[0] if names else None)

    @property
    def others(self) -> tuple[str, ...]:
        """Quantities that may stand below it: volts and amps first."""
        names = [name for name in (VOLTS, CURRENT) if name in self.found.series]
        names += [name for name in self.found.series if name not in (*names, DEPTH)]
        return tuple(name for name in names if name != self.upper)

    def curve(self, name: str) -> Curve:
        """One quantity in the unit it is shown in, with its limits."""
        points = [(t, in_unit(name, value)) for t, value in self.found.series.get(name, ())]
        return Curve(points, self.found.breaks.get(name, ()), self.levels(name), SHOWN[name][0])

    def levels(self, name: str) -> tuple[Level, ...]:
        """The limits a quantity is drawn against; none for a charger."""
        if self.mapping.charger:
            return ()
        if name == DEPTH:
            named = ((self.limits.keel, "keel"), (self.limits.plan, "plan"), (self.limits.aerial, "aerial"))
            return tuple(Level(value, word) for value, word in named if value is not None)
        if name == VOLTS and self.limits.volts is not None:
            return (Level(self.limits.volts, "at least"),)
        return ()

    @property
    def deepest(self) -> float:
        """Metres the scale of depth must hold."""
        borne = self.found.deepest
        most = [level.value for level in self.levels(DEPTH)]
        return max([borne if borne is not None else self.found.stats[DEPTH].most, *most])

    @property
    def length(self) -> float | None:
        """Seconds from the start of the run to its end, by the clock on the wall."""
        if self.run.start is None or self.run.end is None:
            return None
        return (self.run.end - self.run.start).total_seconds()

    @property
    def overlaps(self) -> bool:
        """Whether any reading falls into the run; a charger's never need to."""
        length = self.length
        return (
            self.mapping.charger or length is None or (self.found.start <= length and self.found.end >= 0.0)
        )

    def whole(self, width: int) -> Window:
        """All that is drawn: the run with a minute around it, or the file where they have nothing in common."""
        first, last = self.found.start, self.found.end
        length = self.length
        if not self.mapping.charger and length is not None and self.overlaps:
            first = max(min(first, 0.0), -MARGIN)
            last = min(max(last, length), length + MARGIN)
        return Window(first, max(last, first + 1.0), width)


def happenings(run: Run) -> tuple[Happening, ...]:
    """Marks, incidents, signals and failsafe trips of a run, in order of time."""
    if run.start is None:
        return ()
    found: list[Happening] = []

    start = run.start

    def add(at: datetime, words: str, loud: bool) -> None:
        found.append(Happening((at - start).total_seconds(), words, loud))

    for mark in run.marks:
        add(mark.at, f"mark: {mark_words(mark.named or mark.kind, mark.words)}", False)
    for incident in run.incidents:
        add(incident.at, incident_words(incident), True)
    for signal in run.signals:
        add(signal.at, f"signal {signal_words(signal)}", True)
    for trip in run.trips:
        add(trip.at, f"failsafe {trip_words(trip)}", bool(trip.wrong) or trip.real is True)
    return tuple(sorted(found, key=lambda one: one.at))


def verdicts(one: RunCurve) -> list[tuple[str, bool]]:
    """What the file says against the limits, the gravest first; loud where a limit was passed."""
    found, limits = one.found, one.limits
    said: list[tuple[str, bool]] = []
    if found.deepest is not None:
        depth = clause(reading(DEPTH, found.deepest), _ends(DEPTH, found.stats[DEPTH]))
        against = ""
        if limits.keel is not None and found.below_keel:
            against = f"{minutes(found.below_keel)} below the keel limit, {limits.keel:.1f} m"
        elif limits.keel is not None:
            against = f"within the keel limit, {limits.keel:.1f} m"
        said.append((clause(f"Deepest {depth}", against, sep="; "), bool(found.below_keel)))
        if limits.plan is not None and found.below_plan:
            said.append((f"{minutes(found.below_plan)} below the plan, {limits.plan:.1f} m", False))
        if limits.aerial is not None and found.deepest > limits.aerial:
            said.append((f"Deeper than her aerial carries, {limits.aerial:.1f} m of keel", True))
    volts = found.stats.get(VOLTS)
    if volts is not None and one.mapping.charger:
        said.append((f"Volts at the end {reading(VOLTS, volts.last)}", False))
    elif volts is not None:
        under = f"{minutes(found.under_volts)} under {limits.volts:.2f} V" if found.under_volts else ""
        low = clause(reading(VOLTS, volts.least), f"after {clock(volts.least_at)}", sep=" ")
        said.append((clause(f"Lowest volts {low}", under, sep="; "), bool(under)))
    if found.charge is not None:
        spread = f"give or take {figure('charge', found.charge_u95)}" if found.charge_u95 else ""
        verb = "put back" if one.mapping.charger else "used"
        amount = clause(reading("charge", found.charge), spread)
        said.append((f"Charge {verb} {amount}, {found.charge_how}", False))
    current = found.stats.get(CURRENT)
    if current is not None:
        mean = f", {reading(CURRENT, current.mean)} in the mean" if current.mean is not None else ""
        said.append((f"Most amps {reading(CURRENT, current.most)}{mean}", False))
    return sorted(said, key=lambda each: not each[1])


def headline(one: RunCurve, room: int) -> str:
    """The first verdict in one line of `room` columns: shorter words where it has no room."""
    said = verdicts(one)
    if not said:
        return "No depth, no volts and no amps in this file"
    found, keel = one.found, one.limits.keel
    if found.deepest is None:
        return said[0][0]
    past = (
        f"; below {keel:.1f} m for {minutes(found.below_keel)}"
        if keel is not None and found.below_keel
        else ""
    )
    kept = f"; within {keel:.1f} m" if keel is not None and not past else ""
    short = f"Deepest {reading(DEPTH, found.deepest)}"
    spread = _ends(DEPTH, found.stats[DEPTH])
    whole = clause(short, spread) + (past or kept)
    return whole if len(whole) <= room else short + (past or kept)


def missing(one: RunCurve) -> list[str]:
    """What the picture cannot show, in words."""
    found, limits, run = one.found, one.limits, one.run
    said: list[str] = []
    if not one.overlaps:
        said.append("No reading falls into the run: is the clock of the instrument right?")
    if not one.mapping.charger:
        if DEPTH in found.series:
            named = (
                ("deepest keel", limits.keel),
                ("aerial depth", limits.aerial),
                ("planned depth", limits.plan),
            )
            lacking = [name for name, value in named if value is None]
            if lacking:
                said.append(f"Not written down for this run: {listed(lacking)}.")
        else:
            said.append("No depth in this file.")
    if VOLTS not in found.series and CURRENT not in found.series:
        said.append("No volts and no amps in this file.")
    if found.gaps:
        many = "1 gap" if found.gaps == 1 else f"{found.gaps} gaps"
        longest = "" if found.gaps == 1 else ", the longest"
        said.append(
            f"{many}{longest or ' of'} {minutes(found.gap_longest)}: nothing is drawn or added up across."
        )
    if found.bad:
        rows = "1 row was" if found.bad == 1 else f"{found.bad} rows were"
        line = ""
        if found.faults:
            number, why = found.faults[0]
            line = f"line {number}: {why}" if found.bad == 1 else f"the first is line {number}: {why}"
        said.append(clause(f"{rows} passed over", line, sep="; ") + ".")
    depth = found.stats.get(DEPTH)
    keel = limits.keel
    if (
        depth is not None
        and found.deepest is not None
        and (
            depth.most > LONE * max(found.deepest, 0.1)
            or (keel is not None and depth.most > keel >= found.deepest)
        )
    ):
        said.append(
            f"One reading of {depth.most:.2f} m at {clock(depth.most_at)} stands alone and does not count."
        )
    length = one.length
    if length is not None and one.overlaps and not one.mapping.charger:
        before, after = max(-found.start, 0.0), max(found.end - length, 0.0)
        lacks = [f"begins {minutes(found.start)} late"] if found.start > MARGIN else []
        lacks += [f"ends {minutes(length - found.end)} early"] if length - found.end > MARGIN else []
        if lacks:
            said.append(f"The file {listed(lacks)}.")
        if max(before, after) > MARGIN:
            said.append("The file is longer than the run; only the run is drawn.")
    if run.start is None:
        said.append("The start of the run is not in the log: times are the file's own.")
    return said


def moment_words(one: RunCurve, seconds: float) -> str:
    """A moment: minutes and seconds from the start, and the time of day."""
    if one.run.start is None or one.mapping.charger:
        return clock(seconds)
    return f"{clock(seconds)}, {clock_words(one.run.start + timedelta(seconds=seconds))}"


def values_words(one: RunCurve, window: Window, column: int) -> str:
    """Every quantity in the stretch of a column."""
    said = []
    for name in _in_order(one):
        found = ends(one.curve(name), *window.span(column))
        if found is not None:
            low, high = (f"{round(value, SHOWN[name][3]) + 0.0:.{SHOWN[name][3]}f}" for value in found)
            label = "" if name in (DEPTH, VOLTS, CURRENT) else f"{name} "
            said.append(f"{label}{low if low == high else f'{low} to {high}'} {SHOWN[name][0]}")
    return "; ".join(said) or "nothing was read"


def near(one: RunCurve, window: Window, column: int) -> list[tuple[int, Happening]]:
    """What happened in the stretch of a column, with its number from 1."""
    return [(n, each) for n, each in enumerate(one.happened, 1) if window.column(each.at) == column]


def _in_order(one: RunCurve) -> Sequence[str]:
    upper = one.upper
    return ([upper] if upper is not None else []) + list(one.others)


def _ends(name: str, stat: Stat) -> str:
    return f"give or take {in_unit(name, stat.u95):.{SHOWN[name][3]}f}" if stat.u95 else ""
