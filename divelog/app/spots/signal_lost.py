"""Signal lost: a clock with seconds, one step bold at a time, and nothing that a full disk could take away."""

from __future__ import annotations

from datetime import datetime

from divelog.app.frames import clock_words, date_words
from divelog.app.look import answers, figures, frame
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, page
from divelog.app.look.stack import KEPT, Block, stack
from divelog.app.look.words import cut
from divelog.app.read_do import KEY_PRESSED, ReadDo, her_time, steps_of
from divelog.app.running import Out, minutes, since
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.run import end_run
from divelog.files import StorageError
from divelog.session.session import ReadOnlyError
from divelog.text import shown

LIST = "signal-lost"


class SignalLost(Spot):
    """The steps by the clock that started when the signal went."""

    place = Place.RUN

    def __init__(self, shell: Shell, fault: str = "") -> None:
        super().__init__(shell)
        out = self.out
        lost = out.lost if out is not None else None
        self._opened = (self.desk.now(), self.desk.session.clock.up())
        self.walk = ReadDo(self.desk, steps_of(self.desk, LIST), lost)
        self.fault = fault or self.walk.fault
        self.ending = False
        self.marked = False

    @property
    def out(self) -> Out | None:
        """The run of the boat in hand that is on."""
        return self.shell.watch.out(self.desk.slug) if self.desk.slug is not None else None

    @property
    def seconds(self) -> float:
        """Seconds since the signal went; since the page was opened where that moment is not in the log."""
        out = self.out
        if out is not None and out.lost is not None:
            return max(0.0, since(self.desk, out.lost).seconds)
        return max(0.0, self.desk.session.clock.up() - self._opened[1])

    @property
    def moment(self) -> datetime:
        """When the signal went."""
        out = self.out
        return out.lost.local if out is not None and out.lost is not None else self._opened[0]

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Clock, her time, back by; the steps; the caution that never goes."""
        seconds = self.seconds
        now = self.desk.now()
        blocks = [
            Block(self._clock(layout, seconds), row=3, rank=KEPT),
            Block(self._steps(layout, seconds), row=9, rank=KEPT),
            Block(answers.cautions(layout, 0, [self.walk.steps.caution]), row=20, rank=8),
        ]
        if self.fault or self.walk.fault:
            said = f"{self.fault or self.walk.fault} The steps go on."
            blocks[2:2] = [
                Block(
                    answers.note(layout, 0, "Not kept", shown(cut(said, layout.measure)), loud=True),
                    row=18,
                    rank=7,
                )
            ]
        name = self.desk.name() if self.desk.slug is not None else "Boats"
        moment = self.moment
        top = frame.header(
            layout,
            boat=name,
            place="Signal lost",
            what=f"at {moment:%H:%M:%S}",
            date=date_words(now),
            time=clock_words(now),
        )
        top += frame.waterline(layout, Place.RUN, names=self.shell.places_open)
        last = layout.keys[-1] - 1
        if self.shell.places_open:
            top += frame.places_keys(layout)
            last = layout.keys[0] - 1
        else:
            top += self._keys(layout)
        return page(layout, stack(layout, blocks, last=last), top)

    def _keys(self, layout: Layout) -> Part:
        out = self.out
        end = (
            None if out is None else Key("1", "ends it") if self.ending else Key("e 1", "end the run", "end")
        )
        mark = Key("Space", "marked" if self.marked else "mark") if out is not None else None
        row = (Key("Enter", "done"), mark, Key("v", "seen again", "seen"), None, end)
        one = len(layout.keys) == 1
        return frame.keys(layout, row if one else (), () if one else row)

    def _clock(self, layout: Layout, seconds: float) -> Part:
        whole = int(seconds)
        text = f"{whole // 60}:{whole % 60:02d}"
        known = her_time(self.desk)
        hers = (
            (f"{known[0]} s{'*' if known[1] else ''}", "her time to come up")
            if known is not None
            else ("unknown", "her time")
        )
        out = self.out
        by = minutes(self.desk, out).back_by if out is not None else None
        back = (clock_words(by) if by is not None else "unknown", "back by")
        step = 5 if layout.second is None else 3  # the wide page draws everything one step larger
        part = figures.figure(layout, 0, layout.title, text, step=step)
        if layout.limit is None:
            part += at(0, layout.reading, hers[0], Role.BOLD) + at(1, layout.reading, "her time")
            return part + at(2, layout.reading, back[0], Role.BOLD)
        long = layout.gauge is not None
        left = layout.limit if long else max(layout.limit, _end(part) + 2)
        part += at(0, left, "since the signal went" if long else "since it went", kind=Kind.AFTER)
        for row, (value, words) in ((2, hers), (4, back)):
            part += at(row, left, value, Role.BOLD, Kind.AFTER)
            after = left + max(7, len(value) + 2)
            part += at(
                row, after, cut(words if long else words[:8].strip(), layout.edge - after), kind=Kind.AFTER
            )
        return part

    def _steps(self, layout: Layout, seconds: float) -> Part:
        steps = self.walk.steps.steps
        present = self.walk.present(seconds)
        shown_steps = [(n, step) for n, step in enumerate(steps) if step.line != KEY_PRESSED]
        items = [
            (f"{step.at:.0f} s" if step.at is not None else str(n), shown(step.words))
            for n, step in shown_steps
        ]
        here = next((place for place, (n, _) in enumerate(shown_steps) if n >= present), len(items))
        room = {True: 10}.get(layout.gauge is not None, 8 if layout.margin else 4)
        return answers.steps(layout, 0, items, present=here, most=room)

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Enter does a step, Space marks, v says she is seen again, e then 1 ends the run."""
        if self.ending:
            self.ending = False
            if key == "1" and self.out is not None:
                self.walk.end("the run was ended")
                end_run(self.shell)
                return True
            if key == "escape":
                return True
        if key == "enter":
            self.walk.do(self.seconds)
            return True
        out = self.out
        if key == "space":
            if out is not None:
                self.marked = self._keep("mark", {"kind": None}, out)
            return True
        if key == "v":
            self._seen(out)
            return True
        if key == "e" and out is not None:
            self.ending = True
            return True
        return False

    def _seen(self, out: Out | None) -> None:
        if out is not None and out.lost is not None:
            self._keep("signal", {"kind": "back"}, out)
        self.walk.end("seen again")
        self.shell.pop()

    def _keep(self, what: str, data: dict[str, object], out: Out) -> bool:
        """Keep an event of the run; what cannot be kept is said here and hides nothing."""
        try:
            self.desk.keep(what, data, run=out.start.id)
        except (StorageError, ReadOnlyError) as error:
            self.fault = str(error)
            return False
        return True

    def tick(self) -> None:
        """The word *marked* goes after a moment."""
        self.marked = False


def _end(part: Part) -> int:
    return max((placed.span.end for placed in part), default=0)
