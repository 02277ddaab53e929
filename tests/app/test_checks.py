"""Checks as a person meets them: a disk that fails in the middle of an answer, a list left for good, whose limit is shown."""

from __future__ import annotations

import pytest

from divelog.app.look.layout import STANDARD, TINY, Place
from divelog.app.spots.checks import Checks
from divelog.app.spots.launch import Launch
from divelog.app.spots.not_kept import NotKept
from divelog.files import StorageError, StorageKind
from divelog.journal.loading import load


@pytest.fixture
def checks(shell) -> Checks:
    """Tansy on her day at the pond, with the second of her packs; the list before the dive in front."""
    desk = shell.desk
    water = {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5}}
    desk.keep("day.opened", water, everybody=True)
    plan = {
        "pack": "D2", "depth": {"si": 0.7, "u95": 0.05}, "distance": {"si": 35, "u95": 0},
        "minutes": {"si": 2400, "u95": 0},
    }  # fmt: skip
    desk.keep("plan.set", plan)
    shell.go(Place.CHECKS)
    return shell.front


def fail(monkeypatch, shell, *, after: int = 0) -> None:
    """Every event but the next few is refused by the disk."""
    journal = shell.desk.session.journal
    real, left = journal.append, [after]

    def append(*args, **more):
        if left[0] == 0:
            raise StorageError(StorageKind.FULL, shell.desk.session.home.root)
        left[0] -= 1
        return real(*args, **more)

    monkeypatch.setattr(journal, "append", append)


def tell_nothing(checks: Checks, press) -> None:
    """The line in front cannot be told; a line that wants words gets one."""
    press(*(("so", "enter") if checks.typing else ("u",)))


def answer_until(checks: Checks, press, line: str) -> None:
    """Say that no line before this one can be told."""
    for _ in range(200):
        now = checks.now()
        assert now is not None
        if now[0].id == line:
            return
        tell_nothing(checks, press)
    raise AssertionError(line)


def events(shell) -> list[str]:
    return [e.what for e in load(shell.desk.session.home, "tansy").events]


def test_an_answer_that_was_not_kept_is_still_there_to_be_kept(
    checks, shell, press, monkeypatch, page, clock
):
    answer_until(checks, press, "pack-volts")
    clock.advance(5)
    before = events(shell)
    fail(monkeypatch, shell)
    press("8.45", "enter")
    assert isinstance(shell.front, NotKept)
    assert events(shell) == before
    press("1")
    assert checks.now()[0].id == "pack-volts"
    assert checks.typed.text == "8.45"
    monkeypatch.undo()
    press("enter")
    assert checks.now()[0].id != "pack-volts"
    assert events(shell) == [*before, "check.answered"]
    assert not checks.walk.unsaved


def test_the_rest_of_an_answer_is_kept_before_anything_is_asked(checks, shell, press, monkeypatch, clock):
    press("v", "4")
    answer_until(checks, press, "terminals-after")
    count = len(events(shell))
    with monkeypatch.context() as disk:
        fail(disk, shell, after=1)
        clock.advance(5)
        press("enter")
        assert isinstance(shell.front, NotKept)
        assert events(shell)[count:] == ["check.answered"]
        press("1")
        assert isinstance(shell.front, NotKept)  # the disk is still full
    press("1")
    assert shell.front is checks
    assert events(shell)[count:] == ["check.answered", "serviced"]
    assert checks.now()[0].id != "terminals-after"
    tell_nothing(checks, press)
    assert len(events(shell)) == count + 3


def test_the_rest_of_the_call_is_kept_before_the_run(checks, shell, press, monkeypatch):
    while checks.now() is not None:
        tell_nothing(checks, press)
    press("enter")
    assert isinstance(shell.front, Launch)
    with monkeypatch.context() as disk:
        fail(disk, shell, after=1)
        press("enter")
        assert isinstance(shell.front, NotKept)
    assert events(shell)[-1] == "check.ended"
    press("1")
    assert events(shell)[-2:] == ["check.ended", "launch.called"]
    assert shell.here is Place.RUN


def test_leaving_a_paused_list_asks_why_on_the_page(checks, shell, press, page, look, clock):
    answer_until(checks, press, "pack-volts")
    press("p")
    assert "minutes away" in page().text()
    press("z")
    text = page().text()
    assert "Why is the list left?" in text
    assert "no tool for it here" in text
    assert "minutes away" not in text
    for layout in (STANDARD, TINY):
        assert look.problems(page(layout)) == []
    press("rain", "enter")
    ended = load(shell.desk.session.home, "tansy").events[-1]
    assert (ended.what, ended.payload()["left"]) == ("check.ended", "rain")


def test_why_shows_the_limit_of_the_pack_that_dives(checks, shell, press):
    answer_until(checks, press, "pack-volts")
    press("w")
    assert (shell.front.key, shell.front.item) == ("battery.rest_voltage", "D2")


def test_a_caution_is_not_said_twice(checks, shell, press, page, clock):
    lines = [x for p in checks.walk.checklist.phases for x in p.lines if x.caution]
    said = [x for x in lines if sum(y.caution == x.caution for y in lines) > 1]
    assert said
    seen: dict[str, int] = {}
    for _ in range(100):
        now = checks.now()
        if now is None:
            break
        words = " ".join(page().text().split())
        for caution in {x.caution for x in said}:
            if f"Caution {caution}" in words:
                seen[caution] = seen.get(caution, 0) + 1
        tell_nothing(checks, press)
    assert seen
    assert set(seen.values()) == {1}


def test_a_caution_is_said_once_a_day_for_one_boat(shell, checks, press):
    said: dict[str, set[tuple[str, str]]] = {}

    def walk_through(name: str) -> None:
        checks.open(name)
        for _ in range(200):
            now = checks.now()
            if now is None or checks.walk is None or checks.walk.ended:
                return
            for row in shell.draw(STANDARD).text().splitlines():
                if row.startswith(" Caution"):
                    said.setdefault(row, set()).add((name, now[0].id))
            tell_nothing(checks, press)
        raise AssertionError("the list never ends")

    for name in ("before-dive", "bench", "before-dive"):
        walk_through(name)
    assert " Caution        Hands clear of the propeller." in said
    assert len(said) > 2
    assert {row: lines for row, lines in said.items() if len(lines) > 1} == {}


def test_enter_with_nothing_chosen_is_told_whole_on_the_page(shell, checks, press, page):
    desk = shell.desk
    start = desk.keep("run.started", {"pack": "D2"})
    desk.keep("run.ended", {"pack": "D2"}, run=start.id)
    checks.open("after-run", start.id)
    told = {}
    for _ in range(8):
        now = checks.now()
        if now is None:
            break
        press("enter")
        row = next((one.rstrip() for one in page().lines() if one.startswith(" Look")), "")
        told[now[0].id] = row
        if checks.now() == now:
            tell_nothing(checks, press)
    assert told["ended"].split(None, 1)[1] == "nothing is chosen yet; its digit, or its name"
    assert told["water"].split(None, 1)[1] == 'nothing is chosen yet; a digit, or an amount as "3 mL"'
    assert not any(row.endswith(">") for row in told.values())
