"""Words that count as measurements.

A drop: 45 to 55 mg from a standard dropper (USP 32, chapter 1101), wider by hand. Beaufort numbers and their winds: the
Beaufort scale. The rest is common practice, no source.
"""

import pytest

from divelog.checks import words

ML = 1e-6


@pytest.mark.parametrize(
    ("said", "si", "u95"),
    [
        ("bone dry", 0.0, 0.0),
        ("dry", 0.0, 0.0),
        ("A Drop", 0.05 * ML, 0.025 * ML),
        ("two drops", 0.10 * ML, 0.05 * ML),
        ("3 drops", 0.15 * ML, 0.075 * ML),
        ("a teaspoon", 5 * ML, 1.5 * ML),
        ("half a teaspoon", 2.5 * ML, 0.75 * ML),
        ("an egg-cup", 40 * ML, 12 * ML),
        ("2 eggcups", 80 * ML, 24 * ML),
        ("a cup", 200 * ML, 60 * ML),
    ],
)
def test_an_amount_in_words(said: str, si: float, u95: float) -> None:
    found = words.amount(said)
    assert found is not None
    assert found.si == pytest.approx(si)
    assert found.u95 == pytest.approx(u95)


def test_a_dropper_drop_lies_in_a_drop() -> None:
    found = words.amount("a drop")
    assert found is not None
    for milligrams in (45, 55):
        assert abs(milligrams * 1e-9 - found.si) <= found.u95


def test_a_drop_or_two_goes_from_a_small_drop_to_two_large_ones() -> None:
    found, one = words.amount("a drop or two"), words.amount("a drop")
    assert found is not None
    assert one is not None
    assert found.si - found.u95 == pytest.approx(one.si - one.u95)
    assert found.si + found.u95 == pytest.approx(2 * (one.si + one.u95))


@pytest.mark.parametrize(
    "said", ["0.7 m", "3 mL", "8.25 V", "drops", "a lot", "", "two", "0 drops", "9" * 90, "a drop ± 1"]
)
def test_what_is_no_word_is_none(said: str) -> None:
    assert words.amount(said) is None


def test_canonical_words_are_those_the_limit_knows() -> None:
    assert words.canonical("Mist") == "mist on the wall"
    assert words.canonical("egg cup") == "an egg-cup"
    assert words.canonical("two drops") is None


def test_paces_and_arms_are_lengths() -> None:
    pace, arm = words.length("3 paces"), words.length("an arm")
    assert pace is not None
    assert arm is not None
    assert (pace.si, pace.u95) == (pytest.approx(2.25), pytest.approx(0.225))
    assert (arm.si, arm.u95) == (pytest.approx(0.6), pytest.approx(0.09))


def test_a_look_of_the_water_is_the_wind_of_its_beaufort_number() -> None:
    for look, least, most in (
        ("mirror", 0.0, 0.2),
        ("scaly ripples", 0.3, 1.5),
        ("crests begin to break", 3.4, 5.4),
    ):
        found = words.wind(look)
        assert found is not None
        assert found.si - found.u95 == pytest.approx(least)
        assert found.si + found.u95 == pytest.approx(most)
    assert words.wind("choppy") is None
