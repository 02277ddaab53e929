"""What the columns of a file may be: made heads of many kinds, the mapping a draft makes, and any bytes whatever."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from datetime import datetime

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from divelog.papers.telemetry.drafting import Draft, Taken, draft_toml, shifted
from divelog.papers.telemetry.guessing import HEAD_BYTES, LOOKED_AT, MOST_COLUMNS, first_lines, guess
from divelog.papers.telemetry.mapping import COUNTS, GIVES, read_mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.papers.telemetry.reading import read
from divelog.papers.telemetry.rows import MOST_LINE

START = datetime.fromisoformat("2032-05-04T08:41:00+01:00")


def gives(draft: Draft) -> list[tuple[str, str] | None]:
    return [(seen.taken.gives, seen.taken.unit) if seen.taken else None for seen in draft.columns]


def made(draft: Draft):
    """The mapping of a draft."""
    found, faults = read_mapping(draft_toml(draft), "mappings/m.toml")
    assert faults == ()
    assert found is not None
    return found


def file(head: str, *rows: str) -> bytes:
    return "".join(f"{line}\n" for line in (head, *rows) if line).encode()


# -- heads ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("depth [cm]", ("depth", "cm")), ("Depth (m)", ("depth", "m")), ("depth_mm", ("depth", "mm")),
        ("volts_mV", ("volts", "mV")), ("Voltage [V]", ("volts", "V")), ("U/V", ("volts", "V")),
        ("current A", ("current", "A")), ("Amps", ("current", "A")), ("I [mA]", ("current", "mA")),
        ("consumed mAh", ("charge", "mAh")), ("capacity (Ah)", ("charge", "Ah")),
        ("temp C", ("temperature", "degC")), ("Temperature °C", ("temperature", "degC")),
        ("pressure kPa", ("pressure", "kPa")), ("signal %", ("signal", "%")), ("link pct", ("signal", "%")),
        ("motor %", ("throttle", "%")), ("mA", ("current", "mA")), ("heading", None), ("lat", None), ("x", None),
    ],
)  # fmt: skip
def test_words_and_units_of_the_field(name, wanted):
    draft = guess(file(f"time s,{name}", "0,5", "1,5", "2,5"))
    assert draft.time == 0
    assert gives(draft)[1] == wanted


def test_a_unit_that_is_not_said_is_the_usual_one_and_in_doubt():
    draft = guess(file("t,depth,volts", "0,1,8", "1,1,8"))
    assert gives(draft) == [None, ("depth", "m"), ("volts", "V")]
    assert draft.doubts == (
        "the clock is taken to count seconds",
        "depth: the unit is a guess",
    )  # volts are a unit by themselves
    assert guess(file("time s,depth m", "0,1", "1,1")).doubts == ()


@pytest.mark.parametrize(
    ("head", "rows", "wanted"),
    [
        ("time s,v", ("0,1", "1,1"), ("seconds", True)), ("t [ms],v", ("0,1", "1,1"), ("milliseconds", True)),
        ("elapsed min,v", ("0,1", "1,1"), ("minutes", True)), ("time h,v", ("0,1", "1,1"), ("hours", True)),
        ("t,v", ("0,1", "100,1", "200,1"), ("milliseconds", False)), ("t,v", ("0,1", "0.5,1"), ("seconds", False)),
        ("when,v", ("08:41:10,1", "08:41:11,1"), ("time of day", True)),
        ("when,v", ("2032-05-04 08:41:10,1", "2032-05-04T08:41:11,1"), ("date and time", True)),
    ],
)  # fmt: skip
def test_what_the_clock_counts(head, rows, wanted):
    draft = guess(file(head, *rows))
    assert draft.time == 0
    assert (draft.counts, draft.counts_sure) == wanted


@pytest.mark.parametrize(
    ("sign", "comma"), [(",", False), (";", False), (";", True), ("\t", False), ("\t", True), (" ", False)]
)
def test_separators_and_decimal_commas(sign, comma):
    lines = [["t", "depth", "volts"], *([f"{t}.5", f"0.{t}", "8.25"] for t in range(9))]
    raw = "\n".join(sign.join(cells) for cells in lines)
    draft = guess((raw.replace(".", ",") if comma else raw).encode())
    assert (draft.separator, draft.comma, draft.head, len(draft.columns)) == (sign, comma, True, 3)
    assert gives(draft)[1:] == [("depth", "m"), ("volts", "V")]


def test_lines_before_the_head_notes_and_no_head_at_all():
    draft = guess(b"a logger of ours\nnumber 7\nt,depth,volts\n" + b"0,1,8\n1,1,8\n" * 5)
    assert (draft.skip, draft.head, [s.name for s in draft.columns]) == (2, True, ["t", "depth", "volts"])
    bare = guess(b"0,1,8\n1,1,8\n2,1,8\n")
    assert (bare.head, bare.time, [s.column for s in bare.columns]) == (False, 0, ["1", "2", "3"])
    assert not bare.ready
    noted = guess(b"#kept by us\nt,depth\n0,1\n1,1\n")
    assert gives(noted) == [None, ("depth", "m")]


def test_two_columns_of_one_name_or_one_quantity():
    draft = guess(file("t,depth,depth,deep", "0,1,2,3", "1,1,2,3"))
    assert [seen.column for seen in draft.columns] == ["t", "depth", "3", "deep"]
    assert gives(draft) == [None, ("depth", "m"), None, None]
    assert made(draft)


def test_a_charger_s_file_rises_and_has_no_depth():
    draft = guess(file("t s,volts V,current A", *(f"{t},{7 + t / 100},2" for t in range(30))))
    assert draft.charger
    assert not draft.from_launch
    assert not guess(file("t s,volts V", *(f"{t},{8 - t / 100}" for t in range(30)))).charger
    assert not guess(file("t s,depth m,volts V", "0,1,7", "1,1,8")).charger


def test_a_clock_that_begins_far_from_nought_is_not_the_launch():
    assert guess(file("t s,depth m", "0,1", "1,1")).from_launch
    assert not guess(file("t s,depth m", "81234,1", "81235,1")).from_launch


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "no rows"), (b"one\ntwo\n", "no rows"), (b"t,depth\n", "a head and no rows"), (b"a,b\0\n", "no plain text"),
        ("t,depth\n0,1\n".encode("utf-16"), "UTF-16"), (b"\n\n\n", "no rows"), (b"# t,depth\n", "no rows"),
    ],
)  # fmt: skip
def test_what_cannot_be_guessed_is_said(raw, said):
    with pytest.raises(TelemetryError, match=said):
        guess(raw)


def test_only_the_beginning_of_a_long_file_is_looked_at():
    raw = b"t,depth\n" + b"".join(b"%d,1\n" % n for n in range(50_000))
    lines = first_lines(raw[:HEAD_BYTES])
    assert len(lines) == LOOKED_AT
    assert len(first_lines(b"x" * 10_000)[0]) == MOST_LINE
    wide = ",".join(f"c{n}" for n in range(500))
    assert len(guess(file(f"t,{wide}", *("1," + "2," * 499 + "2" for _ in range(3)))).columns) == MOST_COLUMNS


# -- from the draft to the rows ---------------------------------------------------------------------------------------


HEADS = {
    "depth": ("depth [cm]", "40", 0.4), "volts": ("volts_mV", "7900", 7.9), "current": ("I [mA]", "2500", 2.5),
    "temperature": ("temp C", "11.5", 284.65), "pressure": ("pressure kPa", "101.3", 101300.0), "signal": ("signal %", "80", 0.8),
}  # fmt: skip


@settings(max_examples=40)
@given(
    st.permutations(sorted(HEADS)), st.integers(1, 6), st.integers(0, 6), st.sampled_from([",", ";", "\t"])
)
def test_a_guessed_mapping_reads_back_what_was_written(names, count, place, sign):
    """Columns in any order, the time anywhere: each reading comes back in SI, converted by hand above."""
    names = names[:count]
    place = min(place, count)
    rows = []
    for cells, time in (
        ([HEADS[n][0] for n in names], "time s"),
        *(([HEADS[n][1] for n in names], str(t)) for t in range(5)),
    ):
        rows.append(sign.join([*cells[:place], time, *cells[place:]]))
    raw = ("\n".join(rows) + "\n").encode()
    draft = replace(guess(raw), from_launch=True)
    assert draft.time == place
    found = read([raw], made(draft), start=START)
    assert (found.rows, found.bad, found.end) == (5, 0, 4.0)
    assert {name: stat.most for name, stat in found.stats.items()} == pytest.approx(
        {name: HEADS[name][2] for name in names}
    )


def test_a_draft_without_a_time_or_a_reading_makes_no_mapping():
    draft = guess(file("t s,depth m", "0,1", "1,1"))
    for bad in (replace(draft, time=None), guess(file("t s,x", "0,1", "1,1"))):
        assert not bad.ready
        with pytest.raises(TelemetryError, match="a time and at least one reading"):
            draft_toml(bad)


def test_every_choice_a_person_has_makes_a_mapping():
    draft = guess(file("t s,depth m", "0,1", "1,1"))
    from divelog import units

    for quantity, (dimension, *_) in GIVES.items():
        for unit in units.allowed(dimension):
            columns = (draft.columns[0], replace(draft.columns[1], taken=Taken(quantity, unit)))
            assert made(replace(draft, columns=columns)).columns[0].gives == quantity
    for counts in COUNTS:
        assert made(replace(draft, counts=counts)).counts == counts


def test_a_shift_moves_every_time_and_a_wrong_one_is_refused():
    raw = file("time s,depth m", "0,1", "1,1")
    mapping = made(guess(raw))
    assert read([raw], shifted(mapping, "-90 s"), start=START).start == -90.0
    assert read([raw], shifted(mapping, "2 min"), start=START).end == 121.0
    for wrong in ("soon", "3", "1 m", "1e99 h", "\0"):
        with pytest.raises(TelemetryError):
            shifted(mapping, wrong)


# -- any bytes --------------------------------------------------------------------------------------------------------


PIECES = st.sampled_from(
    [b"t", b"depth", b"volts [mV]", b"0", b"1,5", b"2.5", b"08:41:10", b"2032-05-04 08:41", b",", b";", b"\t", b" ", b"\n",
     b"\r\n", b'"', b"#", b"\xff", b"\xef\xbb\xbf", b"%", b"\xc2\xb0C", b"nan", b"1e999", b"[", b"]", b"=1+1", b"-"]
)  # fmt: skip


@settings(max_examples=100)
@given(st.one_of(st.binary(max_size=300), st.lists(PIECES, max_size=60).map(b"".join)))
@example(b"\n,\n,\n")
@example(b"1e999,2\n1e999,3\n")
@example(b'"a,b\n"a,b\n')
def test_any_bytes_are_guessed_or_refused_and_a_ready_draft_is_a_mapping(raw):
    with contextlib.suppress(TelemetryError):
        draft = guess(raw)
        assert 2 <= len(draft.columns) <= MOST_COLUMNS
        assert draft.time is None or 0 <= draft.time < len(draft.columns)
        assert draft.counts in COUNTS
        named = [seen.taken.gives for seen in draft.columns if seen.taken is not None]
        assert len(named) == len(set(named))
        if draft.ready:
            mapping, faults = read_mapping(draft_toml(draft), "mappings/m.toml")
            assert mapping is not None, faults
            read([raw], mapping, start=START)
