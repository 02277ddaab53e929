"""The working sheet: what it finds, what it records, what it tries out; and results kept from sheet to sheet."""

from __future__ import annotations

import gc
import math
import weakref
from dataclasses import replace
from datetime import date, datetime

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import catalogue
from divelog.limits.catalogue import Keeper
from divelog.limits.model import Observed, ProofView, Series
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Fact, Num, State
from divelog.profiles.facts import Facts, empty_document


@pytest.fixture
def sheet() -> Sheet:
    return worked.sheet("tansy")


def _inputs(sheet: Sheet, work) -> dict[str, object]:
    return {entry.path: entry for entry in sheet.recorded(work)[1]}


# -- what stands at a path ------------------------------------------------------------------------------------------


def test_a_stated_quantity(sheet):
    found = sheet.num("ballast.volume")
    assert (found.si, found.u95, found.basis) == (pytest.approx(420e-6), pytest.approx(5e-6), Basis.STATED)
    assert sheet.si("boat.ballast.volume") == found.si
    entry = _inputs(sheet, lambda s: s.num("ballast.volume"))["boat.ballast.volume"]
    assert (entry.si, entry.unit, entry.said, entry.starred) == (found.si, "m^3", "420 mL ± 5 mL", False)


def test_an_assumed_quantity_says_so(sheet):
    found = sheet.num("power.blow")
    assert (found.si, found.basis) == (3.0, Basis.ASSUMED)
    assert sheet.stated("power.blow") is None
    assert sheet.basis_of("power.blow") is Basis.ASSUMED
    assert _inputs(sheet, lambda s: s.num("power.blow"))["boat.power.blow"].starred


def test_a_missing_one(sheet):
    assert sheet.maybe("ballast.air_left") is None
    assert sheet.basis_of("ballast.air_left") is Basis.MISSING
    with pytest.raises(UnknownError) as caught:
        sheet.num("ballast.air_left")
    assert caught.value.missing == ("boat.ballast.air_left",)
    with pytest.raises(UnknownError):
        sheet.need_word("ballast.gas.bottle")
    entry = _inputs(sheet, lambda s: s.maybe("ballast.air_left"))["boat.ballast.air_left"]
    assert (entry.si, entry.basis) == (None, Basis.MISSING)


def test_unknown_falls_to_its_rule_and_not_fitted_does_not():
    sheet = worked.sheet("tansy", boat__shade="unknown", boat__controls__coupling="not fitted")
    assert sheet.word("boat.shade") == "grey"
    assert sheet.word("controls.coupling") == "not fitted"
    assert worked.sheet("tansy", boat__ballast__fill_time="unknown").stated("ballast.fill_time") is None


def test_counts_flags_words_lists_and_days(sheet):
    assert sheet.num("pack.cells").si == 2.0
    assert sheet.flag("ballast.inside_cylinder") is True
    assert sheet.flag("ballast.empties_on_failsafe") is True
    assert worked.sheet("bulrush").flag("ballast.inside_cylinder") is False
    assert sheet.flag("site.peg_board") is True
    assert sheet.flag("settings.bell") is None
    assert sheet.texts("power.drive_packs") == ("D2", "D3")
    assert sheet.texts("power.blow") == ()
    assert ("ballast", "empties") in sheet.words("failsafe[signal lost].does")
    assert sheet.words("boat.length") == ()
    assert sheet.words("no.such.field") == ()
    assert sheet.words("boat.notes") == ()
    assert sheet.day_of("kit.pack[D2].measured.on") == date(2032, 2, 10)
    assert sheet.day_of("kit.pack[D2].bought") is None
    assert sheet.ids("cap") == ("aft cap", "fore cap")
    assert sheet.ids("kit.transmitter") == ("tx-a", "tx-b")
    assert sheet.fact("shade").value == "white"
    # a flag as an input is 1 or 0, a word is its text
    entry = _inputs(sheet, lambda s: s.flag("ballast.inside_cylinder"))["boat.ballast.inside_cylinder"]
    assert (entry.si, entry.said) == (1.0, "true")


def test_size(sheet):
    sizes = {"500 mm": "S", "599 mm": "S", "600 mm": "M", "1300 mm": "M", "1301 mm": "L"}
    for length, size in sizes.items():
        assert worked.sheet("tansy", boat__length=length).size == size
    assert worked.sheet("tansy", boat__length="unknown").size == "M"


def test_a_fact_of_the_day_has_its_date(sheet):
    assert _inputs(sheet, lambda s: s.num("today.water.clarity"))["today.water.clarity"].on == "2032-05-04"
    assumed = _inputs(
        worked.sheet("tansy", today__water__clarity="unknown"), lambda s: s.num("today.water.clarity")
    )
    assert assumed["today.water.clarity"].on == ""
    facts = replace(worked.facts("tansy"), today=empty_document("today")).with_sets(
        {"today.water.clarity": Fact(Num(1.0))}
    )
    nowhen = _inputs(Sheet(facts), lambda s: s.num("today.water.clarity"))
    assert nowhen["today.water.clarity"].on == ""


def test_the_day_is_that_of_the_moment_else_of_the_file():
    facts = worked.facts("tansy")
    assert Sheet(facts, at=datetime.fromisoformat("2031-01-02T03:04:05+00:00")).day == date(2031, 1, 2)
    assert Sheet(facts).day == date(2032, 5, 4)
    assert Sheet(replace(facts, today=empty_document("today"))).day is None


def test_measured_beats_stated_and_a_what_if_beats_both():
    facts = worked.facts("tansy").with_measured({"boat.mass": Fact(Num(5.8, 0.01), basis=Basis.MEASURED)})
    assert Sheet(facts).num("mass").basis is Basis.MEASURED
    tried = facts.with_sets(dict([facts.typed("boat.mass", "5.9 kg")]))
    assert Sheet(tried).si("mass") == pytest.approx(5.9)


# -- the record -----------------------------------------------------------------------------------------------------


def test_a_shared_figure_is_worked_out_once_and_counts_for_everyone(sheet):
    calls = []

    def figure(s: Sheet, scale: float) -> float:
        calls.append(scale)
        return scale * s.si("boat.length")

    first = _inputs(sheet, lambda s: s.of(figure, 2.0))
    second = _inputs(sheet, lambda s: s.of(figure, 2.0))
    assert calls == [2.0]
    assert first == second
    assert sheet.of(figure, 3.0) == pytest.approx(3 * 0.92)
    assert calls == [2.0, 3.0]


@pytest.mark.parametrize("error", [UnknownError("a.b"), NotFittedError("no"), OutOfRangeError("Too far.")])
def test_refusals_are_remembered_with_their_inputs(sheet, error):
    calls = []

    def figure(s: Sheet) -> float:
        calls.append(1)
        s.si("boat.length")
        raise error

    for _ in range(2):
        with pytest.raises(type(error)):
            sheet.of(figure)
        found, inputs = sheet.tried(lambda s: s.of(figure))
        assert found is error
        assert [i.path for i in inputs] == ["boat.length"]
    assert len(calls) == 1


def test_a_fault_of_the_program_is_not_remembered(sheet):
    def figure(s: Sheet) -> float:
        raise ZeroDivisionError

    for _ in range(2):
        with pytest.raises(ZeroDivisionError):
            sheet.of(figure)
    with pytest.raises(ZeroDivisionError):
        sheet.asked_by(figure)
    # the record is whole again
    assert [i.path for i in sheet.recorded(lambda s: s.si("boat.mass"))[1]] == ["boat.mass"]


def test_recorded_raises_on_what_is_out_of_range(sheet):
    def figure(s: Sheet) -> float:
        raise OutOfRangeError("Too far.")

    with pytest.raises(OutOfRangeError):
        sheet.recorded(figure)


def test_a_record_of_its_own_stays_out_of_the_callers(sheet):
    outer = _inputs(sheet, lambda s: (s.recorded(lambda t: t.si("boat.mass")), s.si("boat.length")))
    assert set(outer) == {"boat.length"}


def test_figures_of_the_method_and_of_the_log(sheet):
    def work(s: Sheet) -> float:
        return (
            s.assume("a lag", 2.0, 0.5, "s", "by size", star=True).si
            + s.learnt("a factor", 1.1, 0.1, "1", "5 runs").si
        )

    inputs = _inputs(sheet, work)
    assert (inputs["a lag"].basis, inputs["a lag"].starred, inputs["a lag"].said) == (
        Basis.ASSUMED,
        True,
        "by size",
    )
    assert (inputs["a factor"].basis, inputs["a factor"].u95) == (Basis.MEASURED, 0.1)
    moved = sheet.varied({"a lag": 1.0}, {"a factor": 0.02})
    assert work(moved) == pytest.approx(4.1)
    assert _inputs(moved, work)["a factor"].u95 == 0.02


# -- what is tried out ----------------------------------------------------------------------------------------------


def test_moving_an_input_moves_what_rests_on_it_and_never_a_stored_fact(sheet):
    before = {path: sheet.facts.get(path) for path in ("boat.mass", "boat.length")}
    moved = sheet.varied({"boat.length": 0.08})
    assert moved.si("length") == pytest.approx(1.0)
    assert moved.si("boat.height") == sheet.si("boat.height")  # stated
    bare = worked.sheet("tansy", boat__beam="unknown").varied({"boat.length": 0.08})
    assert bare.si("boat.beam") == pytest.approx(1.0 / 8.5)  # a guess moves with its ground
    assert {path: sheet.facts.get(path) for path in before} == before
    assert sheet.si("length") == pytest.approx(0.92)
    assert moved.varied({"boat.length": 0.1}).si("length") == pytest.approx(1.1)  # on top of what is moved
    assert sheet.varied(None, {"ballast.volume": 1e-9}).num("ballast.volume").u95 == pytest.approx(
        5e-6
    )  # whole paths
    assert sheet.varied(None, {"boat.ballast.volume": 1e-9}).num("ballast.volume").u95 == 1e-9
    assert sheet.varied({"kit.pack[D2].cells": 1.0}).si("pack.cells") == 3.0
    assert sheet.varied({"boat.shade": 1.0}).word("shade") == "white"


def test_known_better_is_measured(sheet):
    better = sheet.known_better({"boat.dived_balance": Num(0.021, 0.001)})
    found = better.num("boat.dived_balance")
    assert (found.u95, found.basis) == (0.001, Basis.MEASURED)
    assert sheet.num("boat.dived_balance").u95 == pytest.approx(0.004)


# -- readings, proofs, the log --------------------------------------------------------------------------------------


def test_readings_and_answers():
    taken = {("a", ""): Num(1.0), ("a", "x"): Num(2.0)}
    sheet = Sheet(worked.facts("tansy"), readings=taken, answers={("a", "x"): "a drop", ("b", ""): "mist"})
    assert (sheet.reading("a").si, sheet.reading("a", "x").si, sheet.reading("a", "y").si) == (1.0, 2.0, 1.0)
    assert sheet.reading("c") is None
    assert sheet.own_reading("a", "y") is None
    assert sheet.own_reading("a", "x").si == 2.0
    again = sheet.reread({("a", ""): Num(5.0)}, {})
    assert (again.reading("a", "x").si, again.answer("b")) == (5.0, None)
    assert again.facts is sheet.facts
    assert (sheet.answer("a", "x"), sheet.answer("b", "z"), sheet.answer("a")) == ("a drop", "mist", None)


def test_what_the_log_teaches():
    seen = Observed(proofs={"look": ProofView(True)}, no_load={"ahead": Series((0.6,))}, times={})
    sheet = Sheet(worked.facts("tansy"), seen)
    assert sheet.proof("look").stands
    assert sheet.proof("range") == ProofView(False, "never")
    assert sheet.series("no_load", "ahead").values == (0.6,)
    assert sheet.series("times", "fill") is None


def test_what_was_looked_at(sheet):
    def work(s: Sheet) -> None:
        s.maybe("boat.beam"), s.fact("shade"), s.ids("cap"), s.reading("k", "i"), s.own_reading("k")
        s.answer("k"), s.observed.dry_depth, s.day

    _, asked = sheet.asked_by(work)
    assert asked == {
        ("fact", "boat.beam"), ("fact", "boat.shade"), ("ids", "boat.cap"), ("reading", "k", "i"),
        ("own reading", "k", ""), ("answer", "k", ""), ("log",), ("day",),
    }  # fmt: skip
    assert sheet.value_of(("ids", "boat.cap")) == ("aft cap", "fore cap")
    assert sheet.value_of(("fact", "boat.shade")).value == "white"
    assert sheet.value_of(("fact", "boat.beam")).value.si == pytest.approx(0.112)
    assert sheet.value_of(("day",)) == date(2032, 5, 4)
    assert sheet.value_of(("log",)) is sheet.observed
    assert [sheet.value_of((kind, "k", "")) for kind in ("reading", "own reading", "answer")] == [None] * 3
    # a guess rests on what its rule asked
    bare = worked.sheet("tansy", boat__draught="unknown", boat__height="unknown")
    for _ in range(2):
        _, asked = bare.asked_by(lambda s: s.maybe("boat.draught"))
        assert {("fact", "boat.draught"), ("fact", "boat.height"), ("fact", "boat.length")} <= asked


# -- results kept from sheet to sheet -------------------------------------------------------------------------------

CHANGES = (
    ("today.plan[tansy].depth", ("0.3 m", "0.8 m", "unknown")), ("today.plan[tansy].minutes", ("10 min", "90 min")),
    ("today.plan[tansy].distance", ("5 m", "300 m", "unknown")), ("today.plan[tansy].pack", ("D3", "D2")),
    ("today.water.temperature", ("2 degC", "24 degC", "unknown")), ("today.water.clarity", ("0.4 m", "3 m ± 0.2 m")),
    ("today.air.look", ("mirror", "crests begin to break")), ("today.air.wind", ("4 m/s",)),
    ("today.closed.tansy", ("30 degC",)), ("site.bottom", ("1 m", "unknown")), ("site.water", ("sea", "rain")),
    ("boat.shade", ("black", "unknown")), ("boat.mass", ("5.9 kg", "unknown")), ("boat.ballast.fill_time", ("50 s", "unknown")),
    ("boat.radio.mast", ("plastic",)), ("kit.pack[D2].measured.capacity", ("4 A h", "unknown")),
    ("boat.length", ("550 mm", "1.5 m")), ("boat.ballast.kind", ("none", "gas", "pumped_tank")),
    ("boat.cap[aft cap].held_by", ("friction",)), ("boat.power.receiver_pack", ("from drive",)),
)  # fmt: skip
ONE = st.sampled_from(CHANGES).flatmap(lambda row: st.tuples(st.just(row[0]), st.sampled_from(row[1])))


def _with(facts: Facts, pairs) -> Facts:
    for path, text in pairs:
        facts = facts.with_sets(dict([facts.typed(path, text)]))
    return facts


@settings(max_examples=60)
@given(st.lists(st.lists(ONE, max_size=2), min_size=1, max_size=5), st.data())
def test_kept_results_are_those_worked_out_anew(steps, data):
    base, keeper = worked.sheet("tansy"), Keeper()
    facts, seen, taken, at = base.facts, base.observed, dict(base.readings), worked.AT
    keeper.work_out(base)
    for step in steps:
        facts = _with(facts, step)
        if data.draw(st.booleans()):
            depth = data.draw(st.sampled_from((None, 0.4, 1.1)))
            seen = replace(seen, dry_depth=depth, charged_full=data.draw(st.sampled_from(({}, {"D2": 40.0}))))
        if data.draw(st.booleans()):
            taken["battery.rest_voltage", "D2"] = Num(
                data.draw(st.sampled_from((8.0, 8.3))), 0.04, Basis.MEASURED
            )
        if data.draw(st.booleans()):
            at = at.replace(year=data.draw(st.sampled_from((2032, 2033))))
        fresh = Sheet(facts, seen, taken, at)
        again = Sheet(facts, seen, taken, at)
        assert keeper.work_out(fresh) == catalogue.work_out(again)


def test_only_what_a_change_can_touch_is_worked_out_again():
    base, keeper = worked.sheet("tansy"), Keeper()
    keeper.work_out(base)
    assert keeper.worked == len(catalogue.ORDER)
    keeper.work_out(base)
    assert keeper.worked == 0
    clearer = Sheet(
        _with(base.facts, [("today.water.clarity", "2 m")]), base.observed, base.readings, worked.AT
    )
    found = keeper.work_out(clearer)
    assert keeper.worked == 1
    assert found == catalogue.work_out(clearer.varied())
    same = Sheet(clearer.facts, base.observed, base.readings, worked.AT)
    keeper.work_out(same)
    assert keeper.worked == 0


def test_what_is_only_tried_out_is_not_kept():
    base, keeper = worked.sheet("tansy"), Keeper()
    first = keeper.work_out(base)
    tried = keeper.work_out(base.varied({"boat.mass": 1.0}))
    assert tried != first
    assert keeper.work_out(Sheet(base.facts, base.observed, base.readings, worked.AT)) == first
    assert keeper.worked == 0


def test_another_pack_in_the_plan_forgets_everything():
    base, keeper = worked.sheet("tansy"), Keeper()
    keeper.work_out(base)
    other = Sheet(
        _with(base.facts, [("today.plan[tansy].pack", "D3")]), base.observed, base.readings, worked.AT
    )
    assert keeper.work_out(other) == catalogue.work_out(other.varied())
    assert keeper.worked == len(catalogue.ORDER)


def test_a_shared_figure_is_no_part_of_the_sheet_it_was_first_worked_out_on():
    """What is taken over must not ask, or hold, the sheet before: a day of typing would keep every sheet alive."""
    base, keeper = worked.sheet("tansy"), Keeper()
    gone = weakref.ref(base)
    facts, seen, readings = base.facts, base.observed, base.readings
    keeper.work_out(base)
    del base
    keeper.work_out(Sheet(_with(facts, [("today.water.clarity", "2 m")]), seen, readings, worked.AT))
    gc.collect()
    assert gone() is None


def test_changes_of_facts_are_named_by_whole_path():
    base = worked.facts("tansy")
    again = worked.facts("tansy")
    assert again.changes(base) == (frozenset(), frozenset())  # read anew: other objects, the same facts
    typed = _with(base, [("boat.mass", "6 kg"), ("plan.depth", "0.9 m")])
    assert typed.changes(base) == ({"boat.mass", "today.plan[tansy].depth"}, frozenset())
    assert base.changes(typed) == typed.changes(base)
    under = base.with_measured({"boat.mass": Fact(Num(5.0), basis=Basis.MEASURED)})
    assert (
        typed.changes(_with(under, [("boat.mass", "6 kg"), ("plan.depth", "0.9 m")]))[0] == frozenset()
    )  # hidden
    bare = replace(base, boat=replace(base.boat, entries={**base.boat.entries, "cap": ("aft cap",)}))
    assert bare.changes(base) == (frozenset(), {"boat.cap"})


def test_nothing_anybody_asks_is_beyond_a_float(sheet):
    for one in catalogue.work_out(sheet):
        for entry in one.inputs:
            assert entry.si is None or math.isfinite(entry.si)
            assert math.isfinite(entry.u95)
            assert entry.u95 >= 0.0


def test_a_state_other_than_known_is_no_value():
    facts = worked.facts("tansy").with_measured({"boat.mass": Fact(None, State.UNKNOWN, Basis.MEASURED)})
    assert Sheet(facts).num("mass").basis is Basis.ASSUMED
    facts = worked.facts("tansy").with_sets({"boat.sail_section": Fact(None, State.NOT_FITTED)})
    assert Sheet(facts).maybe("boat.sail_section") is None
