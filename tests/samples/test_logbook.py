"""The sample logbook: the same bytes as its generator makes, whole, and full of what two seasons bring."""

from __future__ import annotations

import itertools
from collections import Counter
from datetime import datetime, timedelta
from pathlib import Path

import generator
import pytest
from scipy.stats import kendalltau

from divelog.checks.reading import read_list
from divelog.checks.shipped import phase_of
from divelog.clock import parse_stamp
from divelog.history import History, fold
from divelog.home import Home, data_folder
from divelog.journal.events import Event
from divelog.journal.kinds import DEPTH_SOURCES, FIELDS, LADDER, VERSIONS, WITHOUT_BOAT
from divelog.journal.loading import LoadedJournal, load, load_all
from divelog.journal.payload import quantity
from divelog.journal.verifying import verify
from divelog.profiles.facts import Facts, empty_document, field_at
from divelog.profiles.reading import read_document
from divelog.profiles.schema import BOAT
from divelog.proofs import PROOFS
from divelog.session.filing import digest_of
from divelog.session.shelf import read_shelf

SAMPLES = data_folder("sample_boats")
BOATS = ("tansy", "bulrush", "bramble", "juniper")
LAST = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
"""Where the clock of the demo starts."""


@pytest.fixture(scope="module")
def log() -> LoadedJournal:
    return load_all(Home(SAMPLES))


@pytest.fixture(scope="module")
def history(log: LoadedJournal) -> History:
    return fold(log.events)


def kinds(log: LoadedJournal) -> Counter[str]:
    return Counter(event.what for event in log.lines)


# -- the files ------------------------------------------------------------------------------------------------------


def files_of(root: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(root)): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()
    }


def test_the_generator_makes_the_shipped_logbook_byte_for_byte(tmp_path):
    made, shipped = files_of(generator.build(tmp_path)), files_of(SAMPLES / "logbook")
    assert list(made) == [
        f"{name}/laptop.jsonl" for name in ("_kit", "bramble", "bulrush", "juniper", "tansy")
    ]
    assert list(shipped) == list(made)
    different = [name for name in made if made[name] != shipped[name]]
    assert different == [], "run tests/samples/generator.py"


def test_the_samples_stay_small():
    assert sum(path.stat().st_size for path in SAMPLES.rglob("*") if path.is_file()) < 600_000


def test_verify_finds_nothing():
    verdicts = verify(Home(SAMPLES))
    assert len(verdicts) == 5
    for verdict in verdicts:
        assert verdict.whole, (verdict.file, [str(report) for report in verdict.reports])
        assert (verdict.set_aside, verdict.first_bad_line, verdict.heads_missing) == (0, None, ())


def test_every_line_is_of_a_kind_and_has_only_keys_this_program_knows(log):
    assert log.reports == ()
    for event in log.lines:
        assert event.known, event.what
        assert event.v == VERSIONS[event.what]
        assert set(event.payload()) <= FIELDS[event.what] | {"blows"}, event.what
        assert (event.boat is None) >= (event.what in WITHOUT_BOAT)


def test_files_begin_with_their_opening_and_stand_in_order_of_time():
    for slug in (None, *BOATS):
        lines = [e for e in load(Home(SAMPLES), slug or "tansy").lines if e.boat == slug]
        lines.sort(key=lambda e: (e.when, e.id))
        assert lines[0].what == "log.opened"
        for before, after in itertools.pairwise(lines):
            assert before.id < after.id
            assert before.when <= after.when
            if before.boot == after.boot and "clock.jumped" not in (before.what, after.what):
                assert (after.up or 0.0) >= (before.up or 0.0)
        assert all(e.data and e.prev for e in lines)
    assert max(e.when for e in load_all(Home(SAMPLES)).lines) < LAST - timedelta(minutes=5)


# -- what is in it ----------------------------------------------------------------------------------------------------


def test_two_seasons_of_outings(log, history):
    outings = {(run.boat, run.start.date()) for run in history.runs if run.start}
    tanks = {
        (e.boat, e.local.date())
        for e in log.events
        if e.what == "check.answered" and e.payload()["list"] in ("tank-trim", "leak-test")
    }
    assert 38 <= len(outings | tanks) <= 46
    assert {slug for slug, _ in outings} == set(BOATS)
    assert {day.site for day in history.days} == {
        "withy-pond",
        "barn-tank",
        "glasshouse-pool",
        "sluice-basin",
    }
    assert Counter(day.year for _, day in outings).keys() == {2031, 2032}
    first, last = min(day for _, day in outings), max(day for _, day in outings)
    assert (first.isoformat(), last.isoformat()) == ("2031-03-16", "2032-05-02")
    winter = [day for _, day in outings if "2031-10-15" < day.isoformat() < "2032-03-05"]
    assert winter == []
    assert all(day.closed for day in history.days[:-1])


def test_every_run_ended_and_was_answered(history):
    assert len(history.runs) == 39
    for run in history.runs:
        assert not run.still_on
        assert run.answered
        assert run.minutes is not None
        assert 10 <= run.minutes <= 70
        assert run.pack
        assert run.plan
        assert run.deepest is not None
        assert run.deepest.how in DEPTH_SOURCES
        assert run.water is not None
        assert run.shaft_time is not None
        assert 0 < run.shaft_time <= 60 * run.minutes
        assert run.site


def test_most_steps_of_the_ladder_and_none_lost_for_good(history):
    assert {incident.step for incident in history.incidents} == set(LADDER) - {"lost"}
    assert all(incident.run and incident.cause and incident.worked for incident in history.incidents)
    assert {signal.kind for signal in history.signals} == {"glitch", "drop", "lost", "back"}
    assert any(trip.real for trip in history.trips)
    assert [trip.wrong for trip in history.trips if trip.wrong] == [("sail_planes",)]
    assert sorted(water.word or "" for water in history.waters if water.over) == ["a drop", "a teaspoon"]


def test_defects_were_opened_and_closed(history):
    closed = [defect for defect in history.defects if not defect.open]
    assert len(closed) >= 4
    assert all(defect.closed is not None and defect.closed.check for defect in closed)
    still = {slug: [d.words for d in history.open_defects(slug)] for slug in BOATS}
    assert [slug for slug in BOATS if still[slug]] == ["bramble", "juniper"]
    assert [d.stops_launch for d in history.open_defects("bramble")] == [False]
    assert [d.stops_launch for d in history.open_defects("juniper")] == [True]


def test_the_ways_of_writing_afterwards_are_all_there(log, history):
    count = kinds(log)
    by_hand = [e for e in log.lines if e.what == "corrected" and "after the run" not in e.payload()["why"]]
    assert len(by_hand) == 2
    assert count["corrected"] > 2  # the others put the rested volts into a run's end, as its list does
    assert len(log.voided) == 1
    assert count["clock.jumped"] == 1
    assert count["check.paused"] >= 3
    assert count["check.resumed"] == 2
    assert count["check.skipped"] >= 3
    late = [e for e in log.lines if e.happened is not None]
    assert len(late) >= 2
    assert all(e.at < e.when and e.half_width > 0 for e in late)
    assert {note.private for note in history.notes} == {True, False}
    assert all(
        "left" not in e.payload() or e.payload()["left"] for e in log.events if e.what == "check.ended"
    )


def test_services_parts_storage_and_kit(log, history):
    assert {service.item for service in history.services} >= {
        "shaft_grease", "terminals", "linkages", "strainer", "gas_bottle", "seal.rudder_rod",
    }  # fmt: skip
    assert {slug for s in history.services if (slug := s.boat)} == set(BOATS)
    assert {change.part for change in history.changes if change.kind == "fitted"} == {"seal", "valve"}
    assert {laid_up.boat for laid_up in history.stored} == set(BOATS)
    assert {pack.pack for pack in history.packs} == {"D1", "D2", "D3", "D4", "D5", "P1", "R1", "R2"}
    assert all(charge.charge is not None and charge.charge.si is not None for charge in history.charges)
    assert max(c.charge.si for c in history.charges) < 12 * 3600  # no slip of the point is left standing
    filed = [e for e in log.events if e.what == "boat.filed"]
    assert Counter(e.boat for e in filed) == dict.fromkeys(BOATS, 2)


@pytest.mark.parametrize("slug", BOATS)
def test_the_last_filing_is_the_shipped_file_and_the_first_reads_without_a_fault(slug, log):
    first, last = [e.payload() for e in log.events if e.what == "boat.filed" and e.boat == slug]
    raw = (SAMPLES / "boats" / f"{slug}.toml").read_bytes()
    assert last["digest"] == digest_of(raw)
    assert last["text"].encode() == raw
    before = read_document(first["text"].encode(), slug, BOAT)
    assert before.faults == ()
    now = read_shelf(Home(SAMPLES)).boats[slug]
    changed = {f"boat.{k}" for k, f in now.facts.items() if f.value != before.facts[k].value}
    assert set(last["changed"]) == changed
    assert {path.split("[")[0] for path in changed} <= {"boat.seal", "boat.trimmed_at.temperature", "boat.trimmed_at.on",
                                                        "boat.dived_balance"}  # fmt: skip
    assert first["changed"] == []


# -- every reference holds ----------------------------------------------------------------------------------------


def test_lines_answered_are_lines_of_the_shipped_lists(log):
    known = {}
    for path in data_folder("checklists").glob("*.toml"):
        one = read_list(path.read_bytes(), path.name)
        assert one.faults == ()
        known[one.list] = {line.id: line for line in one.lines()}
    proofs = {rule.proof for rule in PROOFS}
    for event in log.events:
        if event.what not in ("check.answered", "check.skipped", "check.paused", "check.resumed"):
            continue
        data = event.payload()
        line = known[data["list"]].get(data["line"])
        assert line is not None, (data["list"], data["line"])
        for name in (*data.get("gives", ()), *data.get("fails", ())):
            assert name.split(":")[0] in line.gives, (data["list"], data["line"], name)
            assert name.split(":")[0] in proofs
    assert phase_of("before-dive", "dip") == "closing-up"


def test_ids_named_in_events_are_ids_of_events(log):
    by_id: dict[str, Event] = {e.id: e for e in log.lines}
    for event in log.lines:
        data = event.payload()
        if event.run is not None:
            assert by_id[event.run].what == "run.started"
            assert by_id[event.run].boat == event.boat
        for key, wanted in (("check", "check.started"), ("plan", "plan.set")):
            if key in data and event.what.split(".")[0] in ("check", "run"):
                assert by_id[data[key]].what == wanted
                assert by_id[data[key]].boat == event.boat
        if event.what == "mark.named":
            assert by_id[data["of"]].what == "mark"
        if event.what in ("corrected", "defect.closed"):
            assert data.get("id", data.get("of")) in by_id


def test_packs_sets_and_sites_are_those_of_the_kit_and_the_home(log):
    shelf = read_shelf(Home(SAMPLES))
    packs, sets = shelf.kit.entries["pack"], shelf.kit.entries["transmitter"]
    for event in log.lines:
        data = event.payload()
        if "pack" in data and event.what in ("plan.set", "run.started", "run.ended", "charged"):
            assert data["pack"] in packs
            if event.boat is not None:
                assert data["pack"] in shelf.boats[event.boat].texts_at("power.drive_packs")
        if "transmitter" in data:
            assert data["transmitter"] == shelf.boats[event.boat].text_at("radio.transmitter")
            assert data["transmitter"] in sets
            assert data["receiver"] == shelf.boats[event.boat].text_at("radio.receiver")
        if event.what in ("day.opened", "day.closed"):
            assert data["site"] in shelf.sites
            assert data.get("water", shelf.sites[data["site"]].text_at("water")) == shelf.sites[
                data["site"]
            ].text_at("water")
        if event.what in ("opened", "closed"):
            assert set(data["which"]) <= set(shelf.boats[event.boat].texts_at("cylinder.closures"))


def test_measured_paths_are_fields_and_lie_within_their_bounds(log):
    shelf = read_shelf(Home(SAMPLES))
    nothing = empty_document("today")
    for event in log.events:
        if event.what != "measured":
            continue
        data = event.payload()
        slug = event.boat or "tansy"
        facts = Facts(shelf.boats[slug], shelf.kit, empty_document("site"), nothing, shelf.settings, slug)
        head, _, rest = data["path"].partition(".")
        path = f"{head}[{data['item']}].{rest}" if "item" in data else data["path"]
        field = field_at(facts.canonical(path))
        assert field is not None, path
        value = quantity(data["value"])
        assert value is not None
        assert value.si is not None
        assert field.low <= value.si <= field.high


def test_gas_is_never_filled_beyond_what_leaves_room(log):
    # liquid isobutane at 20 degC, 557 g/L (CoolProp); at most 85 % of a bottle is liquid, common practice, no source
    weighed = [
        e.payload()["value"]["si"]
        for e in log.events
        if e.what == "measured" and e.payload()["path"] == "bottle.weighed"
    ]
    assert len(weighed) >= 5
    assert all(0.095 < mass <= 0.095 + 0.85 * 0.1 * 0.557 for mass in weighed)


# -- what the log teaches -------------------------------------------------------------------------------------------


def test_bulrush_pumps_more_slowly_from_month_to_month(log):
    times = [
        e.payload()["value"]["si"]
        for e in log.events
        if e.boat == "bulrush" and e.what == "measured" and e.payload()["path"] == "ballast.fill_time"
    ]
    assert len(times) == 12
    assert kendalltau(range(len(times)), times).pvalue < 0.001
    assert 46 <= times[0] < times[-1] < 1.15 * 46  # not yet a word of notice at 1.15 of the stated time


def test_one_pack_of_two_ages_faster_than_its_twin(log):
    capacity: dict[str, list[float]] = {}
    for event in log.events:
        data = event.payload()
        if event.what == "measured" and data["path"] == "pack.measured.capacity":
            capacity.setdefault(data["item"], []).append(data["value"]["si"])
    assert all(len(capacity[pack]) == 2 for pack in ("D2", "D3"))
    lost = {pack: 1 - values[-1] / values[0] for pack, values in capacity.items() if len(values) > 1}
    assert lost["D3"] > 2 * lost["D2"] > 0


def test_a_jump_of_the_clock_is_told_and_small(log):
    [event] = [e for e in log.lines if e.what == "clock.jumped"]
    data = event.payload()
    moved = (parse_stamp(data["after"]) - parse_stamp(data["before"])).total_seconds()
    assert moved == pytest.approx(61.0)
