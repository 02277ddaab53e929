"""How a key is run: what is missing, refused or not fitted becomes a result in words; basis and verdict are filled in."""

from __future__ import annotations

import importlib
import pkgutil
import re
from dataclasses import FrozenInstanceError, fields, replace

import pytest
import worked

import divelog.limits
from divelog.limits import by_item, catalogue, refusal, report
from divelog.limits.model import Changes, Input, Limit, Verdict
from divelog.limits.registry import KEYS, Key, key
from divelog.limits.rests import rests_on
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Num
from divelog.profiles.facts import FIELDS, bare
from divelog.profiles.schema import MEASURED_ONLY


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch):
    """Registers a key for one test only."""

    def make(work, kind: str = "limit", sense: str = "max") -> Key:
        monkeypatch.delitem(KEYS, "test.key", raising=False)
        try:
            return key("test.key", "A test", kind=kind, sense=sense, unit="m", display="m", step="0.1 m", where="desk",
                       sources=("none",))(work)  # fmt: skip
        finally:
            KEYS.pop("test.key", None)

    return make


def _run(one: Key, **sets: str) -> Limit:
    (found,) = one(worked.sheet("tansy", **sets))
    return found


def test_a_limit_but_with_other_fields():
    """``but`` is ``dataclasses.replace``, and refuses what a limit does not have; its words are those of the class."""
    blank = KEYS["depth.keel"].new("under control")
    changed = blank.but(high=1.2, why=("because",))
    assert changed == replace(blank, high=1.2, why=("because",))
    assert (blank.high, blank.why) == (None, ())
    assert blank.but() == blank
    assert hash(blank.but()) == hash(blank)
    with pytest.raises(TypeError, match="no depth"):
        blank.but(depth=1.0)  # type: ignore[call-arg]
    with pytest.raises(FrozenInstanceError):
        changed.high = 2.0  # type: ignore[misc]
    assert Changes.__annotations__.keys() == {one.name for one in fields(Limit)}
    words = {name: said.__forward_arg__ for name, said in Changes.__annotations__.items()}
    assert words == {one.name: one.type for one in fields(Limit)}


def test_what_is_missing_is_named(made):
    one = made(lambda s: replace(one.new(), high=s.num("ballast.air_left").si))
    found = _run(one)
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == ("boat.ballast.air_left",)
    assert found.basis is Basis.MISSING
    assert found.shown == "unknown"
    assert found.actions == ("write down boat.ballast.air_left",)
    assert [i.path for i in found.inputs] == ["boat.ballast.air_left"]


def test_why_it_is_unknown_is_said(made):
    def work(s: Sheet) -> Limit:
        raise UnknownError(because="nobody has read it")

    found = _run(made(work))
    assert (found.remark, found.why, found.missing) == ("nobody has read it", ("nobody has read it",), ())


def test_a_figure_out_of_range_is_unknown_in_words_with_its_inputs(made):
    def work(s: Sheet) -> Limit:
        s.num("boat.length")
        raise OutOfRangeError("The water is frozen.")

    found = _run(made(work))
    assert found.verdict is Verdict.UNKNOWN
    assert found.remark == "The water is frozen."
    assert [i.path for i in found.inputs] == ["boat.length"]


def test_not_fitted(made):
    def work(s: Sheet) -> Limit:
        raise NotFittedError("she has none")

    found = _run(made(work))
    assert (found.verdict, found.shown, found.remark) == (Verdict.NOT_FITTED, "not fitted", "she has none")
    assert found.basis is Basis.STATED


def test_the_runner_judges_and_fills_the_inputs(made):
    one = made(lambda s: replace(one.new(), high=1.0, shown_high=1.0, reading=Num(s.si("plan.depth"), 0.05)))
    found = _run(one)
    assert found.verdict is Verdict.WITHIN
    assert [i.path for i in found.inputs] == ["today.plan[tansy].depth"]
    assert found.basis is Basis.STATED
    assert found.source == ("none",)
    assert found.name == "test.key"
    assert replace(found, item="bow").name == "test.key:bow"


def test_the_worst_input_sets_the_basis(made):
    def work(s: Sheet) -> Limit:
        s.num("boat.length"), s.num("power.blow")  # stated, assumed
        return one.new()

    one = made(work)
    assert _run(one).basis is Basis.ASSUMED
    # what is missing and was only asked about does not count
    one = made(lambda s: (s.num("boat.length"), s.maybe("ballast.air_left"), one.new())[-1])
    assert _run(one).basis is Basis.STATED


def test_a_basis_of_its_own_stands(made):
    one = made(lambda s: (s.num("boat.length"), replace(one.new(), basis=Basis.MEASURED))[-1])
    assert _run(one).basis is Basis.MEASURED
    own = (Input("a", 1.0, 0.0, "m", Basis.ASSUMED),)
    one = made(lambda s: replace(one.new(), basis=Basis.STATED, inputs=own))
    found = _run(one)
    assert (found.inputs, found.basis) == (own, Basis.STATED)


def test_a_verdict_of_its_own_stands(made):
    one = made(lambda s: replace(one.new(), verdict=Verdict.TO_PROVE))
    assert _run(one).verdict is Verdict.TO_PROVE


@pytest.mark.parametrize("kind", ["estimate", "advice"])
def test_an_estimate_has_no_verdict(made, kind):
    one = made(lambda s: replace(one.new(), value=1.0, reading=Num(9.0)), kind, kind)
    assert _run(one).verdict is Verdict.NONE


def test_several_results(made):
    one = made(lambda s: (one.new("bow"), one.new("stern")))
    assert [x.item for x in one(worked.sheet("tansy"))] == ["bow", "stern"]


def test_a_name_is_registered_once():
    with pytest.raises(ValueError, match="twice"):
        key("depth.keel", "", kind="limit", sense="max", unit="m", display="m", step="", where="desk")(
            lambda s: ()
        )


# -- one result an item ---------------------------------------------------------------------------------------------


def _each(made, work, items=("a", "b")):
    one = made(lambda s: by_item.each_item(s, one, items, work))
    return one(worked.sheet("tansy"))


def test_one_unknown_item_hides_no_other(made):
    def work(s: Sheet, item: str) -> Limit:
        if item == "a":
            s.num("ballast.air_left")
        s.num("power.blow")
        return replace(KEYS_FREE.new(item), shown="1 m")

    KEYS_FREE = made(lambda s: ())
    first, second = _each(made, work)
    assert (first.verdict, first.missing) == (Verdict.UNKNOWN, ("boat.ballast.air_left",))
    assert second.shown == "1 m"
    assert second.basis is Basis.ASSUMED


def test_an_item_refused_or_not_fitted(made):
    def work(s: Sheet, item: str) -> Limit:
        if item == "a":
            s.num("boat.length")
            raise OutOfRangeError("Too far.")
        raise NotFittedError("none here")

    first, second = _each(made, work)
    assert (first.verdict, first.remark) == (Verdict.UNKNOWN, "Too far.")
    assert [i.path for i in first.inputs] == ["boat.length"]
    assert (second.verdict, second.remark, second.actions) == (Verdict.NOT_FITTED, "none here", ())


def test_an_items_basis_of_its_own_stands(made):
    blank = made(lambda s: ())
    (found,) = _each(made, lambda s, item: replace(blank.new(item), basis=Basis.MEASURED), ("a",))
    assert found.basis is Basis.MEASURED


# -- basis of some inputs only; a refusal as a missing figure --------------------------------------------------------


def test_rests_on_some_inputs_only(made):
    def work(s: Sheet) -> Limit:
        s.num("power.blow"), s.num("boat.length")
        return one.new()

    one = made(work)
    (found,) = rests_on(worked.sheet("tansy"), work, "boat.length")
    assert found.basis is Basis.STATED
    assert {i.path for i in found.inputs} == {"boat.power.blow", "boat.length"}
    (found,) = rests_on(worked.sheet("tansy"), work, "power.blow")
    assert found.basis is Basis.ASSUMED
    (found,) = rests_on(worked.sheet("tansy"), lambda s: replace(work(s), missing=("boat.x",)), "boat.length")
    assert found.basis is Basis.MISSING

    def lacking(s: Sheet) -> Limit:
        s.num("ballast.air_left")
        return one.new()

    with pytest.raises(UnknownError):
        rests_on(worked.sheet("tansy"), lacking, "boat.length")


def test_a_refusal_as_a_missing_figure():
    @refusal.in_words
    def work(s: Sheet) -> float:
        raise OutOfRangeError("Too deep.")

    with pytest.raises(UnknownError) as caught:
        work(worked.sheet("tansy"))
    assert caught.value.because == "Too deep."
    assert refusal.in_words(lambda: 3.0)() == 3.0


# -- the whole catalogue --------------------------------------------------------------------------------------------


def test_every_key_has_its_place_in_the_order():
    for module in pkgutil.iter_modules(divelog.limits.__path__):
        importlib.import_module(f"divelog.limits.{module.name}")
    assert set(catalogue.ORDER) == set(KEYS)
    assert len(set(catalogue.ORDER)) == len(catalogue.ORDER)
    assert [one.info.key for one in catalogue.every_key()] == list(catalogue.ORDER)


def test_info_of_a_key():
    info = catalogue.info("depth.keel")
    assert info is not None
    assert info.title == "Deepest keel"
    assert catalogue.info("depth.kiel") is None


@pytest.mark.parametrize("name", catalogue.ORDER)
def test_every_key_says_what_it_is(name):
    info = KEYS[name].info
    assert info.kind in ("limit", "estimate", "advice")
    assert info.sense in ("max", "min", "band", "estimate", "advice")
    assert info.where in ("pond", "tank", "bench", "desk")
    assert info.formula
    assert info.valid
    assert info.sources
    known = {*FIELDS, *(f.path for f in MEASURED_ONLY)}
    for path in info.needs:
        whole = bare(path)
        assert whole in known or f"kit.{whole}" in known or f"boat.{whole}" in known, path
    for text in (info.title, *info.formula, info.valid, *info.sources, info.items):
        assert not re.search(r"\b(RA|WV|BU|BA|MO|TU|SE|TE|WA)\d", text), text


def test_only_some_keys():
    sheet = worked.sheet("tansy")
    assert [x.key for x in catalogue.work_out(sheet, ("lift.mass", "wind.waves"))] == [
        "wind.waves",
        "lift.mass",
    ]


def test_counts_and_data_of_results():
    limits = catalogue.work_out(worked.sheet("tansy"))
    found = report.counts(limits)
    assert found["within"] == sum(x.verdict is Verdict.WITHIN for x in limits)
    assert 0 < found["assumed_inputs"] < found["inputs"]
    keel = next(x for x in limits if x.item == "failsafe proved")
    data = report.result(keel)
    assert data["terms"]["pump hold"][3] == "waived"
    assert data["terms"]["sight"][2] == pytest.approx(0.805, abs=0.001)
    advice = report.result(next(x for x in limits if x.key == "buoyancy.trim_change"))
    assert advice["verdict"] is None
    assert "terms" not in advice


def test_moves_of_lead_as_data():
    found = catalogue.work_out(
        worked.sheet("tansy", site__water="sea", site__salinity="35 g/kg"), ("ballast.enough",)
    )
    moves = report.result(found[0])["moves"]
    assert [set(move) for move in moves] == [{"what", "mass", "u95", "from", "to"}] * 2
    assert moves[0]["mass"] == pytest.approx(0.1134, rel=0.02)
