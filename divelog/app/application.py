"""The Textual application: one canvas, one shell, keys in, pages out. It only wires.

The frame is painted first; boats, log and limits are imported and read after it is on the terminal (they cost as much
as the framework itself). Keys pressed meanwhile wait.
"""

from __future__ import annotations

import asyncio
import contextlib
import signal
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType

from divelog.app.look.canvas import Canvas, dress
from divelog.app.look.layout import Layout
from divelog.app.look.page import Page
from divelog.app.look.themes import SUN, Theme
from divelog.app.opening import opening_page

if TYPE_CHECKING:
    from divelog.app.shell import Shell

_NAMES = {
    "return": "enter",
    "ctrl+m": "enter",
    "ctrl+h": "backspace",
    "ctrl+j": "enter",
    "delete": "backspace",
}
_SIGNALS = ("SIGINT", "SIGTERM", "SIGHUP")
"""What ends the program from outside; without a handler the terminal would be left as it is."""


class Divelog(App[int]):
    """The screens: of a shell that is there, or of one that ``opening`` makes after the first paint."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "ask_to_leave", show=False, priority=True),
        Binding("ctrl+q", "ask_to_leave", show=False, priority=True),
        Binding("ctrl+z", "suspend_process", show=False, priority=True),
    ]

    def __init__(
        self,
        shell: Shell | None = None,
        theme: Theme = SUN,
        *,
        blocks: bool = True,
        opening: Callable[[], Shell] | None = None,
    ) -> None:
        super().__init__()
        self._shell = shell
        self._make_shell = opening
        self.look = theme
        self.blocks = blocks
        self._waiting: list[str] = []
        self.fault: Exception | None = None
        """What went wrong in us, for the sentence after the terminal is given back."""
        self.ended_by: signal.Signals | None = None
        """The signal that ended us, for the same sentence."""

    @property
    def shell(self) -> Shell:
        """The shell; it is there once the first page is."""
        assert self._shell is not None
        return self._shell

    def _drawn(self, layout: Layout) -> Page:
        return self._shell.draw(layout) if self._shell is not None else opening_page(layout)

    def compose(self) -> ComposeResult:
        """One canvas and nothing else."""
        yield Canvas(self._drawn, theme=self.look, blocks=self.blocks)

    @property
    def canvas(self) -> Canvas:
        """The canvas."""
        return self.query_one(Canvas)

    def on_load(self) -> None:
        """Catch what would kill us without restoring the terminal, before the terminal is changed."""
        loop = asyncio.get_running_loop()
        for name in _SIGNALS:
            number = getattr(signal, name, None)
            if number is not None:
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(number, self._end_by, number)

    def _end_by(self, number: signal.Signals) -> None:
        self.ended_by = number
        self._end(128 + number)

    def on_mount(self) -> None:
        """Open, then start the clock."""
        self.app_resume_signal.subscribe(self, self._come_back)
        if self.look.page is None:
            dress(self, self.look)  # without colours the framework's own theme must go before the first paint
        if self._shell is None:
            self.call_after_refresh(self._open_shell)
        else:
            self._start_clock()

    def _come_back(self, _: object) -> None:
        """Back from Ctrl+Z the terminal is empty: everything is painted again."""
        self.refresh(layout=True)

    def _open_shell(self) -> None:
        assert self._make_shell is not None
        self._shell = self._make_shell()
        for key in self._waiting:
            self._shell.press(key)
        self._waiting.clear()
        self._start_clock()
        self.canvas.draw()

    def _start_clock(self) -> None:
        if self.look.page is not None:
            dress(self, self.look)  # the canvas covers the ground, so this can wait for the first paint
        self.shell.suspend = self.suspend
        self.set_interval(1.0, self._tick)

    def _handle_exception(self, error: Exception) -> None:
        """A fault of ours: the terminal is given back, one sentence is said, and the details go to a file."""
        if self.is_headless:
            super()._handle_exception(error)  # tests see the fault itself
            return
        self.fault = error
        self._end(70)

    def _end(self, code: int) -> None:
        self.exit(code, return_code=code)

    def _tick(self) -> None:
        self.shell.tick()
        if self.shell.bell_wanted:
            self.shell.bell_wanted = False
            self.bell()
        self.canvas.draw()

    def action_ask_to_leave(self) -> None:
        """Ctrl+C asks before leaving; a second one leaves."""
        if self._shell is None or self.shell.asked_to_leave or type(self.shell.front).__name__ == "Leave":
            self._end(0)
            return
        self.shell.below("leave")
        self.canvas.draw()

    def on_key(self, event: events.Key) -> None:
        """Every key goes to the shell, then the page is drawn anew."""
        key = _NAMES.get(event.key, event.key)
        if event.character is not None and event.is_printable and event.key != "space":
            key = event.character
        event.stop()
        if self._shell is None:
            self._waiting.append(key)
            return
        self.shell.press(key)
        if self.shell.asked_to_leave:
            self._end(0)
            return
        self.canvas.draw()
