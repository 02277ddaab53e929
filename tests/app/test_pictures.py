"""Every screen as a picture, at three sizes: painted by the real application, kept as SVG, compared as text.

The boats are the samples with their lived-in logbook, on the morning it ends. ``DIVELOG_PICTURES=write`` draws the
pictures anew: then look at them.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.demo import MORNING
from divelog.app.desk import Desk
from divelog.app.look.layout import Place
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.app.spots.checks import Checks
from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.writing import Journal
from divelog.session.session import Session
from divelog.session.shelf import read_shelf


def _beside(name: str):
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


drawing, person, readings = _beside("drawing"), _beside("person"), _beside("readings")

FOLDER = Path(__file__).with_name("pictures")
SIZES = {"80x24": (80, 24), "60x20": (60, 20), "120x40": (120, 40)}


class Stage:
    """A shell on the lived-in sample boats, with its clock and somebody at the keys."""

    def __init__(self, root: Path) -> None:
        shutil.copytree(data_folder("sample_boats"), root)
        self.file = root.parent / "outing.csv"
        self.clock = FixedClock(MORNING)
        self.journal = Journal(Home(root), device="laptop-b", clock=self.clock)
        session = Session(Home(root), self.clock, read_shelf(Home(root)), self.journal)
        self.shell = Shell(Desk(session), MAKERS, EXTRAS)

        async def press(key: str) -> None:
            self.shell.press(key)

        self.who = person.Person(self.shell, press, self.clock.advance)

    async def take(self, boat: str) -> None:
        """Take a boat in hand; her day and plan are typed where they are asked."""
        self.shell.desk.date_said = MORNING.date()
        self.shell.change_boat(boat)
        self.shell.go(Place.LIMITS)
        title = type(self.shell.front).__name__
        if title == "Day":
            first = self.shell.front.fields[0].path
            depth = {"tansy": "0.7", "bulrush": "0.2", "juniper": "0.7", "bramble": "0.3"}[boat]
            await (self.who.plan(depth) if first.startswith("plan.") else self.who.day(depth))

    async def until(self, line: str, boat: str) -> None:
        """Answer a list up to a line."""
        for _ in range(60):
            spot = self.shell.front
            assert isinstance(spot, Checks)
            now = spot.now()
            assert now is not None, f"{line} is not asked"
            if now[0].id == line:
                return
            await self.who._one(spot, boat)
        raise AssertionError(f"{line} never came")


Walk = Callable[[Stage], "object"]


async def boats(s: Stage) -> None:
    s.shell.go(Place.BOATS)


async def day(s: Stage) -> None:
    await s.take("bulrush")
    s.shell.below("day")
    sites = [x for x, d in s.shell.desk.session.shelf.sites.items() if not d.faults]
    await s.who.type(str(sites.index("withy-pond") + 1), "11", "enter")


async def limits(s: Stage) -> None:
    await s.take("tansy")


async def why(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("1")


async def why_chart(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("5", "v")


async def every(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("e")


async def check(s: Stage) -> None:
    await s.take("bulrush")
    await s.who.type("c")
    await s.until("pack-volts", "bulrush")


async def check_outside(s: Stage) -> None:
    await check(s)
    await s.who.type("6.21", "enter")


async def check_each(s: Stage) -> None:
    await s.take("bulrush")
    await s.who.type("c")
    await s.until("signal-off", "bulrush")
    await s.who.type("1", "1")


async def check_setting(s: Stage) -> None:
    await s.take("bulrush")
    await s.who.type("c")
    await s.until("tip", "bulrush")


async def paused(s: Stage) -> None:
    await s.take("bramble")
    await s.who.type("c")


async def before_launch(s: Stage) -> None:
    await s.take("bulrush")
    await s.who.type("c")
    await s.who.list("bulrush")


async def run(s: Stage) -> None:
    await before_launch(s)
    await s.who.type("enter", "enter")
    s.clock.advance(15 * 60)
    await s.who.type("space", "space")


async def run_over(s: Stage) -> None:
    await run(s)
    s.clock.advance(120 * 60)


async def signal_lost(s: Stage) -> None:
    await run(s)
    await s.who.type("enter")
    s.clock.advance(12)
    s.shell.tick()


async def after_run(s: Stage) -> None:
    await run(s)
    await s.who.type("e", "1")
    await s.until("water", "bulrush")


async def log(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("g")


async def run_page(s: Stage) -> None:
    await log(s)
    for _ in range(60):
        row = next((t for t in s.shell.draw_text().split("\n") if t.startswith(">")), "")
        if " run " in row:
            break
        await s.who.type("down")
    await s.who.type("enter")


async def upkeep(s: Stage) -> None:
    await s.take("bulrush")
    await s.who.type("k")


async def rehearsal(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("r")


async def ten(s: Stage) -> None:
    s.shell.go(Place.BOATS)
    s.shell.desk.date_said = MORNING.date()
    await s.who.type("+")


async def happened(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("n")


async def trouble(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("t")


async def measure(s: Stage) -> None:
    await s.take("tansy")
    await s.who.type("m")


async def an_outing(s: Stage, join: bool) -> None:
    """The page of a run of this morning, with a file of readings or without one."""
    await s.take("tansy")
    run = readings.a_run(s.shell, s.clock, launch=MORNING + timedelta(minutes=30))
    if join:
        readings.join(s.shell, run, b"".join(readings.outing(2400, 4.0)))
    readings.to_run(s.shell, run)


async def curve(s: Stage) -> None:
    await an_outing(s, join=True)
    await s.who.type("v")
    readings.settled(s.shell)
    await s.who.type("4")


async def attach(s: Stage) -> None:
    await an_outing(s, join=False)
    s.file.write_bytes(
        b"".join(readings.outing(2400, 4.0)).replace(
            b"t,depth,volts,current", b"time s,depth m,volts V,current A"
        )
    )
    await s.who.type("f")
    for letter in str(s.file):
        s.shell.press(letter)
    await s.who.type("enter", "1")


async def the_keys(s: Stage) -> None:
    await s.who.type("?")


PICTURES: dict[str, Walk] = {
    "boats": boats, "day": day, "limits": limits, "why": why, "why-chart": why_chart, "every-limit": every,
    "check": check, "check-outside": check_outside, "check-each": check_each, "check-setting": check_setting,
    "paused": paused, "before-launch": before_launch, "run": run, "run-over": run_over, "signal-lost": signal_lost,
    "after-run": after_run, "log": log, "run-page": run_page, "upkeep": upkeep, "rehearsal": rehearsal, "new-boat": ten,
    "happened": happened, "trouble": trouble, "measure": measure, "curve": curve, "attach": attach, "keys": the_keys,
}  # fmt: skip


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[Stage]:
    """A stage of its own."""
    made = Stage(tmp_path / "home")
    yield made
    made.journal.close()


@pytest.mark.parametrize("name", PICTURES)
async def test_picture(name: str, stage: Stage, look) -> None:
    await PICTURES[name](stage)
    app = Divelog(stage.shell)
    wrong = []
    async with app.run_test(size=SIZES["80x24"]) as pilot:
        for size, (wide, high) in SIZES.items():
            await pilot.resize_terminal(wide, high)
            await pilot.pause()
            assert look.problems(app.canvas.page) == [], size
            drawn = drawing.svg(app.canvas.page)
            file = FOLDER / f"{name}-{size}.svg"
            if os.environ.get("DIVELOG_PICTURES") == "write":
                FOLDER.mkdir(exist_ok=True)
                file.write_text(drawn, encoding="utf-8")
            if not file.exists() or drawn != file.read_text(encoding="utf-8"):
                wrong.append(file.name)
    assert wrong == [], "draw them anew with DIVELOG_PICTURES=write, then look at them"
