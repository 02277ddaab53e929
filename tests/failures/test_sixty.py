"""Each of sixty ways to lose a boat is told before the loss, and a sound boat is told nothing of the kind."""

from __future__ import annotations

import importlib
from collections import Counter

import pytest
from signs import CASES, QUIET, Told, at_launch, bench, glance
from sixty import FAILURES, SHOWN, SUBJECTS, UNSHOWABLE, Failure

from divelog.checks import walk as walking
from divelog.checks.entry import RefusedError
from divelog.checks.library import shipped_lists
from divelog.limits.catalogue import ORDER
from divelog.papers.exports.questions import QUESTIONS
from divelog.proofs.table import RULES
from divelog.upkeep.schedule import SealEntry, UpkeepFacts, schedule

for _subject in SUBJECTS:  # each module puts its cases into CASES
    importlib.import_module(_subject.replace(" ", "_"))

WORN = ("ballast.fill_time", "radio.check_paces", "pack.resistance", "joint.drop")
OWN_WORDS = ("defect", "noted", "her file", "call", "asked next")
"""Places that are one thing and have no name in a table."""


def named(failure: Failure) -> str:
    return f"{failure.number} {failure.words}"


# -- the cases ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("failure", SHOWN, ids=named)
def test_it_is_told_before_the_loss(failure: Failure) -> None:
    told = CASES[failure.number](True)
    assert {place: told.get(place) for place in failure.signs} == dict(failure.signs)


@pytest.mark.parametrize("failure", SHOWN, ids=named)
def test_a_sound_boat_is_told_nothing_of_it(failure: Failure) -> None:
    told = CASES[failure.number](False)
    assert {place: told.get(place) for place in failure.signs if told.get(place) not in QUIET} == {}


# -- the table ------------------------------------------------------------------------------------------------------


def test_all_sixty_are_here_once() -> None:
    assert [failure.number for failure in FAILURES] == list(range(1, 61))
    assert len({failure.words for failure in FAILURES}) == 60
    assert {failure.subject for failure in FAILURES} == set(SUBJECTS)


def test_each_is_either_brought_about_or_told_why_it_cannot_be() -> None:
    assert set(CASES) == {failure.number for failure in SHOWN}
    for failure in SHOWN:
        assert failure.signs, named(failure)
        assert not set(failure.signs.values()) & QUIET, named(failure)
        assert not failure.because, named(failure)
    for failure in UNSHOWABLE:
        assert failure.because, named(failure)
        assert failure.instead, named(failure)
        assert not failure.signs, named(failure)


def test_each_case_stands_with_its_subject() -> None:
    for failure in SHOWN:
        assert CASES[failure.number].__module__.split(".")[-1] == failure.subject.replace(" ", "_"), named(
            failure
        )


def known(place: str) -> bool:
    """Whether a place is one that the program has."""
    kind, _, name = place.partition(" ")
    lists = shipped_lists()
    if "/" in place:
        listed, _, line = place.partition("/")
        return listed in lists and lists[listed].line(line) is not None
    match kind:
        case "proof":
            return name in RULES
        case "view":
            return name in {question.view for question in QUESTIONS}
        case "due":
            seals = tuple(SealEntry(seal, True) for seal in ("aft cap", "rod"))
            services, _ = schedule(UpkeepFacts("M", seals, kept=frozenset({name})))
            return name in {service.item for service in services}
        case "caution" | "binds":
            return name in ORDER
        case "wear":
            return name.partition(":")[0] in WORN
        case "launch":
            return True  # what it says is compared with the glance itself
        case _:
            return place.partition(":")[0] in ORDER or place in OWN_WORDS


def test_every_place_named_is_one_of_the_program() -> None:
    unknown = [(failure.number, place) for failure in SHOWN for place in failure.signs if not known(place)]
    assert unknown == []
    assert not known("before-dive/no-such-line")
    assert not known("proof no_such_proof")
    assert not known("due no_such_item")
    assert not known("no.such.limit")


def test_most_show_before_the_boat_leaves_the_bank() -> None:
    """A list after a run is too late for that run: only what builds up over runs may show there first."""
    late = [
        failure.number
        for failure in SHOWN
        if all(place.startswith(("after-run/", "defect", "noted")) for place in failure.signs)
    ]
    assert late == [12]  # water inside is the first anybody sees of it: that is what is found after a run


def test_signs_are_of_many_kinds() -> None:
    """Readings, questions, proofs, limits, wear, services and defects all carry their share."""
    kinds = Counter(
        "line" if "/" in place else place.partition(" ")[0] if " " in place else "limit or other"
        for failure in SHOWN
        for place in failure.signs
    )
    assert kinds["line"] >= 30
    assert kinds["proof"] >= 20
    assert kinds["due"] >= 10
    assert kinds["wear"] >= 4


# -- what no check can show -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("failure", UNSHOWABLE, ids=named)
def test_what_cannot_be_shown_is_spoken_of_all_the_same(failure: Failure) -> None:
    lists = shipped_lists()
    for place in failure.instead:
        listed, _, line = place.partition("/")
        assert listed in lists, place
        if line:
            found = lists[listed].line(line)
            assert found is not None, place
            assert found.caution or found.how, place


def test_chemistry_and_polarity_are_cautions_of_critical_lines() -> None:
    lists = shipped_lists()
    for place in ("bench/fuse", "evening-before/charge", "at-home/charge", "hand-over/chemistry"):
        listed, _, line = place.partition("/")
        found = lists[listed].line(line)
        assert found is not None
        assert found.critical, place


def test_volts_that_her_pack_cannot_show_are_refused() -> None:
    """As near as a reading comes to a charger set for another pack: no such number is kept."""
    made = bench()
    walk = made.begin("before-dive")
    walk = made.save(*walking.go(walk, made.around(), "pack-volts"))
    told = {}
    for typed in ("8.31", "12.4"):
        try:
            told[typed] = walking.preview(walk, made.around(), typed).judged.verdict is not None
        except RefusedError:
            told[typed] = False
    assert told == {"8.31": True, "12.4": False}


def clear_line(sick: bool) -> Told:
    made = bench()
    walk = made.walk("before-dive", until="clear")
    walk = made.save(*walking.skip(walk, made.around(), "fog")) if sick else made.answer(walk, "")
    return at_launch(glance(made, walk), "clear")


def test_nobody_is_launched_past_the_look_over_the_water() -> None:
    assert clear_line(True) == {"launch clear": "skipped"}
    assert clear_line(False) == {"launch clear": "nothing"}
    for slug in ("tansy", "bulrush", "juniper", "bramble"):
        made = bench(slug)
        assert "clear" in made.asked(made.begin("before-dive"))
