"""Answers as they are typed, and how each stands: right, wrong, or neither."""

from __future__ import annotations

import pytest
from test_walk import charged
from walking import Bench

from divelog.checks import walk as walking
from divelog.checks.entry import Given, RefusedError, choices, give
from divelog.checks.judge import fall, judge, reading_words
from divelog.checks.model import Kind, Question
from divelog.checks.said import correction
from divelog.checks.settling import settle
from divelog.checks.state import Pending, Written
from divelog.limits.model import Verdict
from divelog.profiles.document import Num


@pytest.fixture(scope="module")
def bench() -> Bench:
    return charged()


def q(kind: Kind, **more: object) -> Question:
    return Question(kind, **more)  # type: ignore[arg-type]


def test_a_choice_is_taken_by_digit_or_by_its_words(bench: Bench) -> None:
    question = q(Kind.CHOICE, of=("right", "wrong", "still"))
    around = bench.around()
    assert give(question, "2", around).answer == "wrong"
    assert give(question, " Still ", around).answer == "still"
    for typed in ("", "4", "0", "maybe", "\x1b[2J"):
        with pytest.raises(RefusedError) as told:
            give(question, typed, around)
        assert "\x1b" not in str(told.value)


def test_choices_may_come_out_of_her_file(bench: Bench) -> None:
    question = q(Kind.CHOICE, of=("boat.cylinder.closures", "all of them"))
    assert choices(question, bench.around()) == (
        "fore cap",
        "aft cap",
        "charge port",
        "vent plug",
        "all of them",
    )


@pytest.mark.parametrize(
    ("unit", "typed", "si"),
    [("mm", "35", 0.035), ("mm", "3,5 cm", 0.035), ("m", "3 ft", 0.9144), ("m", "2 paces", 1.5), ("V", "8,31", 8.31),
     ("degC", "66.2 degF", 292.15), ("paces", "48", 48.0), ("paces", "37.5 m", 50.0), ("s", "1 min", 60.0),
     ("kg", "12 oz", 0.340194)],
)  # fmt: skip
def test_any_unit_may_be_typed(bench: Bench, unit: str, typed: str, si: float) -> None:
    found = give(q(Kind.VALUE, unit=unit), typed, bench.around())
    assert found.value is not None
    assert found.value.si == pytest.approx(si, rel=1e-5)


@pytest.mark.parametrize("typed", ["", "fast", "8.31 A", "1e400", "9**9", "nan", "--3", "3 m 4"])
def test_what_is_no_number_is_refused_in_words(bench: Bench, typed: str) -> None:
    with pytest.raises(RefusedError, match="wanted"):
        give(q(Kind.VALUE, unit="V"), typed, bench.around())


def test_the_meter_of_the_kit_gives_its_give_or_take(bench: Bench) -> None:
    around = bench.around()
    assert give(q(Kind.VALUE, unit="V"), "8.31", around).value.u95 == pytest.approx(0.0416, abs=1e-3)  # type: ignore[union-attr]
    assert give(q(Kind.VALUE, unit="V"), "8.31 ± 0.01", around).value.u95 == pytest.approx(0.01)  # type: ignore[union-attr]
    assert give(q(Kind.VALUE, unit="m", u95="0.1 m"), "0.6", around).value.u95 == pytest.approx(0.1)  # type: ignore[union-attr]


def test_readings_no_pack_can_show_are_refused(bench: Bench) -> None:
    with pytest.raises(RefusedError, match="2 cells of lithium polymer"):
        give(q(Kind.VALUE, unit="V", limit="battery.rest_voltage"), "83.1", bench.around())


@pytest.mark.parametrize(
    ("typed", "answer", "si"),
    [("1", "bone dry", 0.0), ("Mist", "mist on the wall", 2e-8), ("two drops", "two drops", 1e-7), ("3 mL", "", 3e-6),
     ("0.4 g", "", 4e-7), ("4", "a teaspoon", 5e-6)],
)  # fmt: skip
def test_water_in_words_or_numbers(bench: Bench, typed: str, answer: str, si: float) -> None:
    found = give(q(Kind.WORDS), typed, bench.around())
    assert found.answer == answer
    assert found.value is not None
    assert found.value.si == pytest.approx(si)


def test_flooded_is_said_and_never_right(bench: Bench) -> None:
    question = q(Kind.WORDS, limit="cylinder.water_found")
    found = give(question, "Flooded", bench.around())
    assert judge(question, found, bench.around()).wrong


@pytest.mark.parametrize("typed", ["-3 mL", "a lot", "", "8 V"])
def test_what_is_no_water_is_refused(bench: Bench, typed: str) -> None:
    with pytest.raises(RefusedError):
        give(q(Kind.WORDS), typed, bench.around())


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [("bone dry", Verdict.WITHIN), ("mist", Verdict.TOO_CLOSE), ("a drop", Verdict.OUTSIDE), ("a drop or two", Verdict.OUTSIDE),
     ("a teaspoon", Verdict.OUTSIDE)],
)  # fmt: skip
def test_one_drop_is_a_leak(typed: str, verdict: Verdict) -> None:
    """Of the worked boats: closed at 19 degC in water of 11, at most 17 mg can be sweat; a drop is 25 to 75 mg."""
    bench = charged()
    bench.keep("day.opened", {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5},
                              "air": {"temperature": {"si": 292.15, "u95": 1.0}}}, boat=None)  # fmt: skip
    question = q(Kind.WORDS, limit="cylinder.water_found")
    around = bench.around()
    assert judge(question, give(question, typed, around), around).verdict is verdict


def test_no_water_is_right_even_where_the_limit_is_unknown() -> None:
    bench = Bench("tansy")  # no day, no water temperature
    question = q(Kind.WORDS, limit="cylinder.water_found")
    around = bench.around()
    assert judge(question, give(question, "bone dry", around), around).verdict is Verdict.WITHIN
    assert judge(question, give(question, "a drop", around), around).verdict is Verdict.UNKNOWN


def test_an_unknown_limit_is_not_right_and_names_what_is_missing() -> None:
    bench = Bench("tansy")
    question = q(Kind.VALUE, unit="mm", limit="antenna.clear_length")
    found = judge(question, give(question, "40", bench.around()), bench.around())
    assert found.verdict is Verdict.UNKNOWN
    assert not found.right
    assert not found.wrong
    assert found.actions == ("write down boat.radio.aerial_length",)


def test_bounds_of_the_list_itself(bench: Bench) -> None:
    question = q(Kind.VALUE, unit="cm", least="-5 cm", most="5 cm")
    around = bench.around()
    assert judge(question, give(question, "0", around), around).verdict is Verdict.WITHIN
    assert judge(question, give(question, "4.95", around), around).verdict is Verdict.TOO_CLOSE
    assert judge(question, give(question, "-6", around), around).verdict is Verdict.OUTSIDE


def test_a_verdict_is_one_sentence_with_reading_and_limit(bench: Bench) -> None:
    walk = bench.begin("before-dive")
    walk = bench.save(*walking.go(walk, bench.around(), "pack-volts"))
    seen = walking.preview(walk, bench.around(), "8.19").judged
    assert seen.limit is not None
    assert seen.words == f"8.19 V, give or take 0.041. At least {seen.limit.shown}."
    assert seen.actions
    walk = bench.save(*walking.go(walk, bench.around(), "paces"))
    assert walking.preview(walk, bench.around(), "20").judged.words == "20 paces. At least 44 paces."
    walk = bench.save(*walking.go(walk, bench.around(), "cycle"))
    words = walking.preview(walk, bench.around(), "99").judged.words
    assert words.startswith("99 s")
    assert ". At most " in words
    assert "at least at" not in words


def test_a_word_in_place_of_a_number(bench: Bench) -> None:
    walk = bench.begin("bench")
    walk = bench.save(*walking.go(walk, bench.around(), "receiver-volts"))
    seen = walking.preview(walk, bench.around(), "No reset seen").judged
    assert seen.verdict is Verdict.TOO_CLOSE  # seen is not read: it proves nothing
    assert walking.preview(walk, bench.around(), "5.2").judged.right


def test_the_fall_of_a_hold_has_the_give_or_take_of_both_readings() -> None:
    found = fall(Given("", Num(-10_000.0, 300.0), "-10"), Given("", Num(-9_000.0, 400.0), "-9"))
    assert found.value is not None
    assert found.value.si == pytest.approx(1000.0)
    assert found.value.u95 == pytest.approx(500.0)
    assert found.typed == "-10 to -9"


def test_a_name_is_the_same_whatever_its_case_and_blanks(bench: Bench) -> None:
    question = q(Kind.TEXT, want=("boat.radio.memory",))
    around = bench.around()
    assert judge(question, give(question, " tansy ", around), around).right
    assert judge(question, give(question, "TANSI", around), around).wrong


def test_reading_words_keep_what_was_typed() -> None:
    volts = q(Kind.VALUE, unit="V")
    assert reading_words(volts, Given("", Num(8.31, 0.0), "8.31")) == "8.31 V"
    assert reading_words(volts, Given("", Num(8.31, 0.02), "8.31 V ± 0.02 V")) == "8.31 V ± 0.02 V"


# -- what is already on disk ------------------------------------------------------------------------------------------


def _written(what: str, event: str, data: dict[str, object]) -> Written:
    bench = Bench("tansy")
    return Written("line", what, event, data, bench.clock.now())


def test_the_same_is_not_written_twice_and_something_else_is_corrected() -> None:
    old = _written("charged", "e1", {"pack": "D2", "charge": {"si": 1.0}})
    assert settle([Pending("charged", {"pack": "D2", "charge": {"si": 1}})], [old], True) == []
    new = Pending("charged", {"pack": "D2", "charge": {"si": 2.0}})
    assert settle([new], [old], True) == [correction("e1", new.data, "answered again")]


def test_another_thing_is_new_and_what_nobody_says_any_more_is_void() -> None:
    old = _written("charged", "e1", {"pack": "D2", "charge": {"si": 1.0}})
    other = Pending("charged", {"pack": "D3", "charge": {"si": 1.0}})
    assert settle([other], [old], False) == [other]
    assert settle([other], [old], True) == [other, correction("e1", None, "answered again")]
