"""Run: minutes left, large, and three keys. Nothing here has to be read while the boat is out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from divelog.app.frames import clock_words, date_words
from divelog.app.look import answers, figures, frame
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, joined, page
from divelog.app.look.stack import KEPT, Block, stack
from divelog.app.phrases import listed, spaced
from divelog.app.running import Minutes, Out, minutes
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.clock import day_month
from divelog.files import StorageError
from divelog.journal.payload import mapping, text, texts
from divelog.limits.model import Verdict
from divelog.proofs import State
from divelog.proofs.table import RULES
from divelog.session.in_force import limits_in_force
from divelog.session.session import ReadOnlyError
from divelog.text import shown

OVER = " X OVER "
LOOK_AT_HER = "Look at the boat, not here."


class Run(Spot):
    """Before a run: what is open, and Enter. In a run: minutes left, marks, signal lost, the end."""

    place = Place.RUN

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.watch = shell.watch
        self.ending = False
        self._opened_lost = False

    @property
    def out(self) -> Out | None:
        """The run of the boat in hand that is on."""
        return self.watch.out(self.desk.slug) if self.desk.slug is not None else None

    def enter(self) -> None:
        """A signal that was lost when the program stopped is still lost: its steps come back, once."""
        self.ending = False
        out = self.out
        if out is not None and out.lost is not None and not self._opened_lost:
            self._opened_lost = True
            self.shell.below("signal lost")

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The page as it stands."""
        out = self.out
        if self.desk.slug is None:
            blocks = [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4, rank=KEPT)]
            return self._framed(layout, blocks, "", [], frame.keys(layout, (Key("a", "a boat"),), _CORNER))
        if out is None:
            return self._before(layout)
        now = minutes(self.desk, out)
        blocks = [
            Block(self._count(layout, now, out), row=4, rank=KEPT),
            Block(self._said(layout, now, out), row=16, rank=3),
        ]
        wide = layout.gauge is not None
        lines = [
            ("Space", "mark this moment; say what it was afterwards" if wide else "mark this moment"),
            (
                "Enter",
                "SIGNAL LOST or out of sight: steps and a clock" if wide else "SIGNAL LOST: steps, clock",
            ),
            ("1", "ends the run; any other key goes on") if self.ending else ("e then 1", "end the run"),
        ]
        return self._framed(layout, blocks, f"launched {clock_words(out.start.local)}", lines)

    def _framed(
        self,
        layout: Layout,
        blocks: list[Block],
        what: str,
        lines: list[tuple[str, str]],
        keys: Part | None = None,
    ) -> Page:
        now = self.desk.now()
        name = self.desk.name() if self.desk.slug is not None else "Boats"
        top = frame.header(
            layout, boat=name, place=Place.RUN.title, what=what, date=date_words(now), time=clock_words(now)
        )
        top += frame.waterline(layout, Place.RUN, names=self.shell.places_open)
        last = layout.keys[0] - 1
        if self.shell.places_open:
            top += frame.places_keys(layout)
        elif keys is not None:
            top += keys
        else:
            top += big_keys(layout, lines, strong=1 if self.ending else 2, ending=self.ending)
            last = big_keys_row(layout, len(lines)) - 1
        return page(layout, stack(layout, blocks, last=last), top)

    def _count(self, layout: Layout, now: Minutes, out: Out) -> Part:
        """The figure, and five facts beside it."""
        number, words, over = str(now.left), "minutes left", False
        if now.over is not None:
            number, words, over = str(now.over), "", True
        elif now.left is None:
            number, words = str(now.elapsed), "minutes out"
        keel = f"at most {out.keel:.1f} m" if out.keel is not None else "unknown"
        back = clock_words(now.back_by) if now.back_by is not None else "unknown"
        facts = [
            ("Back by", back),
            ("Keel", keel),
            ("Marks", str(out.marks)),
            ("Elapsed", f"{now.elapsed} min"),
        ]
        return count(layout, number, words, facts, over=over)

    def _said(self, layout: Layout, now: Minutes, out: Out) -> Part:
        lines = [LOOK_AT_HER]
        if now.by_wall:
            lines.append("The machine was started anew: minutes by the wall clock.")
        elif out.minutes is None:
            lines.append("How long she may run is unknown.")
        elif now.over is not None:
            lines[0] = (
                f"She was to be back by {clock_words(now.back_by)}." if now.back_by is not None else lines[0]
            )
            lines.append("Bring her in; what is kept back is for bringing her home.")
        else:
            lines.append(f"The transmitter's own timer: {out.minutes:.0f} minutes.")
        others = [self._other(other) for other in self.watch.others(out.slug)]
        if (
            self.desk.session.shelf.settings.value("bell") is not False
            and now.left is not None
            and not others
        ):
            lines.append("The bell here is no alarm: 2 m away nobody hears it.")
        rows: list[Part] = []
        row = 0
        for line in [*lines, *others][:4]:
            part = answers.sentence(layout, row, line)
            rows.append(part)
            row += len(part)
        return joined(rows)

    def _other(self, other: Out) -> str:
        now = minutes(self.desk, other)
        name = shown(self.desk.name(other.slug))
        if now.over is not None:
            return f"{name} is out too and OVER by {now.over} min."
        if now.left is not None:
            return f"{name} is out too, {now.left} min left."
        return f"{name} is out too, {now.elapsed} min."

    # -- before a run -------------------------------------------------------------------------------------------

    def _before(self, layout: Layout) -> Page:
        limits = self.limits_in_force()
        refused = self.refused()
        number = f"{limits['minutes']:.0f}" if limits["minutes"] is not None else "unknown"
        words = "minutes, from the start" if limits["minutes"] is not None else "how many minutes"
        keel = f"at most {limits['keel']:.1f} m" if limits["keel"] is not None else "unknown"
        transmitter = self.desk.sheet().word("radio.transmitter") or "unknown"
        facts = [
            ("Keel", keel),
            ("Pack", shown(self.desk.pack()) or "unknown"),
            ("Transmitter", shown(transmitter)),
        ]
        blocks = [
            Block(count(layout, number, words, facts), row=4, rank=7),
            Block(self._open(layout, refused), row=16, rank=KEPT),
        ]
        start = None if refused else Key("Enter", "start the run", "start")
        keys = frame.keys(
            layout,
            (start, Key("c", "checks"), Key("d", "water, plan"), None, frame.TROUBLE),
            (frame.KEYS, Key("a", "another boat"), Key("n", "note"), None, frame.PLACES),
        )
        return self._framed(layout, blocks, "not launched", [], keys)

    def _open(self, layout: Layout, refused: str) -> Part:
        """Why she may not go, or what is open; and runs of other boats."""
        parts: list[Part] = []
        row = 0
        for word, words, loud in self._standing(refused):
            part = answers.note(layout, row, word, words, loud=loud, role=Role.BOLD if loud else Role.TEXT)
            parts.append(part)
            row = max((p.row for p in part), default=row) + 1
        return joined(parts)

    def _standing(self, refused: str) -> list[tuple[str, str, bool]]:
        assert self.desk.slug is not None
        found: list[tuple[str, str, bool]] = []
        launch = self.watch.before(self.desk.slug).launch
        if refused:
            found.append(("Not yet", refused, True))
        elif launch is not None and launch.local.date() == self.desk.now().date():
            then = texts(launch.payload().get("open"))
            words = few([spaced(each) for each in then]) if then else "NOTHING OPEN"
            called = f"{words}; called {clock_words(launch.local)}"
            found.append((f"Open {len(then)}" if then else "Open", called, bool(then)))
        else:
            still = self.open_now()
            words = "nobody has called this launch: c goes to Checks"
            found.append(("Launch", words, True))
            if still:
                found.append((f"Open {len(still)}", few(still), False))
        found += [("Also", self._other(other), False) for other in self.watch.others(self.desk.slug)]
        return found[:4]

    def open_now(self) -> list[str]:
        """Required proofs that do not stand, and limits that are OUTSIDE, in words."""
        report = self.desk.proofs()
        wanting = (State.TO_PROVE, State.NEVER, State.CLAIMED)
        found = [one.title.lower() for one in self.desk.limits() if one.verdict is Verdict.OUTSIDE]
        for proof in report.proofs:
            if proof.required and proof.state in wanting:
                found.append(
                    f"{RULES[proof.proof].title} {proof.item}".strip() if proof.proof in RULES else proof.name
                )
        found += self._pack_elsewhere()
        return [shown(each) for each in dict.fromkeys(found)]

    def _pack_elsewhere(self) -> list[str]:
        """The pack of the plan, where another boat has it in a run that is on."""
        pack = self.desk.pack()
        runs = self.desk.sheet().observed.ran.get(pack, ())
        return [f"pack {pack}: out in {run.boat} since {run.at:%H:%M}" for run in runs if run.on][:1]

    def refused(self) -> str:
        """Why no run may begin now, in words; empty where one may."""
        assert self.desk.slug is not None
        before = self.watch.before(self.desk.slug)
        if before.why_not:
            return f"{before.why_not} (c)"
        because = mapping(before.launch.payload().get("because")) if before.launch is not None else {}
        for defect in self.desk.proofs().defects:
            if not because.get(defect.event):
                since = defect.since.astimezone(self.desk.now().tzinfo)
                return f"NOT TO LAUNCH: {shown(defect.what)}, {day_month(since)}; x on Boats says what next"
        return ""

    def limits_in_force(self) -> dict[str, Any]:
        """Limits of a run as they are shown, as its event keeps them."""
        return limits_in_force(self.desk.limits(), self.desk.pack())

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Space marks, Enter is for the signal lost, e then 1 ends; before a run Enter or Space starts it."""
        if self.desk.slug is None:
            return False
        out = self.out
        if out is None:
            if key in ("enter", "space"):
                if not self.refused():
                    self._start()
                return True
            return False
        if self.ending:
            self.ending = False
            if key == "1":
                end_run(self.shell)
                return True
            if key == "escape":
                return True
        if key == "space":
            self.desk.keep("mark", {"kind": None}, run=out.start.id)
            return True
        if key == "enter":
            self._opened_lost = True
            lose_signal(self.shell, out)
            return True
        if key == "e":
            self.ending = True
            return True
        return False

    def _start(self) -> None:
        sheet = self.desk.sheet()
        plan = self.desk.last_of("plan.set")
        today = (
            plan is not None and plan.boat == self.desk.slug and plan.local.date() == self.desk.now().date()
        )
        data = {
            "plan": plan.id if plan is not None and today else None,
            "pack": self.desk.pack() or None,
            "transmitter": sheet.word("radio.transmitter"),
            "receiver": sheet.word("radio.receiver"),
            "limits": self.limits_in_force(),
        }
        self.desk.keep("run.started", data)
        self._opened_lost = False


def lose_signal(shell: Shell, out: Out) -> None:
    """The moment is on disk first; then the steps. What cannot be kept is said there, and the steps come all the same.

    A signal that is lost already only shows its steps again.
    """
    from divelog.app.spots.signal_lost import SignalLost

    fault = ""
    if out.lost is None:
        try:
            lost = {"kind": "lost", "motor_on": None, "pump_on": None}
            shell.desk.keep("signal", lost, slug=out.slug, run=out.start.id)
        except (StorageError, ReadOnlyError) as error:
            fault = str(error)
    shell.push(SignalLost(shell, fault))


def few(items: Sequence[str], most: int = 6) -> str:
    """The first of some items, and how many more there are."""
    return listed(items) if len(items) <= most else f"{', '.join(items[:most])} and {len(items) - most} more"


def end_run(shell: Shell) -> None:
    """The end is on disk at once, with the moment it was said; then the list after the run, whose first line asks why."""
    slug = shell.desk.slug
    out = shell.watch.out(slug) if slug is not None else None
    if out is not None:
        pack = text(out.start.payload().get("pack"))
        shell.desk.keep("run.ended", {"pack": pack} if pack else {}, run=out.start.id)
    shell.go(Place.CHECKS)  # which opens the list of that run


def count(
    layout: Layout, number: str, words: str, facts: list[tuple[str, str]], *, over: bool = False
) -> Part:
    """A number in figures with what it counts, and facts beside it (the last one regular)."""
    column = figures.column_for(layout, number, 10)
    if layout.limit is None:  # 40 columns: figure, its words beside it, facts below
        part = figures.figure(layout, 0, layout.title, number, step=10, unit="" if over else (words, "min"))
        if over:
            part += at(1, layout.reading, OVER, Role.OUTSIDE, Kind.BLOCK)
        return part + joined(
            at(4 + n, layout.title, word) + at(4 + n, 14, value, Role.BOLD)
            for n, (word, value) in enumerate(facts[:2])
        )
    beside = layout.limit if layout.gauge is not None else layout.reading
    part = figures.figure(layout, 0, column, number, step=10)
    if over:
        part += at(0, beside, OVER, Role.OUTSIDE, Kind.BLOCK)
        part += at(0, beside + len(OVER) + 2, "minutes over", Role.BOLD, Kind.AFTER)
    else:
        part += at(0, beside, words, Role.BOLD)
    first, gap = (3, 2) if layout.gauge is not None else (1, 1)
    part += answers.facts(layout, first, facts[:-1], gap=gap)
    return part + answers.facts(layout, first + gap * (len(facts) - 1), facts[-1:], gap=gap, loud=False)


def big_keys_row(layout: Layout, lines: int) -> int:
    """First row of the big keys: they end in the last row, the last one set apart where there is room."""
    return layout.keys[-1] - lines - (0 if len(layout.keys) == 1 else 1) + 1


def big_keys(layout: Layout, lines: list[tuple[str, str]], *, strong: int, ending: bool = False) -> Part:
    """Run's own keys at the left edge, one under another; the last is set apart."""
    row = big_keys_row(layout, len(lines))
    part = frame.key_lines(layout, row, lines[:-1], strong=strong)
    return part + frame.key_lines(layout, layout.keys[-1], lines[-1:], strong=1 if ending else 0)


_CORNER = (None, None, None, None, frame.PLACES)
