"""Before launch: what is open, and the person's own words. The program only informs."""

from __future__ import annotations

from divelog.app.check_view import SIGNS
from divelog.app.frames import framed
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role
from divelog.app.look.rows import Row
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.checks import Checks
from divelog.app.typed import Typed
from divelog.checks import launch as launching
from divelog.checks import walk as walks
from divelog.checks.entry import RefusedError
from divelog.checks.launch import Launch as Glance
from divelog.text import shown

A_PAGE = 9


class Launch(Spot):
    """The glance before launch; a defect that stops it needs a reason to be overruled."""

    place = Place.CHECKS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.typed = Typed(words=True)
        self.because: dict[str, str] = dict(self.desk.overruled()) if self.desk.slug is not None else {}
        """Why each defect is overruled; a reason said on the page of defects stands here already."""
        self.fault = ""
        self.top = 0

    def enter(self) -> None:
        """After a storage fault: the rest of the call is kept before anything else."""
        checks = self._checks()
        checks.keep_rest()
        if checks.walk is not None and checks.walk.launched:
            self.shell.go(Place.RUN)

    def _checks(self) -> Checks:
        spot = self.shell.spot(Place.CHECKS)
        assert isinstance(spot, Checks)
        return spot

    def glance(self) -> Glance | None:
        """What is open now."""
        checks = self._checks()
        if checks.walk is None:
            return None
        return launching.launch(checks.walk, checks.around(), self.desk.limits())

    def _defect(self, glance: Glance) -> str | None:
        """The event of the next defect that has no reason yet."""
        return next((d.event for d in glance.defects if d.event not in self.because), None)

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """A reason is text."""
        glance = self.glance()
        return glance is not None and self._defect(glance) is not None

    def draw(self, layout: Layout) -> Page:
        """The row of what is open, each item under it, and what to say."""
        glance = self.glance()
        if glance is None:
            return framed(self, layout, [Block(answers.sentence(layout, 0, "No list is in hand."), row=4)])
        found: list[Row | None] = [
            Row(cut(shown(d.what), 40), Status.OUTSIDE, limit=self._stands(d.event)) for d in glance.defects
        ]
        for item in glance.items:
            found.append(Row(shown(item.name), SIGNS.get(item.mark), limit=shown(item.words)))
        count = len(glance.items) + len(glance.defects)
        title = "NOTHING OPEN" if not count else f"OPEN {count}"
        page = found[self.top : self.top + A_PAGE]
        blocks = [
            Block(answers.sentence(layout, 0, title, role=Role.BOLD), row=4, rank=KEPT),
            Block(rows.listed(layout, 0, page), row=6, rank=6),
        ]
        left = count - self.top - len(page)
        if left > 0:
            blocks.append(Block(answers.sentence(layout, 0, f"and {left} more: down"), row=16, rank=4))
        waiting = self._defect(glance)
        if waiting is not None:
            blocks.append(
                Block(
                    answers.note(
                        layout, 0, "Overrule", "Say why, in your own words, or p to wait.", loud=True
                    ),
                    row=17,
                    rank=KEPT,
                )
            )
            blocks.append(
                Block(plate.text_plate(layout, 0, shown(self.typed.text)), row=18, rank=KEPT, close=True)
            )
        else:
            blocks.append(
                Block(
                    answers.sentence(
                        layout, 0, 'Say "ready to dive" and press Enter, or p to wait.', role=Role.BOLD
                    ),
                    row=18,
                    rank=KEPT,
                )
            )
        if self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Not yet", cut(self.fault, layout.measure)), row=20, rank=8)
            )
        return framed(
            self, layout, blocks, place="Before launch", what=f"open {count}" if count else "",
            first=(Key("Enter", "said so"), Key("b", "back one line", "back"), Key("down", "further"), None),
            second=(Key("p", "wait"), Key("n", "note"), None, None),
        )  # fmt: skip

    def _stands(self, event: str) -> str:
        """Whether a defect stops the launch, or why it does not."""
        reason = self.because.get(event)
        return f"overruled: {shown(reason)}" if reason else "stops the launch"

    def press(self, key: str) -> bool:
        """Enter is the person's call; what is open goes into the log with it."""
        glance = self.glance()
        if glance is None:
            return False
        self.fault = ""
        waiting = self._defect(glance)
        if waiting is not None:
            return self._press_reason(key, waiting)
        if key == "enter":
            self._call()
            return True
        if key in ("p", "escape"):
            self.shell.pop()
            return True
        if key == "b":
            checks = self._checks()
            self.shell.pop()
            if checks.walk is not None:
                checks.keep_step(walks.back(checks.walk, checks.around()))
            return True
        if key in ("down", "up"):
            step = A_PAGE if key == "down" else -A_PAGE
            self.top = max(0, min(self.top + step, max(0, len(glance.items) + len(glance.defects) - 1)))
            return True
        return False

    def _press_reason(self, key: str, event: str) -> bool:
        if key == "enter":
            if self.typed.value:
                self.because[event] = self.typed.value
                self.typed = Typed(words=True)
            else:
                self.fault = "a defect stops the launch until it is closed, or overruled with a reason"
            return True
        if key == "escape" and not self.typed.text:
            return False
        if key == "p" and not self.typed.text:
            self.shell.pop()
            return True
        self.typed = self.typed.take(key) or self.typed
        return True

    def _call(self) -> None:
        checks = self._checks()
        assert checks.walk is not None
        try:
            stepped = launching.call(
                checks.walk, checks.around(), because=self.because, limits=self.desk.limits()
            )
        except RefusedError as refused:
            self.fault = shown(str(refused))
            return
        checks.keep_step(stepped)
        self.shell.go(Place.RUN)
