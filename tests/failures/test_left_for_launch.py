"""What is found wrong at home or on the bench waits for her at the water: nobody must carry it in the head."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from signs import asked, bench, defects, line, outing, past, reply, view
from walking import MORNING, SAMPLES, Bench

from divelog.app.desk import Desk
from divelog.checks import walk as walking
from divelog.checks.entry import RefusedError
from divelog.checks.launch import call
from divelog.cli import main
from divelog.clock import FixedClock
from divelog.history.folding import fold
from divelog.home import Home
from divelog.journal.writing import Journal
from divelog.limits.model import Limit, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.limits.weed import blows_kept, weed_month
from divelog.profiles.document import Fact
from divelog.session.session import Session
from divelog.session.shelf import read_shelf


def worked_out(made: Bench, key: str, item: str) -> Limit:
    return next(one for one in KEYS[key](made.session.sheet(asked(made))) if one.item == item)


# -- defects --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("slug", "place", "answers", "words", "stops"),
    [
        ("bulrush", "evening-before/coupling", ("slips",), "shaft coupling: slips", True),
        ("bulrush", "bench/coupling", ("stiff",), "shaft coupling: stiff", False),
        ("juniper", "bench/links", ("not home", "home"), "linkage: upper port not home", True),
        ("tansy", "evening-before/throttle", ("right", "wrong", "wrong"),
         "throttle: middle still wrong, astern smooth wrong", True),
        ("tansy", "evening-before/set-cells", ("mixed",), "transmitter cells: mixed", True),
        ("tansy", "bench/ballast-way", ("still",), "ballast control: still", True),
    ],
)  # fmt: skip
def test_a_wrong_finding_is_a_defect(
    slug: str, place: str, answers: tuple[str, ...], words: str, stops: bool
) -> None:
    made = bench(slug)
    told = line(made, place, *answers)
    assert told[place] == "outside"
    (found,) = fold(made.events).open_defects(slug)
    assert (found.words, found.stops_launch) == (words, stops)
    assert defects(made) == {"defect": words if stops else "nothing"}


def test_it_stops_the_next_launch_until_it_is_closed_by_a_check() -> None:
    made = bench("bulrush")
    line(made, "evening-before/coupling", "slips")
    walk = made.walk("before-dive")
    with pytest.raises(RefusedError, match="shaft coupling: slips stops the launch"):
        call(walk, made.around())
    line(made, "evening-before/defects", "mended and proved", "coupling felt by hand")
    assert defects(made) == {"defect": "nothing"}
    call(walk, made.around())


def test_a_slip_of_the_finger_answered_again_leaves_no_defect() -> None:
    made = bench("juniper")
    walk = made.begin("bench")
    for answers in (("not home", "home"), ("home",)):
        walk = made.save(*walking.go(walk, made.around(), "links"))
        walk = reply(made, walk, "links", answers)
    assert defects(made) == {"defect": "nothing"}
    assert fold(made.events).open_defects("juniper") == ()


def test_right_findings_leave_nothing() -> None:
    made = bench("tansy")
    for name in ("evening-before", "bench"):
        made.walk(name)
    assert fold(made.events).open_defects("tansy") == ()
    for slug, place, right in (
        ("bulrush", "bench/coupling", "engaged and free"),
        ("juniper", "evening-before/links", "home"),
        ("juniper", "bench/ballast-way", "right"),
    ):
        made = bench(slug)
        line(made, place, right)
        assert fold(made.events).open_defects(slug) == ()


def test_the_name_inside_is_asked_of_nobody_who_has_one() -> None:
    for slug in ("tansy", "bulrush", "juniper", "bramble"):
        made = bench(slug)
        assert "name-inside" not in made.asked(made.begin("evening-before"))


# -- packs ----------------------------------------------------------------------------------------------------------


def charge(made: Bench, pack: str, coulombs: float = 7200.0) -> None:
    made.keep("charged", {"pack": pack, "to": "full", "charge": {"si": coulombs}}, boat=None)


def test_a_run_takes_of_the_receivers_pack_too() -> None:
    made = bench(day=False)
    with past(made, days=2):
        charge(made, "R1")
    made.day()
    assert worked_out(made, "battery.endurance", "R1").verdict is Verdict.WITHIN
    with past(made, days=1):
        outing(made, 40)
    found = worked_out(made, "battery.endurance", "R1")
    assert found.verdict is Verdict.UNKNOWN
    assert "no full charge" in found.remark
    charge(made, "R1")
    assert worked_out(made, "battery.endurance", "R1").verdict is Verdict.WITHIN


def test_volts_under_load_are_judged_by_the_volts_at_rest_or_by_a_full_charge() -> None:
    made = bench()
    assert line(made, "bench/load-volts", "8.30") == {"bench/load-volts": "unknown"}
    found = worked_out(made, "battery.load_voltage", "D2")
    assert found.actions == ("read the volts at rest, then under the load",)
    charge(made, "D2")
    made.wait(hours=1)
    assert line(made, "bench/load-volts", "7.60") == {"bench/load-volts": "outside"}
    line(made, "before-dive/pack-volts", "7.80")  # she is not full after all: then she sags little
    assert line(made, "bench/load-volts", "7.77") == {"bench/load-volts": "within"}


# -- weed -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("days", "blows"), [(0, 1.0), (40, 2.0), (140, 2.0), (160, 1.0)])
def test_two_blows_are_kept_in_a_weed_month(days: int, blows: float) -> None:
    """Withy Pond is weedy from June to September; the days are counted from 4 May."""
    made = bench(day=False)
    made.wait(days=days)
    made.day()
    sheet = made.session.sheet(asked(made))
    assert sheet.of(weed_month) is (blows == 2.0)
    assert sheet.of(blows_kept).si == blows
    planned = sheet.facts.typed("plan.blows", "3")
    assert Sheet(sheet.facts.with_sets(dict([planned])), at=made.clock.now()).of(blows_kept).si == 3.0


# -- the log of it --------------------------------------------------------------------------------------------------


def test_a_break_is_counted_at_the_line_it_was_made_at() -> None:
    made = bench()
    walk = made.walk("before-dive", until="press")
    walk = made.save(*walking.pause(walk, made.around()))
    made.wait(minutes=3)
    made.save(*walking.carry_on(walk, made.around()))
    (row,) = [row for row in view(made, "time_of_checks") if row["list"] == "before-dive"]
    assert (row["breaks"], row["most_broken_off"]) == (1, "press")


def test_a_tower_that_stands_out_is_no_balance() -> None:
    """Both are read against one limit: grams on the coins, millimetres at the mark."""
    made = bench("tansy", day=False)
    with past(made, days=2):
        made.day("barn-tank")
        line(made, "tank-trim/dived-balance", "24")
        line(made, "tank-trim/residual", "13")
    with past(made, days=1):
        outing(made)
    told = [
        row["dived_balance_g"] for row in view(made, "trim_by_pack") if row["dived_balance_g"] is not None
    ]
    assert told
    assert min(told) > 20  # grams of balance, and never the 13 mm of the tower


# -- another pack ---------------------------------------------------------------------------------------------------


@pytest.fixture
def home(tmp_path: Path) -> Home:
    """The sample boats with an empty logbook."""
    root = tmp_path / "home"
    shutil.copytree(SAMPLES, root, ignore=shutil.ignore_patterns("logbook"))
    return Home(root)


def by_page(home: Home, pack: str, clock: FixedClock) -> None:
    """The plan as the page of the day keeps it."""
    with Journal(home, device="laptop", clock=clock) as journal:
        desk = Desk(Session(home, clock, read_shelf(home), journal), "tansy")
        entry = desk.facts("tansy").plan_id()
        desk.draft[f"plan[{entry}].pack"] = Fact(pack, typed=pack)
        desk.keep_plan()


def by_command(home: Home, pack: str, clock: FixedClock) -> None:
    """The plan as ``divelog record`` keeps it."""
    assert main(["record", "tansy", "plan.set", f"pack={pack}", "--home", str(home.root)]) == 0


@pytest.mark.parametrize("keep", [by_page, by_command])
@pytest.mark.parametrize(("mass", "stands"), [("266 g", True), ("256 g", False), ("", False)])
def test_another_pack_spends_the_trim_only_where_it_weighs_otherwise(
    home: Home,
    monkeypatch: pytest.MonkeyPatch,
    keep: Callable[[Home, str, FixedClock], None],
    mass: str,
    stands: bool,
) -> None:
    """D2 weighs 268 g, her balance is 21 g: a quarter of it is 5 g. A mass that nobody wrote down may be anything."""
    text = home.kit.read_text("utf-8")
    assert text.count('mass = "266 g"') == 1
    home.kit.write_text(text.replace('mass = "266 g"', f'mass = "{mass}"' if mass else ""), "utf-8")
    clock = FixedClock(MORNING)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)
    with Journal(home, device="laptop", clock=clock) as journal:
        water = {"site": "withy-pond", "water": "fresh", "temperature": {"si": 290.15, "u95": 0.5}}
        journal.append("day.opened", water)
        journal.append(
            "check.answered", {"list": "tank-trim", "line": "residual", "gives": ["trim"]}, boat="tansy"
        )
    for pack in ("D2", "D3"):
        clock.advance(60)
        keep(home, pack, clock)
    clock.advance(1)
    session = Session.reading(home, clock, read_shelf(home))
    report = session.proofs("tansy", session.shelf.boats["tansy"], clock.now())
    assert report.get("trim").stands is stands
    if not stands:
        assert report.get("trim").because == "pack D3 instead of D2"
