"""Readings of instruments: mappings with their faults, sums by hand, a million rows in little memory, and hostile files."""

from __future__ import annotations

import contextlib
import itertools
import math
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.app.look.charts import Path as DepthPath
from divelog.app.look.charts import path_chart
from divelog.app.look.layout import STANDARD
from divelog.papers.telemetry.mapping import GIVES, Mapping, read_mapping
from divelog.papers.telemetry.model import Against, StoppedError, TelemetryError
from divelog.papers.telemetry.reading import EVERY, read
from divelog.papers.telemetry.rows import MOST_LINE, lines_of
from divelog.papers.telemetry.summing import beyond
from divelog.papers.telemetry.thinning import STRETCHES, Thinned

START = datetime.fromisoformat("2032-05-04T08:41:00+01:00")
MAPPING = (Path(__file__).parents[1] / "data" / "logger.toml").read_text(encoding="utf-8")


def mapping(text: str = MAPPING, *changes: tuple[str, str]) -> Mapping:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    found, faults = read_mapping(text.encode(), "mappings/logger.toml")
    assert faults == ()
    assert found is not None
    return found


def told(
    rows: str,
    *changes: tuple[str, str],
    against: Against | None = None,
    head: str = "t,depth,volts,current\n",
):
    return read([(head + rows).encode()], mapping(MAPPING, *changes), start=START, against=against)


# -- mappings ---------------------------------------------------------------------------------------------------------


FAULTS = {
    ('unit = "m"', 'unit = "fathoms per week"'): "column[depth].unit",
    ('unit = "V"', 'unit = "m"'): "column[volts].unit",
    ('u95 = "5 cm"', 'u95 = "5"'): "column[depth].u95",
    ('gives = "depth"', 'gives = "hope"'): "column[hope].gives",
    ('counts = "seconds"', 'counts = "beats"'): "time.counts",
    ('gap = "5 s"', 'gap = "5"'): "time.gap",
    ('column = "t"\n', ""): "time.column",
    ("format = 1", "format = 2"): "format",
    ('gap = "5 s"', 'gap = "5 s"\nodd = 1'): "time.odd",
}


@pytest.mark.parametrize("change", FAULTS, ids=lambda change: FAULTS[change])
def test_every_fault_of_a_mapping_has_its_path_and_line(change):
    found, faults = read_mapping(MAPPING.replace(*change).encode(), "mappings/logger.toml")
    assert found is None
    assert any(FAULTS[change] in fault.path for fault in faults), faults
    assert all(fault.wanted for fault in faults)


def test_a_comma_cannot_do_both():
    found, faults = read_mapping(MAPPING.replace("[time]", 'decimal = "comma"\n[time]').encode(), "m.toml")
    assert found is None
    assert "another separator" in faults[0].wanted


@given(st.binary(max_size=500))
def test_any_bytes_as_mapping_are_faults(raw):
    found, faults = read_mapping(raw, "m.toml")
    assert (found is None) == bool(faults)


def test_everything_it_may_give_has_a_unit_of_the_table():
    for gives, (dimension, low, high) in GIVES.items():
        from divelog import units

        assert units.allowed(dimension), gives
        assert low < high


# -- sums, by hand ----------------------------------------------------------------------------------------------------


def test_a_triangle_of_depth():
    """0 m to 1 m in ten seconds and back: the line is above 0.5 m for half of it, above 0.8 m for a fifth."""
    rows = "".join(f"{t},{1 - abs(t - 10) / 10},8,3\n" for t in range(21))
    found = told(rows, against=Against(keel=0.8, plan=0.5))
    assert found.rows == 21
    assert found.below_keel == pytest.approx(4.0)
    assert found.below_plan == pytest.approx(10.0)
    assert found.stats["depth"].most == pytest.approx(1.0)
    assert found.stats["depth"].most_at == 10.0
    assert found.stats["depth"].mean == pytest.approx(0.5)
    assert found.stats["depth"].u95 == pytest.approx(0.05)
    assert found.deepest == pytest.approx(0.9)  # one row of it stands alone at the top


def test_three_rows_bear_a_depth_out_and_one_alone_does_not():
    found = told("0,0.5,8,1\n1,0.5,8,1\n2,9.0,8,1\n3,0.6,8,1\n4,0.7,8,1\n5,0.7,8,1\n6,0.7,8,1\n")
    assert found.deepest == pytest.approx(0.7)
    assert found.stats["depth"].most == 9.0
    for rows in (
        "0,9,8,1\n1,0.5,8,1\n2,0.5,8,1\n",
        "0,0.5,8,1\n1,0.5,8,1\n2,9,8,1\n",
        "0,9,8,1\n1,0.5,8,1\n",
    ):
        assert told(rows).deepest == 0.5  # at either end too
    assert told("0,9,8,1\n").deepest == 9.0
    alone = told("0,0.5,8,1\n1,0.5,8,1\n2,9.0,8,1\n3,0.6,8,1\n", against=Against(keel=0.8, plan=0.55))
    assert alone.below_keel == 0.0  # it makes no depth, so no time below the limit
    assert alone.below_plan > 0.0


def test_charge_is_current_over_time_and_its_spread_that_of_the_sensor():
    """3 A for 1200 s in 1 s steps is 3600 C = 1 A h; a sensor 0.1 A off would make it 120 C."""
    found = told("".join(f"{t},0.5,8,3\n" for t in range(1201)))
    assert found.charge == pytest.approx(3600.0)
    assert found.charge_u95 == pytest.approx(120.0)
    assert found.charge_how == "current over time"


COUNTER = (
    ('gives = "current"', 'gives = "charge"'),
    ('unit = "A"\nu95 = "0.1 A"', 'unit = "mA h"\nu95 = "10 mA h"'),
)


def test_a_counter_of_charge_counts_more_than_current_and_is_carried_over_a_reset():
    found = told("0,0,8,5\n1,0,8,105\n2,0,8,104\n3,0,8,205\n4,0,8,2\n5,0,8,102\n", *COUNTER)
    assert found.charge_how == "counted by the instrument"
    assert found.charge == pytest.approx((200 + 100) * 3.6)  # the fall of 1 is noise, that of 203 a reset
    assert found.charge_u95 == pytest.approx(math.sqrt(2) * 36.0)


def test_lowest_volts_and_the_time_under_them():
    found = told("0,0,8,1\n2,0,7,1\n4,0,6,1\n6,0,8,1\n", against=Against(volts=7.0))
    assert found.stats["volts"].least == 6.0
    assert found.under_volts == pytest.approx(2.0 + 1.0)


def test_nothing_is_added_up_over_a_gap():
    found = told("0,1,8,2\n2,1,8,2\n602,1,8,2\n604,1,8,2\n", against=Against(keel=0.5))
    assert (found.gaps, found.gap_longest, found.gap_total) == (1, 600.0, 600.0)
    assert found.seconds == pytest.approx(4.0)
    assert found.below_keel == pytest.approx(4.0)
    assert found.charge == pytest.approx(8.0)


@given(st.floats(0.01, 100), st.floats(-10, 10), st.floats(-10, 10), st.floats(-10, 10))
def test_time_beyond_an_edge_is_a_share_of_the_time(seconds, one, other, edge):
    found = beyond(seconds, one, other, edge)
    assert 0.0 <= found <= seconds * (1 + 1e-12)
    steps = 4000
    over = sum(one + (other - one) * (n + 0.5) / steps > edge for n in range(steps)) / steps
    assert found == pytest.approx(seconds * over, abs=seconds * 2e-3)


# -- clocks, units, forms ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("counts", "times", "wanted"),
    [
        ("milliseconds", ("0", "1500", "3000"), (0.0, 3.0)), ("minutes", ("0", "0.5", "1"), (0.0, 60.0)),
        ("hours", ("0", "0.5", "1"), (0.0, 3600.0)),
        ("time of day", ("08:41:10", "08:42:00", "08:42:10.5"), (10.0, 70.5)),
        ("date and time", ("2032-05-04 08:41:30", "2032-05-04T08:42:00", "2032-05-04T07:43:00Z"), (30.0, 120.0)),
    ],
)  # fmt: skip
def test_clocks(counts, times, wanted):
    rows = "".join(f"{t},0.5,8,1\n" for t in times)
    found = told(rows, ('counts = "seconds"', f'counts = "{counts}"'), ('gap = "5 s"', 'gap = "1 h"'))
    assert (found.start, found.end) == (pytest.approx(wanted[0]), pytest.approx(wanted[1]))


def test_a_time_of_day_past_midnight():
    late = START.replace(hour=23, minute=59, second=0)
    rows = b"t,depth,volts,current\n23:59:30,0,8,1\n00:00:30,0,8,1\n"
    found = read([rows], mapping(MAPPING, ('counts = "seconds"', 'counts = "time of day"')), start=late)
    assert (found.start, found.end) == (30.0, 90.0)


def test_from_the_first_row_and_moved():
    found = told("100,0,8,1\n101,0,8,1\n", ('begins = "run start"', 'begins = "first row"\nshift = "12 s"'))
    assert (found.start, found.end) == (12.0, 13.0)


def test_units_zero_and_sign():
    found = told(
        "0,-30,8,1\n1,-50,8,1\n", ('unit = "m"\nu95 = "5 cm"', 'unit = "cm"\nzero = "10 cm"\nturned = true')
    )
    assert (found.stats["depth"].first, found.stats["depth"].last) == (pytest.approx(0.2), pytest.approx(0.4))


def test_other_separators_decimal_commas_and_quotes():
    changes = (('title = "depth and volts"', 'separator = "semicolon"\ndecimal = "comma"'),)
    found = told("0;0,5;8,1;3\n1;0,6;8,0;3\n", *changes, head='"t";"depth";volts;current\n')
    assert found.stats["depth"].most == pytest.approx(0.6)
    tab = told(
        '"0"\t"0.5"\t8\t1\n1\t0.7\t8\t1\n',
        ('title = "depth and volts"', 'separator = "tab"'),
        head="t\tdepth\tvolts\tcurrent\n",
    )
    assert tab.stats["depth"].most == pytest.approx(0.7)


def test_columns_by_number_without_a_head_and_lines_to_skip():
    changes = (('title = "depth and volts"', "head = false\nskip = 2"), ('column = "t"', 'column = "1"'),
               ('column = "depth"', 'column = "3"'),
               ('column = "volts"', 'column = "2"'), ('column = "current"', 'column = "4"'))  # fmt: skip
    found = told("0,8,0.5,3\n1,8,0.6,3\n", *changes, head="made by a logger\nserial\n")
    assert (found.rows, found.stats["depth"].most, found.stats["volts"].least) == (2, 0.6, 8.0)


def test_empty_cells_are_no_readings():
    found = told("0,0.5,,\n1,,8,3\n2,0.7,8,3\n")
    assert (found.rows, found.bad) == (3, 0)
    assert (found.stats["depth"].count, found.stats["volts"].count) == (2, 2)


@pytest.mark.parametrize("size", [1, 2, 3, 7, 64, 4096])
def test_chunks_may_be_cut_anywhere(size):
    raw = ("t,depth,volts,current\r\n" + "".join(f"{t},0.{t % 10},8,3\r\n" for t in range(300))).encode()
    whole = read([raw], mapping(), start=START)
    cut = read((raw[n : n + size] for n in range(0, len(raw), size)), mapping(), start=START)
    assert cut == whole


# -- bad files --------------------------------------------------------------------------------------------------------


BAD = ("2,,,", "x,0.5,8,1", "nan,0.5,8,1", "2,inf,8,1", "2,1e400,8,1", "2,1_0,8,1", "2,5000,8,1", "2,0.5,\0,1", "2", "",
       '2,"0.5', "1e300,1,8,1",
       "0.5,0.5,8,1")  # fmt: skip


@pytest.mark.parametrize("row", BAD)
def test_a_bad_row_is_passed_over_and_told_with_its_line(row):
    found = told(f"0,0.5,8,1\n1,0.5,8,1\n{row}\n3,0.6,8,1\n")
    assert found.rows == 3
    if row:
        assert found.bad == 1
        assert found.faults[0][0] == 4
        assert found.faults[0][1]


def test_a_file_that_does_not_fit_its_mapping():
    with pytest.raises(TelemetryError, match="no column called depth"):
        read([b"time,speed\n1,2\n"], mapping(MAPPING, ('column = "t"', 'column = "time"')), start=START)
    with pytest.raises(TelemetryError, match="0 rows"):
        told("")
    with pytest.raises(TelemetryError, match="2 cannot"):
        told("0,0.5,8,1\nx\ny\n")
    with pytest.raises(TelemetryError, match="UTF-16"):
        read(["t,depth".encode("utf-16")], mapping(), start=START)


def test_a_line_without_an_end_costs_no_memory():
    chunks = itertools.repeat(b"x" * 65536, 200)  # 13 MB of one line
    found = list(lines_of(itertools.chain([b"a\n"], chunks, [b"\nb\n"])))
    assert found == [b"a", None, b"b"]
    assert [len(line or b"") for line in lines_of([b"y" * (MOST_LINE + 1) + b"\nz"])] == [0, 1]


@given(st.binary(max_size=600))
def test_any_bytes_are_read_or_refused(raw):
    with contextlib.suppress(TelemetryError):
        found = read([b"t,depth,volts,current\n" + raw], mapping(), start=START)
        assert found.rows > 0
        assert all(math.isfinite(s.most) and math.isfinite(s.least) for s in found.stats.values())


# -- long files -------------------------------------------------------------------------------------------------------


def many(rows: int):
    yield b"t,depth,volts,current\n"
    for n in range(0, rows, 1000):
        yield b"".join(b"%d,%.3f,8,3\n" % (t, 1 + math.sin(t / 5000)) for t in range(n, min(n + 1000, rows)))


def test_long_files_keep_their_series_short_and_their_extremes():
    found = read(many(60_000), mapping(), start=START)
    points = found.series["depth"]
    assert found.rows == 60_000
    assert len(points) <= 4 * STRETCHES
    assert [p[0] for p in points] == sorted(p[0] for p in points)
    assert max(p[1] for p in points) == pytest.approx(2.0, abs=1e-3)
    assert min(p[1] for p in points) == pytest.approx(0.0, abs=1e-3)
    drawn = path_chart(STANDARD, 2, DepthPath(points, bed=2.2))
    assert drawn


@given(st.integers(1, 5000), st.integers(1, 50))
def test_thinning_keeps_both_extremes_and_never_grows(count, stretches):
    thinned = Thinned(stretches)
    values = [((n * 7919) % 1009) / 10 for n in range(count)]
    for n, value in enumerate(values):
        thinned.add(float(n), value)
    points = thinned.points()
    assert len(points) <= 4 * stretches
    assert max(p[1] for p in points) == max(values)
    assert min(p[1] for p in points) == min(values)
    assert all(values[int(t)] == v for t, v in points)


def test_it_says_how_far_it_is_and_can_be_stopped():
    said = []
    read(many(3 * EVERY), mapping(), start=START, tell=lambda p: said.append(p) or True)
    assert [p.rows for p in said][:3] == [EVERY, 2 * EVERY, 3 * EVERY]
    assert said[-1].read > said[0].read > 0
    with pytest.raises(StoppedError):
        read(many(3 * EVERY), mapping(), start=START, tell=lambda p: p.rows < 2 * EVERY)


@pytest.mark.nightly
def test_a_million_rows_in_little_memory():
    import subprocess
    import sys

    code = (
        "import resource, sys; sys.path.insert(0, 'tests/papers'); from test_telemetry import *\n"
        "base = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "assert read(many(1_000_000), mapping(), start=START).rows == 1_000_000\n"
        "assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - base < 20_000\n"  # 20 MB
    )
    root = Path(__file__).resolve().parents[2]
    subprocess.run([sys.executable, "-c", code], cwd=root, check=True)
