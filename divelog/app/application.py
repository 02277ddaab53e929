"""The Textual application: one canvas, one shell, keys in, pages out. It only wires."""

from __future__ import annotations

import asyncio
import contextlib
import signal

from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding

from divelog.app.look.canvas import Canvas, dress
from divelog.app.look.themes import SUN, Theme
from divelog.app.shell import Shell

_NAMES = {"return": "enter", "ctrl+m": "enter", "ctrl+h": "backspace", "ctrl+j": "enter", "delete": "backspace"}


class Divelog(App[int]):
    """The screens."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [Binding("ctrl+c", "ask_to_leave", show=False, priority=True), Binding("ctrl+q", "ask_to_leave", show=False)]  # noqa: RUF012

    def __init__(self, shell: Shell, theme: Theme = SUN, *, blocks: bool = True) -> None:
        super().__init__()
        self.shell = shell
        self.look = theme
        self.blocks = blocks

    def compose(self) -> ComposeResult:
        """One canvas and nothing else."""
        yield Canvas(self.shell.draw, theme=self.look, blocks=self.blocks)

    @property
    def canvas(self) -> Canvas:
        """The canvas."""
        return self.query_one(Canvas)

    def on_mount(self) -> None:
        """Dress the ground, catch what would kill us without restoring the terminal, start the clock."""
        dress(self, self.look)
        self.set_interval(1.0, self._tick)
        loop = asyncio.get_running_loop()
        for name, code in (("SIGTERM", 143), ("SIGHUP", 129)):
            number = getattr(signal, name, None)
            if number is not None:
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(number, self._end, code)

    def _end(self, code: int) -> None:
        self.exit(code, return_code=code)

    def _tick(self) -> None:
        self.shell.tick()
        self.canvas.draw()

    def action_ask_to_leave(self) -> None:
        """Ctrl+C asks before leaving; a second one leaves."""
        if self.shell.asked_to_leave or type(self.shell.front).__name__ == "Leave":
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
        self.shell.press(key)
        if self.shell.asked_to_leave:
            self._end(0)
            return
        self.canvas.draw()
