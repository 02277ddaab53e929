"""The canvas: pages painted line by line, only what changed, in every size and theme."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from textual import events
from textual.app import App, ComposeResult
from textual.strip import Strip

from divelog.app.look import figures, frame, plate, rows
from divelog.app.look.canvas import Canvas, dress, strip_of
from divelog.app.look.layout import STANDARD, Layout, Place
from divelog.app.look.page import Page, Role, at, page
from divelog.app.look.themes import DARK, OWN, SUN, THEMES, Theme
from divelog.app.look.too_small import SENTENCE, too_small
from divelog.app.look.words import Status


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()


class Counting(Canvas):
    """Remembers which rows were asked for."""

    asked: list[int]

    def render_line(self, y: int) -> Strip:
        self.__dict__.setdefault("asked", []).append(y)
        return super().render_line(y)


class Clock(App[None]):
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, look: Theme = SUN, name: str = "TANSY") -> None:
        super().__init__()
        self.look = look
        self.boat = name
        self.minutes = 30
        self.typed = ""

    def drawn(self, layout: Layout) -> Page:
        return page(
            layout,
            frame.header(
                layout, boat=self.boat, place="Run", date="Tue 4 May", time=f"08:{28 - self.minutes % 30:02}"
            ),
            frame.waterline(layout, Place.RUN),
            figures.figure(layout, 4, 16, str(self.minutes), step=10),
            rows.status(layout, 15, Status.WITHIN),
            plate.choice_plate(layout, 10, self.typed, "piston tank") if self.typed else (),
            frame.keys(layout, (frame.Key("Enter", "keep"), None, None, None, frame.TROUBLE)),
        )

    def compose(self) -> ComposeResult:
        yield Counting(self.drawn, theme=self.look)

    def on_mount(self) -> None:
        dress(self, self.look)

    def on_key(self, event: events.Key) -> None:
        self.typed = event.key


async def test_only_rows_that_changed_are_painted_again() -> None:
    app = Clock()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        canvas = app.query_one(Counting)
        assert set(canvas.asked) == set(range(24))
        before = canvas.page
        canvas.asked.clear()
        canvas.draw()
        await pilot.pause()
        assert canvas.asked == []
        app.minutes = 29
        canvas.draw()
        await pilot.pause()
        assert canvas.page is not None
        assert set(canvas.asked) == set(canvas.page.changed(before))
        assert 0 in canvas.asked
        assert set(canvas.asked) <= {0, *range(4, 14)}


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40), (40, 12), (200, 60), (20, 5), (1, 1)])
async def test_the_screen_is_the_page_in_the_theme_and_nothing_else(
    size: tuple[int, int], theme: Theme
) -> None:
    app = Clock(theme)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        strips = look_checks.screen_strips(app)
        assert look_checks.strip_problems(strips, size[0]) == []
        canvas = app.query_one(Counting)
        assert canvas.page is not None
        expected = [line.rstrip() for line in canvas.page.lines()]
        assert [strip.text.rstrip() for strip in strips] == expected + [""] * (size[1] - len(expected))
        allowed = set(theme.styles.values())
        for strip in strips:
            for segment in strip:
                assert segment.style is not None
                assert segment.style.color in {style.color for style in allowed}
                assert segment.style.bgcolor in {style.bgcolor for style in allowed}


async def test_the_three_themes_show_the_same_text() -> None:
    texts = []
    for theme in THEMES.values():
        app = Clock(theme)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            texts.append([strip.text for strip in look_checks.screen_strips(app)])
    assert texts[0] == texts[1] == texts[2]


async def test_a_theme_can_be_changed_and_half_blocks_turned_off() -> None:
    app = Clock(SUN)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        canvas = app.query_one(Counting)
        canvas.wear(DARK)
        dress(app, DARK)
        await pilot.pause()
        assert canvas.look is DARK
        grounds = {s.style.bgcolor for strip in look_checks.screen_strips(app) for s in strip if s.style}
        assert grounds <= {style.bgcolor for style in DARK.styles.values()}
        canvas.wear(OWN, blocks=False)
        dress(app, OWN)
        await pilot.pause()
        text = "".join(strip.text for strip in look_checks.screen_strips(app))
        assert text.isascii()


async def test_a_resize_in_mid_answer_keeps_what_was_typed() -> None:
    app = Clock()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2")
        app.query_one(Counting).draw()
        await pilot.pause()
        canvas = app.query_one(Counting)
        assert canvas.page is not None
        assert canvas.page_layout is STANDARD
        assert ":2::piston:tank_:" in canvas.page.text()
        await pilot.resize_terminal(20, 5)
        await pilot.pause()
        assert "Make the window" in canvas.page.text()
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert canvas.page.layout.name == "60x20"
        assert ":2::piston:tank_:" in canvas.page.text()


async def test_before_a_size_is_known_nothing_is_drawn() -> None:
    canvas = Canvas()
    canvas.draw()
    assert canvas.page is None
    assert canvas.page_layout is STANDARD


async def test_another_drawing_takes_its_place() -> None:
    app = Clock()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        canvas = app.query_one(Counting)
        canvas.draw(lambda layout: page(layout, at(3, 16, "Paused", Role.BOLD)))
        await pilot.pause()
        texts = [strip.text.strip() for strip in look_checks.screen_strips(app)]
        assert [text for text in texts if text] == ["Paused"]


async def test_it_takes_no_focus_so_that_keys_reach_the_screen() -> None:
    app = Clock()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("x")
        assert app.focused is None
        assert app.typed == "x"


def test_a_strip_is_as_wide_as_the_terminal() -> None:
    drawn = page(STANDARD, at(3, 1, "船", Role.BOLD), at(3, 0, " " * 80, Role.OUTSIDE))
    for width in (80, 100):
        strip = strip_of(drawn, 3, SUN, width)
        assert strip.cell_length == width
        assert next(s.style for s in strip) == SUN.styles[Role.OUTSIDE]


@pytest.mark.parametrize("size", [(1, 1), (3, 1), (20, 5), (39, 11), (300, 3)])
def test_the_sentence_fits_any_size(size: tuple[int, int]) -> None:
    drawn = too_small(*size)
    assert look_checks.width_problems(drawn) == []
    assert len(drawn.lines()) == size[1]
    said = " ".join(drawn.text().split())
    assert SENTENCE.startswith(said[:1])
    if size[0] * size[1] >= 100:
        assert said == SENTENCE
