"""Twenty-eight questions people ask of a log, each asked of the sample logbook: where it is answered, and that it is so.

What is expected is counted here from the bare lines of the log; what is told comes from the view of the exported database
and, where a command or a page answers it too, from that.
"""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from divelog.app.desk import Desk
from divelog.app.look.layout import WIDE
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.cli import main
from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.events import Event
from divelog.journal.loading import load_all
from divelog.journal.writing import Journal
from divelog.papers.exports.database import database
from divelog.papers.exports.questions import QUESTIONS
from divelog.session.book import book_of
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

NOW = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
TODAY = date(2032, 5, 4)
HOUR = 3600.0


@dataclass
class Sample:
    """The sample logbook on a throw-away home: its bare events, its views, and calls of the command line."""

    root: Path
    call: Callable[..., str] = field(default=lambda *_: "")

    def __post_init__(self) -> None:
        self.home = Home(self.root)
        self.events = load_all(self.home).events
        self.base = self._database()

    def _database(self) -> sqlite3.Connection:
        clock = FixedClock(NOW)
        shelf = read_shelf(self.home)
        base = sqlite3.connect(":memory:")
        base.deserialize(database(book_of(Session.reading(self.home, clock, shelf), tuple(shelf.boats), NOW)))
        base.row_factory = sqlite3.Row
        return base

    def view(self, number: int, **wanted: object) -> list[dict[str, Any]]:
        """Rows of the view that answers a question."""
        name = next(one.view for one in QUESTIONS if one.number == number)
        rows = [dict(row) for row in self.base.execute(f"SELECT * FROM {name}")]
        return [row for row in rows if all(row[key] == value for key, value in wanted.items())]

    def of(self, what: str, boat: str | None = None) -> list[tuple[Event, dict[str, Any]]]:
        """Events of one kind, with their data, oldest first."""
        found = [(e, e.payload()) for e in self.events if e.what == what and boat in (None, e.boat)]
        return sorted(found, key=lambda pair: pair[0].at)

    def hours(self, boat: str, after: datetime | None = None) -> float:
        """Shaft hours of her runs ended after a moment; a run without them counts eight tenths of its length."""
        began = {e.id: e for e, _ in self.of("run.started", boat)}
        total = 0.0
        for end, data in self.of("run.ended", boat):
            if after is None or end.at > after:
                held = data.get("shaft_time")
                start = began[end.run or ""]
                total += held if held is not None else 0.8 * (end.at - start.at).total_seconds()
        return total / HOUR

    def values(self, boat: str, path: str) -> list[float]:
        """Measured values of a path, oldest first."""
        return [
            d["value"]["si"] for _, d in self.of("measured", boat) if d["path"].removeprefix("boat.") == path
        ]

    def page(self, boat: str, *keys: str) -> str:
        """What a page of the application shows after these keys."""
        with Journal(self.home, device="looking", clock=FixedClock(NOW)) as journal:
            desk = Desk(Session(self.home, FixedClock(NOW), read_shelf(self.home), journal), boat)
            desk.date_said = NOW.date()
            shell = Shell(desk, MAKERS, EXTRAS)
            for key in keys:
                shell.press(key)
            return shell.draw(WIDE).text()


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sample]:
    root = tmp_path_factory.mktemp("sample") / "home"
    shutil.copytree(data_folder("sample_boats"), root)
    sample = Sample(root)
    with closing(sample.base):
        yield sample


@pytest.fixture
def sample(kept: Sample, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Sample:
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: FixedClock(NOW))

    def call(*words: str) -> str:
        code = main([*words, "--home", str(kept.root)])
        out = capsys.readouterr()
        assert code in (0, 1), out.err
        return out.out

    kept.call = call
    return kept


Asks = Callable[[Sample], None]
ASKED: dict[int, tuple[str, Asks]] = {}


def question(number: int, place: str) -> Callable[[Asks], Asks]:
    """Put the answer of a question into the table, with the place where a person finds it."""

    def register(found: Asks) -> Asks:
        assert number not in ASKED
        ASKED[number] = (place, found)
        return found

    return register


@question(1, "wear BOAT ballast.fill_time; Upkeep")
def the_pump(s: Sample) -> None:
    times = s.values("bulrush", "ballast.fill_time")
    assert stats.kendalltau(range(len(times)), times).pvalue < 0.05  # SciPy: it does grow
    (row,) = s.view(1, boat="bulrush", quantity="ballast.fill_time", in_force=1)
    assert (row["readings"], row["first_s"], row["last_s"]) == (len(times), times[0], times[-1])
    assert row["slower_s_per_h"] > 0
    said = s.call("wear", "bulrush", "ballast.fill_time")
    assert f"{times[-1]:g} s" in said
    assert "slower" in said


@question(2, "due BOAT; Upkeep")
def the_seal(s: Sample) -> None:
    greased = [e for e, d in s.of("serviced", "bulrush") if d["item"] == "shaft_grease"][-1]
    (row,) = s.view(2, boat="bulrush", seal="shaft")
    assert row["hours_since_greased"] == pytest.approx(s.hours("bulrush", greased.at), abs=1e-6)
    rows = {one["item"]: one for one in json.loads(s.call("due", "bulrush", "--json"))["due"]}
    used = {one["counter"]: one["used"] for one in rows["shaft_grease"]["uses"]}
    assert used["hours"] == pytest.approx(s.hours("bulrush", greased.at), abs=1e-6)


@question(3, "export all --as sqlite")
def the_new_pack(s: Sample) -> None:
    rows = s.view(3, boat="tansy")
    assert {row["pack"]: row["pack_mass_g"] for row in rows} == {"D2": 268.0, "D3": 266.0}  # kit.toml
    read = {
        round(1e3 * d["value"]["si"], 6)
        for _, d in s.of("check.answered", "tansy")
        if d["line"] == "dived-balance" and d.get("value")
    }
    told = {round(row["dived_balance_g"], 6) for row in rows if row["dived_balance_g"] is not None}
    assert told
    assert told <= read  # in grams of balance: the tower that stands out has the same limit, in millimetres


@question(4, "wear BOAT water.found; Upkeep")
def more_than_last_month(s: Sample) -> None:
    found = Counter[tuple[str, str]]()
    for event, data in s.of("water.found", "tansy"):
        if data["looked"] != "not" and data.get("si") is not None and event.run:
            found[f"{event.local:%Y-%m}", data["end"]] += data["si"] * 1e6
    rows = {(row["month"], row["end"]): row["water_mL"] for row in s.view(4, boat="tansy")}
    assert rows == pytest.approx(dict(found))
    assert sum(rows.values()) > 0
    assert "mL/h" in s.call("wear", "tansy", "water.found")


@question(5, "limits BOAT --only cylinder.water_found; Log")
def only_sweat(s: Sample) -> None:
    leaks = [
        d for _, d in s.of("water.found")
        if d.get("si") is not None and d["si"] - (d.get("u95") or 0.0) > d["allowance"]
    ]  # fmt: skip
    rows = s.view(5)
    assert len(rows) == len(s.of("water.found"))
    assert sum(row["says"] == "more than sweat" for row in rows) == len(leaks) > 0
    assert "Water found inside" in s.call("limits", "tansy", "--only", "cylinder.water_found")


@question(6, "export all --as sqlite")
def opened_before(s: Sample) -> None:
    for row in s.view(6):
        touched = datetime.fromisoformat(row["touched"].replace(" ", "T"))
        leak = datetime.fromisoformat(row["leak"].replace(" ", "T"))
        before = [(e, d) for e, d in s.of("opened", row["boat"]) if e.at.replace(tzinfo=None) < leak]
        named = {
            name
            for e, d in before
            for name in d["which"]
            if e.at.replace(tzinfo=None, microsecond=0) == touched
        }
        assert row["closure"] in named
    assert len(s.view(6)) >= 2


@question(7, "runs BOAT; Log")
def what_a_run_costs(s: Sample) -> None:
    rows = {row["run"]: row for row in s.view(7, boat="bulrush")}
    assert len(rows) == len(s.of("run.ended", "bulrush"))
    for run in json.loads(s.call("runs", "bulrush", "--json"))["runs"]:
        row = rows[run["run"]]
        assert row["Ah_per_min"] == pytest.approx(row["charge_Ah"] / row["minutes"])
    text = s.call("runs", "bulrush")
    assert re.search(r"\d A ?h", text), text.splitlines()[:3]


@question(8, "limits BOAT --only battery.endurance; Limits")
def how_long_today(s: Sample) -> None:
    (row,) = s.view(8, boat="tansy", pack="D2")
    assert row["runs"] == sum(d["pack"] == "D2" for _, d in s.of("run.ended", "tansy"))
    assert row["limit_today"].removesuffix("*") in s.call("limits", "tansy", "--only", "battery.endurance")
    assert "Back at the bank" in s.page("tansy", "escape", "2")


@question(9, "wear BOAT pack.resistance:PACK; Upkeep")
def the_twin(s: Sample) -> None:
    (row,) = s.view(9, pack="D2", twin="D3")
    charged = Counter(d["pack"] for _, d in s.of("charged"))
    assert (row["charges"], row["twin_charges"]) == (charged["D2"], charged["D3"])
    assert (row["resistance_mohm"], row["twin_resistance_mohm"]) == (14.0, 23.0)  # kit.toml
    assert row["measured_Ah"] > row["twin_measured_Ah"]


@question(10, "proofs BOAT; Log")
def failsafe_proved(s: Sample) -> None:
    for slug in ("tansy", "bulrush", "bramble", "juniper"):
        (row,) = s.view(10, boat=slug, proof="failsafe_bench")
        given = [e for e, d in s.of("check.answered", slug) if "failsafe_bench" in d.get("gives", ())][-1]
        assert row["proved"] == f"{given.at:%Y-%m-%d %H:%M:%S}"
    said = s.call("proofs", "bramble")
    assert re.search(r"= proved +failsafe on the bench", said)
    assert re.search(r"! to prove +failsafe on the bench", s.call("proofs", "bulrush"))


@question(11, "Log; export all --as sqlite")
def tripped_for_real(s: Sample) -> None:
    real = [(e, d) for e, d in s.of("failsafe.tripped") if d.get("real")]
    rows = s.view(11)
    assert [row["boat"] for row in rows] == [e.boat for e, _ in real]
    assert [row["all_right"] for row in rows] == [int(all(d["channels"].values())) for _, d in real]
    assert real


@question(12, "export all --as sqlite; Log")
def where_the_link_drops(s: Sample) -> None:
    gone = [(e.boat, d["distance"]["si"]) for e, d in s.of("signal") if d["kind"] in ("drop", "lost")]
    rows = s.view(12)
    assert sorted((row["boat"], row["nearest_m"]) for row in rows) == sorted(gone)
    assert {row["band"] for row in rows} == {"2.4 GHz"}  # tx-b of kit.toml


@question(13, "wear BOAT radio.check_paces; Upkeep")
def the_range_check(s: Sample) -> None:
    for slug in ("bulrush", "bramble"):
        changed = max((e.at for e, _ in s.of("radio.changed", slug)), default=None)
        paces = [
            d["value"]["si"] for e, d in s.of("check.answered", slug)
            if d.get("line") == "paces" and d.get("value") and (changed is None or e.at > changed)
        ]  # fmt: skip
        (row,) = s.view(13, boat=slug, in_force=1)
        assert (row["readings"], row["first_paces"], row["last_paces"]) == (len(paces), paces[0], paces[-1])
        assert f"{paces[-1]:g} paces" in s.call("wear", slug, "radio.check_paces")


@question(14, "export all --as sqlite; Upkeep")
def what_faults_follow(s: Sample) -> None:
    faulty = {e.run for e, _ in s.of("incident")} | {e.run for e, d in s.of("signal") if d["kind"] != "back"}
    faulty |= {e.run for e, d in s.of("failsafe.tripped") if d.get("real")}
    rows = {
        row["name"]: (row["runs"], row["with_fault"]) for row in s.view(14) if row["kind"] == "transmitter"
    }
    expected = Counter[str]()
    bad = Counter[str]()
    for event, data in s.of("run.started"):
        expected[data["transmitter"]] += 1
        bad[data["transmitter"]] += event.id in faulty
    assert rows == {name: (count, bad[name]) for name, count in expected.items()}
    assert sum(bad.values()) > 0


@question(15, "export all --as sqlite")
def with_the_pump_on(s: Sample) -> None:
    on = Counter(
        ("on" if d.get("motor_on") else "off", "on" if d.get("pump_on") else "off")
        for _, d in s.of("signal") if d["kind"] != "back"
    )  # fmt: skip
    found = Counter[tuple[str, str]]()
    for row in s.view(15):
        found[row["motor"], row["pump"]] += row["faults"]
    assert found == on


@question(16, "proofs BOAT; Limits")
def the_deepest_dry(s: Sample) -> None:
    (row,) = s.view(16, boat="juniper", place=1)
    best = 0.0
    ended = {e.run: d for e, d in s.of("run.ended", "juniper")}
    for event, data in s.of("water.found", "juniper"):
        deepest = ended[event.run]["deepest"]
        dry = data["looked"] in ("opened", "window") and data["si"] - data["u95"] <= data["allowance"]
        if dry and deepest["how"] in ("sensor", "seen"):
            best = max(best, deepest["si"] - deepest["u95"])
    assert row["proved_m"] == pytest.approx(best)
    assert "shaft since 2031-03-15" in row["seals"]  # juniper.toml
    assert re.search(r"dry at depth +\d", s.call("proofs", "juniper"))


@question(17, "due BOAT; Upkeep")
def closings(s: Sample) -> None:
    count = Counter[str]()
    for _, data in s.of("closed", "tansy"):
        count.update(data["which"])
    for _, data in s.of("fitted", "tansy"):
        count.update(data.get("seals", ()))
    rows = {row["closure"]: row["closings"] for row in s.view(17, boat="tansy")}
    assert rows == count
    rings = {one["item"]: one for one in json.loads(s.call("due", "tansy", "--json"))["due"]}
    assert any(use["counter"] == "closings" for use in rings["seal.aft_cap"]["uses"])


@question(18, "due BOAT; Upkeep")
def how_old(s: Sample) -> None:
    days = (TODAY - date(2031, 3, 15)).days  # juniper.toml
    (row,) = s.view(18, boat="juniper", part="shaft")
    assert row["days"] == days
    rows = {one["item"]: one for one in json.loads(s.call("due", "juniper", "--json"))["due"]}
    assert {use["counter"]: use["used"] for use in rows["seal.shaft"]["uses"]}["days"] == days


@question(19, "export all --as sqlite")
def skipped_most(s: Sample) -> None:
    skips = Counter((e.boat, d["line"]) for e, d in s.of("check.skipped") if d["state"] == "skipped")
    assert {(row["boat"], row["line"]): row["skips"] for row in s.view(19)} == skips
    assert sum(skips.values()) > 0


@question(20, "export all --as sqlite")
def time_of_checks(s: Sample) -> None:
    breaks = Counter((e.boat, d["list"]) for e, d in s.of("check.resumed"))
    rows = s.view(20)
    assert {(r["boat"], r["list"]): r["breaks"] for r in rows if r["breaks"]} == breaks
    assert all(r["minutes_without_breaks"] <= r["minutes"] for r in rows if r["minutes"] is not None)
    lines = {d["line"] for _, d in s.of("check.paused")}
    assert {r["most_broken_off"] for r in rows if r["breaks"]} <= lines


@question(21, "Log; export all --as sqlite")
def about_this_pond(s: Sample) -> None:
    told = {row["words"] for row in s.view(21, kind="note")}
    sites = read_shelf(s.home).sites
    about = [d["text"] for _, d in s.of("note") if d.get("about") in sites]
    assert about
    assert told >= set(about)
    assert {row["site"] for row in s.view(21)} >= {"withy-pond", "sluice-basin"}


@question(22, "limits BOAT --only ballast.cycles; export all --as sqlite")
def gas(s: Sample) -> None:
    weighed = [1e3 * d["value"]["si"] for _, d in s.of("measured") if d["path"].endswith("bottle.weighed")]
    rows = s.view(22)
    steps = [round(a - b, 6) for a, b in pairwise(weighed) if a > b]
    assert [round(row["gone_g"], 6) for row in rows] == steps
    assert sum(row["cycles"] for row in rows) <= sum(
        d.get("cycles") or 0 for _, d in s.of("run.ended", "juniper")
    )
    assert "Ballast cycles left" in s.call("limits", "juniper", "--only", "ballast.cycles")


@question(23, "export all --as sqlite")
def the_depth_zero(s: Sample) -> None:
    read = [d["value"]["si"] for _, d in s.of("check.answered") if "depth_zero" in d.get("gives", ())]
    assert [row["zero_m"] for row in s.view(23)] == read
    assert read


@question(24, "Log; Boats; export all --as sqlite")
def sailed_with_defects(s: Sample) -> None:
    """Nobody in it ever did: so nothing is told, until somebody does."""
    assert not any(d["defects"] for _, d in s.of("launch.called"))
    assert s.view(24) == []
    other = s.root.with_name("sailed")
    shutil.copytree(s.root, other)
    with Journal(Home(other), device="jetty", clock=FixedClock(NOW)) as journal:
        defect = journal.append("defect.opened", {"defect": "slack rod", "stops_launch": True}, boat="tansy")
        because = {defect.id: "short trip within reach"}
        data = {"open": [], "defects": [defect.id], "because": because, "words": "ready to dive"}
        journal.append("launch.called", data, boat="tansy")
    again = Sample(other)
    with closing(again.base):
        (row,) = again.view(24)
        assert (row["boat"], row["words"], row["reason"]) == ("tansy", "slack rod", "short trip within reach")
    shutil.rmtree(other)


@question(25, "Upkeep; export all --as sqlite")
def hours_in_all(s: Sample) -> None:
    for slug in ("tansy", "bulrush", "bramble", "juniper"):
        (row,) = s.view(25, boat=slug)
        assert row["hours"] == pytest.approx(s.hours(slug), abs=1e-6)
        assert row["runs"] == len(s.of("run.ended", slug))
        assert f"{s.hours(slug):.1f} h" in s.page(slug, "escape", "6")


@question(26, "export all --as sqlite")
def what_she_cost(s: Sample) -> None:
    paid: dict[str, float] = {}
    for event in s.events:
        cost = event.payload().get("cost")
        if cost:
            paid[event.boat or ""] = paid.get(event.boat or "", 0.0) + float(cost)
    assert {row["boat"]: row["amount"] for row in s.view(26)} == pytest.approx(paid)


@question(27, "sheet BOAT papers")
def the_buyer(s: Sample) -> None:
    (hours,) = s.view(27, boat="tansy", topic="hours")
    assert hours["words"] == f"{s.hours('tansy'):.1f} shaft hours in {len(s.of('run.ended', 'tansy'))} runs"
    paper = s.call("sheet", "tansy", "papers")
    assert f"{s.hours('tansy'):.1f} h" in paper
    assert "Seals" in paper or "seals" in paper


@question(28, "due; Boats")
def which_boat(s: Sample) -> None:
    rows = s.view(28)
    assert {row["boat"] for row in rows} == {"tansy", "bulrush", "bramble", "juniper"}
    order = [(row["not_to_launch"], row["overdue"]) for row in rows]
    assert order == sorted(order)
    page = s.page("tansy")
    for row in rows:
        assert row["name"].upper() in page
        if not row["not_to_launch"]:
            assert f"{row['to_prove']} to prove before launch" in page
    assert "NOT TO LAUNCH" in page


# -- all of them ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", range(1, 29), ids=lambda n: f"{n} {QUESTIONS[n - 1].view}")
def test_the_sample_log_answers(number: int, sample: Sample) -> None:
    ASKED[number][1](sample)


def test_every_question_names_where_it_is_answered() -> None:
    assert sorted(ASKED) == [one.number for one in QUESTIONS] == list(range(1, 29))
    verbs = {"wear", "due", "limits", "runs", "proofs", "export", "sheet"}
    places = {"Boats", "Limits", "Checks", "Run", "Log", "Upkeep"}
    for place, _ in ASKED.values():
        for one in place.split("; "):
            assert one.split()[0] in verbs | places, one
