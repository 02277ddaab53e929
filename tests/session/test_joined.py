"""Files joined to runs as the log tells of them, and mappings by name: what is found, what is refused, what never is."""

from __future__ import annotations

import importlib.util
import shutil
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from divelog.app.desk import Desk
from divelog.app.measured_words import measured_words
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.files import StorageError, StorageKind
from divelog.home import Home, data_folder
from divelog.journal.payload import Quantity
from divelog.journal.writing import Journal
from divelog.papers.telemetry.mapping import read_mapping
from divelog.papers.telemetry.model import StoppedError, TelemetryError
from divelog.session.joined import joined, read_again, source_of
from divelog.session.mapping_files import (
    fits,
    head_of,
    mapping_named,
    mappings,
    mappings_folder,
    save_mapping,
)
from divelog.session.session import ReadOnlyError, Session
from divelog.session.shelf import read_shelf
from divelog.session.telemetry import (
    Source,
    against,
    attach,
    keep_copy,
    place_for,
    read_source,
    run_named,
    telemetry_folder,
)
from divelog.text import BadNameError

_spec = importlib.util.spec_from_file_location("readings", Path(__file__).parents[1] / "app" / "readings.py")
readings = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(readings)

OUTING = b"".join(readings.outing(2400, 4.0))


@pytest.fixture
def home(tmp_path: Path) -> Home:
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    return Home(root)


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock(datetime.fromisoformat("2032-05-04T08:04:00+01:00"))


@pytest.fixture
def session(home: Home, clock: FixedClock) -> Iterator[Session]:
    with Journal(home, device="laptop", clock=clock) as journal:
        yield Session(home, clock, read_shelf(home), journal)


@pytest.fixture
def shell(session):
    return Shell(Desk(session, "tansy"), MAKERS, EXTRAS)


@pytest.fixture
def run(shell, clock):
    """A run of forty minutes with one file joined to it."""
    found = readings.a_run(shell, clock)
    readings.join(shell, found, OUTING)
    return run_named(shell.desk.session, "tansy", found)


def test_a_joined_file_is_told_with_its_figures_and_read_again(session, run):
    (one,) = joined(session.log("tansy").events, run.id)
    assert (one.kept, one.mapping) == (f"{run.id}.csv", "logger")
    figures = dict(one.figures)
    source, limits = source_of(session, "tansy", run, one)
    assert source.path == telemetry_folder(session, "tansy") / one.kept
    assert (limits.keel, limits.plan, limits.volts, limits.aerial) == (0.8, 0.7, 7.0, 0.9)
    found = read_again(session, source, run, limits, one)
    assert found.deepest == figures["run.deepest"].si
    assert found.below_keel == figures["run.below_limit"].si
    assert found.charge == pytest.approx(figures["run.charge_used"].si)


def test_a_second_file_is_numbered_and_another_run_has_none(shell, session, run):
    readings.join(shell, run.id, b"".join(readings.outing(1200, 4.0)), name="logger")
    files = joined(session.log("tansy").events, run.id)
    assert [one.kept for one in files] == [f"{run.id}.csv", f"{run.id}.2.csv"]
    for one in files:
        source, limits = source_of(session, "tansy", run, one)
        assert read_again(session, source, run, limits, one).digest == one.digest
    assert joined(session.log("tansy").events, "another") == ()


def test_a_measured_figure_that_is_no_file_s_is_not_told(session, run):
    session.append("measured", {"path": "run.deepest", "value": {"si": 0.5}}, boat="tansy", run=run.id)
    session.append(
        "measured", {"path": "x", "value": {"si": 1}, "method": "attached by x", "conditions": {"file": 3}},
        boat="tansy", run=run.id,
    )  # fmt: skip
    assert len(joined(session.log("tansy").events, run.id)) == 1


@pytest.mark.parametrize(
    "kept", ["../../kit.toml", "x.csv", "", ".csv", "{run}.csv/../x", "{run}.x.csv", "{run}.toml"]
)
def test_a_log_that_names_another_place_is_not_followed(session, run, kept):
    """A log may come from another machine: what it says of a copy's name is never a way out of the folder."""
    session.append(
        "measured",
        {
            "path": "run.deepest", "value": {"si": 1.0}, "method": "attached by logger",
            "conditions": {"file": "sha256:0", "kept": kept.format(run=run.id)},
        },
        boat="tansy", run=run.id,
    )  # fmt: skip
    one = joined(session.log("tansy").events, run.id)[-1]
    with pytest.raises(TelemetryError, match="does not say where"):
        source_of(session, "tansy", run, one)


def test_the_mapping_beside_the_copy_counts_then_the_person_s_own(session, run):
    (one,) = joined(session.log("tansy").events, run.id)
    own = mappings_folder(session.home) / "logger.toml"
    own.write_bytes(readings.MAPPING.replace(b'"run start"', b'"first row"'))
    assert not source_of(session, "tansy", run, one)[0].mapping.from_first
    beside = telemetry_folder(session, "tansy") / f"{run.id}.toml"
    beside.unlink()
    assert source_of(session, "tansy", run, one)[0].mapping.from_first
    own.write_bytes(b"not = [a mapping")
    with pytest.raises(TelemetryError, match="its mapping, logger, cannot be read"):
        source_of(session, "tansy", run, one)


def test_the_limits_are_those_of_the_run_not_of_today(session, run, clock):
    session.append("plan.set", {"pack": "D2", "depth": {"si": 0.3}}, boat="tansy")
    assert against(session, "tansy", run).plan == 0.7


# -- keeping ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("harm", ["stopped", "changed", "gone"])
def test_a_copy_that_fails_leaves_nothing_behind(session, run, tmp_path, harm):
    path = tmp_path / "again.csv"
    path.write_bytes(OUTING + b"2400,0.1,8,2\n")
    mapping, _ = mapping_named(session, "logger")
    found = read_source(session.disk, Source(path, mapping), run, against(session, "tansy", run))
    target = place_for(session, "tansy", run, found)
    before = set(target.parent.iterdir())
    wanted: type[Exception] = {"stopped": StoppedError, "changed": TelemetryError, "gone": StorageError}[harm]
    if harm == "changed":
        path.write_bytes(OUTING)
    elif harm == "gone":
        path.unlink()
    with pytest.raises(wanted):
        keep_copy(session.disk, path, target, found, mapping, lambda _: harm != "stopped")
    assert set(target.parent.iterdir()) == before


def test_a_read_that_is_stopped_writes_nothing(session, run, tmp_path):
    path = tmp_path / "again.csv"
    path.write_bytes(OUTING + b"2400,0.1,8,2\n")
    mapping, _ = mapping_named(session, "logger")
    before = len(session.log("tansy").events)
    with pytest.raises(StoppedError):
        attach(session, "tansy", run, path, mapping, lambda _: False)
    assert len(session.log("tansy").events) == before
    assert len(list(telemetry_folder(session, "tansy").iterdir())) == 2


def test_the_same_file_and_a_home_that_is_only_read_are_refused(session, run, home, clock):
    (one,) = joined(session.log("tansy").events, run.id)
    source, limits = source_of(session, "tansy", run, one)
    found = read_again(session, source, run, limits, one)
    with pytest.raises(TelemetryError, match="attached to that run already"):
        place_for(session, "tansy", run, found)
    reading = Session.reading(home, clock)
    with pytest.raises(ReadOnlyError):
        place_for(reading, "tansy", run, found)
    with pytest.raises(ReadOnlyError):
        save_mapping(reading, "logger", readings.MAPPING)


# -- mappings of the home ---------------------------------------------------------------------------------------------


def test_mappings_are_listed_kept_once_and_never_overwritten(session):
    assert mappings(session) == ()
    save_mapping(session, "logger", readings.MAPPING)
    save_mapping(session, "logger", readings.MAPPING)  # the same again is no fault
    (mappings_folder(session.home) / "Not A Name.toml").write_bytes(b"")
    (mappings_folder(session.home) / "notes.txt").write_bytes(b"")
    assert mappings(session) == ("logger",)
    with pytest.raises(TelemetryError, match="another mapping is called logger"):
        save_mapping(session, "logger", readings.MAPPING.replace(b"5 cm", b"6 cm"))
    with pytest.raises(TelemetryError, match="wanted"):
        save_mapping(session, "other", b"format = 1\n")
    for name in ("../x", "", "a/b", "con", "x" * 300):
        with pytest.raises(BadNameError):
            save_mapping(session, name, readings.MAPPING)
    assert mapping_named(session, "logger")[0].raw == readings.MAPPING


def test_a_mapping_fits_where_nearly_all_first_rows_are_read():
    mapping, _ = read_mapping(readings.MAPPING, "mappings/logger.toml")
    rows = OUTING.splitlines(keepends=True)
    assert fits(mapping, OUTING)
    assert fits(mapping, b"".join(rows[:100]) + b"broken\n")
    assert not fits(mapping, b"".join(rows[:20]) + b"broken\n" * 5)
    assert not fits(mapping, OUTING.replace(b"depth", b"deep", 1))
    assert not fits(mapping, b"")


def test_the_beginning_of_what_is_no_file(session, tmp_path):
    for path in (tmp_path, tmp_path / "none", tmp_path / ("x" * 3000), Path("a\0b")):
        with pytest.raises(StorageError) as caught:
            head_of(session, path)
        assert str(caught.value)
    (tmp_path / "link").symlink_to(tmp_path / "none")
    with pytest.raises(StorageError) as caught:
        head_of(session, tmp_path / "link")
    assert caught.value.kind is not StorageKind.FULL


# -- figures in words -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("run.deepest", Quantity(0.95, 0.05, how="sensor"), "deepest 0.95 m, give or take 0.05"),
        ("run.below_limit", Quantity(264.0, how="sensor"), "below the keel limit 4.4 min"),
        ("run.below_limit", Quantity(0.0, how="sensor"), "within the keel limit"),
        ("run.below_plan", Quantity(0.0, how="sensor"), ""),
        ("run.under_volts", Quantity(0.0, how="sensor"), ""),
        ("run.under_volts", Quantity(40.0, how="sensor"), "under the least volts 40 s"),
        ("run.seconds_logged", Quantity(0.0, how="sensor"), "logged for 0 s"),
    ],
)
def test_figures_in_words(path, value, said):
    assert measured_words(path, value) == said
