"""The deepest keel: the least of all terms by safe ends, what binds with it, what is next, what a proof waives."""

from __future__ import annotations

from dataclasses import replace

import pytest
import worked
from hypothesis import given
from hypothesis import strategies as st

from divelog.limits import keel
from divelog.limits.keel import FAILSAFE_PROVED, NEVER_PROVED, UNDER_CONTROL, choose
from divelog.limits.model import Limit, ProofView, Term, Verdict
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Num

TERM = st.builds(
    Term,
    name=st.sampled_from(("radio", "step", "tube", "sight", "bottom")),
    value=st.floats(0, 20),
    u95=st.floats(0, 5),
    waived=st.booleans(),
)


def _both(sheet: Sheet) -> dict[str, Limit]:
    return {one.item: one for one in keel.depth_keel(sheet)}


def _observed(boat: str, **changes: object) -> Sheet:
    sheet = worked.sheet(boat)
    return worked.sheet(boat, observed=replace(sheet.observed, **changes))


# -- choosing -------------------------------------------------------------------------------------------------------


@given(st.lists(TERM, min_size=1).filter(lambda terms: not all(t.waived for t in terms)))
def test_the_least_by_its_safe_end(terms):
    least, binding, beyond = choose(terms)
    counted = [t for t in terms if not t.waived]
    assert least.safe == min(t.safe for t in counted)
    assert least in binding
    edge = least.value + least.u95
    assert sorted(t.safe for t in binding) == sorted(t.safe for t in counted if t.safe <= edge)
    rest = [t.safe for t in counted if t.safe > edge]
    assert (beyond.safe if beyond else None) == (min(rest) if rest else None)


@given(st.lists(TERM, min_size=1).filter(lambda terms: not all(t.waived for t in terms)), st.randoms())
def test_their_order_does_not_matter(terms, random):
    shuffled = list(terms)
    random.shuffle(shuffled)
    one, other = choose(terms), choose(shuffled)
    assert one[0].safe == other[0].safe
    assert sorted(t.safe for t in one[1]) == sorted(t.safe for t in other[1])


@given(st.lists(TERM, min_size=1).filter(lambda terms: not all(t.waived for t in terms)), TERM)
def test_one_term_more_never_goes_deeper(terms, more):
    assert choose([*terms, more])[0].safe <= choose(terms)[0].safe


def test_a_term_binds_within_the_reach_of_the_least():
    # the least is 1.0 ± 0.2: everything whose safe end lies at 1.2 m or less is named with it
    terms = [Term("a", 1.0, 0.2), Term("b", 1.3, 0.1), Term("c", 1.31, 0.1), Term("d", 0.1, 0.0, waived=True)]
    least, binding, beyond = choose(terms)
    assert (least.name, [t.name for t in binding], beyond.name) == ("a", ["a", "b"], "c")
    assert choose([Term("a", 1.0, 0.2)])[2] is None


# -- terms of its own -----------------------------------------------------------------------------------------------


def test_never_proved_dry_is_within_reach_of_an_arm():
    found = _both(_observed("tansy", dry_depth=None))[UNDER_CONTROL]
    step = next(t for t in found.terms if t.name == "step")
    assert (step.value, step.u95) == (NEVER_PROVED, 0.0)
    assert found.shown == "0.5 m"
    assert found.binds == ("step",)


def test_one_step_beyond_what_was_dry():
    for proved, value in ((0.1, 0.6), (3.0, 3.5)):
        found = _both(_observed("tansy", dry_depth=proved))[UNDER_CONTROL]
        assert next(t for t in found.terms if t.name == "step").value == pytest.approx(value)
        assert "depth proved dry" in {i.path for i in found.inputs}
    with pytest.raises(NotFittedError):
        keel.own_term(worked.sheet("bulrush"))


def test_her_own_limit_binds():
    found = _both(worked.sheet("tansy", boat__my_limits__deepest="0.4 m"))[UNDER_CONTROL]
    assert (found.shown, found.binds[0], found.verdict) == ("0.4 m", "own", Verdict.OUTSIDE)
    assert found.actions[0] == "plan a shallower keel"


# -- both items -----------------------------------------------------------------------------------------------------


def test_missing_terms_are_named_and_hide_no_other():
    found = _both(worked.sheet("tansy", today__water__temperature="unknown", boat__cylinder__wall="unknown"))
    assert set(found) == {UNDER_CONTROL, FAILSAFE_PROVED}
    one = found[UNDER_CONTROL]
    assert {"today.water.temperature", "boat.cylinder.wall"} <= set(one.missing)
    assert any(line.startswith("not known: ") for line in one.why)
    assert {"step", "own"} <= {t.name for t in one.terms}
    assert one.verdict in (Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE)


def test_no_plan_is_no_reading():
    found = _both(worked.sheet("tansy", **{"today__plan[tansy]__depth": "unknown"}))[UNDER_CONTROL]
    assert (found.reading, found.verdict) == (None, Verdict.NO_READING)


def test_a_depth_that_was_read_is_judged():
    sheet = worked.sheet("tansy", readings={("depth.keel", UNDER_CONTROL): Num(0.78, 0.05, Basis.MEASURED)})
    assert _both(sheet)[UNDER_CONTROL].verdict is Verdict.TOO_CLOSE
    assert _both(sheet)[FAILSAFE_PROVED].reading.si == pytest.approx(0.7)


@pytest.mark.parametrize(
    ("bench", "wet", "remark"),
    [
        (ProofView(False, "never"), ProofView(True), "never proved"),
        (ProofView(True), ProofView(False, "radio bound"), "to prove: radio bound"),
        (ProofView(False, ""), ProofView(True), "to prove"),
    ],
)
def test_both_proofs_or_it_is_to_prove(bench, wet, remark):
    found = _both(_observed("tansy", proofs={"failsafe_bench": bench, "failsafe_wet": wet}))[FAILSAFE_PROVED]
    assert (found.verdict, found.remark) == (Verdict.TO_PROVE, remark)
    assert found.actions


def test_with_both_proofs_it_is_judged():
    proofs = {"failsafe_bench": ProofView(True), "failsafe_wet": ProofView(True)}
    found = _both(_observed("tansy", proofs=proofs))
    assert found[FAILSAFE_PROVED].verdict is Verdict.WITHIN
    assert found[FAILSAFE_PROVED].actions == ()
    # the pump terms are waived: she comes up by herself; under control they are too, once that is proved
    waived = {t.name for t in found[FAILSAFE_PROVED].terms if t.waived}
    assert waived == {"pump head", "pump hold"}


@pytest.mark.parametrize("balance", ["-30 g ± 4 g", "unknown"])
def test_pump_terms_bind_where_she_may_be_heavy(balance):
    found = _both(worked.sheet("tansy", boat__dived_balance=balance))[FAILSAFE_PROVED]
    assert not any(t.waived for t in found.terms)


def test_without_ballast_there_is_no_pump_term():
    found = _both(worked.sheet("tansy", boat__ballast__kind="none"))[UNDER_CONTROL]
    assert not {t.name for t in found.terms} & {"pump head", "pump hold", "gas"}


def test_nothing_binds_below_nought():
    found = _both(worked.sheet("tansy", site__bottom="0.3 m"))[UNDER_CONTROL]
    assert found.shown_high == 0.0
    assert found.shown == "0.0 m"


def test_a_caution_goes_with_the_sight():
    assert keel._cautions(worked.sheet("tansy"), (Term("radio", 1.0, 0.0),)) == ()
    blind = worked.sheet("tansy", today__water__clarity="unknown", site__bottom="unknown")
    assert isinstance(keel._cautions(blind, (Term("sight", 1.0, 0.0),)), tuple)


def test_a_term_out_of_reach_is_named(monkeypatch):
    def refused(s: Sheet) -> Term:
        raise UnknownError(because="nobody can tell")

    monkeypatch.setattr(keel, "_SINGLE", (("step", keel.step_term), ("tube", refused)))
    monkeypatch.setattr(keel, "seal_terms", refused)
    monkeypatch.setattr(keel, "sight_caution", refused)
    found = keel.gather(worked.sheet("bulrush"))
    assert [t.name for t in found.terms] == ["step"]
    alone = _both(worked.sheet("bulrush"))[UNDER_CONTROL]
    assert (alone.binds, alone.next) == (("step",), "")
    assert keel.Lacking("tube", because="nobody can tell") in found.missing
    assert keel.Lacking("seal", because="nobody can tell") in found.missing
    assert "not known: tube (nobody can tell), seal (nobody can tell)" in alone.why[-1]
    assert alone.missing == ()
    assert keel._cautions(worked.sheet("tansy"), (Term("sight", 1.0, 0.0),)) == ()

    def absent(s: Sheet) -> Term:
        raise NotFittedError("none")

    monkeypatch.setattr(keel, "seal_terms", absent)
    assert "seal" not in {one.name for one in keel.gather(worked.sheet("tansy")).missing}

    def beyond(s: Sheet) -> Term:
        raise OutOfRangeError("The wall is thicker than the tube.")

    monkeypatch.setattr(keel, "_SINGLE", (("step", keel.step_term), ("tube", beyond)))
    assert (
        keel.Lacking("tube", because="The wall is thicker than the tube.")
        in keel.gather(worked.sheet("tansy")).missing
    )
    monkeypatch.setattr(keel, "gather", absent)
    (one,) = keel.depth_keel(worked.sheet("tansy"))
    assert one.verdict is Verdict.NOT_FITTED


# -- the chain ------------------------------------------------------------------------------------------------------


@given(st.floats(0.8, 30), st.floats(0, 5))
def test_a_deeper_bottom_never_makes_it_shallower(bottom, more):
    shallow = _both(worked.sheet("tansy", site__bottom=f"{bottom:.3f} m"))[UNDER_CONTROL]
    deep = _both(worked.sheet("tansy", site__bottom=f"{bottom + more:.3f} m"))[UNDER_CONTROL]
    term = {one: {t.name: t.safe for t in one.terms} for one in (shallow, deep)}
    assert term[deep]["bottom"] >= term[shallow]["bottom"] - 1e-9


@given(st.floats(0.2, 5), st.floats(0, 3), st.floats(0, 1))
def test_clearer_water_and_a_better_known_clarity_never_make_it_shallower(clarity, more, spread):
    dim = _both(worked.sheet("tansy", today__water__clarity=f"{clarity:.3f} m ± 0.1 m"))[UNDER_CONTROL]
    clear = _both(worked.sheet("tansy", today__water__clarity=f"{clarity + more:.3f} m ± 0.1 m"))[
        UNDER_CONTROL
    ]
    unsure = _both(worked.sheet("tansy", today__water__clarity=f"{clarity:.3f} m ± {0.1 + spread:.3f} m"))[
        UNDER_CONTROL
    ]
    assert clear.shown_high >= dim.shown_high
    assert unsure.shown_high <= dim.shown_high
