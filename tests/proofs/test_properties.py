"""What must hold for any log: only listed answers give, doubt never helps, order of files never matters."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.journal.events import Event
from divelog.journal.kinds import FIELDS
from divelog.proofs import Question, State, fold_proofs
from divelog.proofs.table import PROOFS, BoatFacts

START = datetime(2032, 5, 1, 8, tzinfo=UTC)
FACTS = BoatFacts(frozenset(rule.proof for rule in PROOFS), ("D2",), ("G1",), many_memories=True)
NAMES = [
    rule.proof if not rule.item else f"{rule.proof}:{'D2' if rule.proof == 'pack' else 'G1'}"
    for rule in PROOFS
]


def event(
    number: int, what: str, minutes: float, data: dict, run: str | None = None, happened: str | None = None
) -> Event:
    return Event(
        id=f"01c90000-0000-7000-8000-{number:012x}",
        what=what,
        when=START + timedelta(minutes=minutes),
        boat=None if what in ("day.opened", "day.closed") else "tansy",
        data=msgspec.Raw(msgspec.json.encode(data)),
        run=run,
        happened=happened,
    )


_DATA = {
    "check.answered": st.fixed_dictionaries(
        {"list": st.just("before-dive"), "line": st.just("x")},
        optional={
            "gives": st.lists(st.sampled_from(NAMES), max_size=3),
            "fails": st.lists(st.sampled_from(NAMES), max_size=2),
            "dry_depth": st.floats(0.1, 5),
        },
    ),
    "opened": st.fixed_dictionaries({"which": st.just(["aft cap"]), "lifted": st.booleans()}),
    "fitted": st.fixed_dictionaries(
        {"part": st.sampled_from(["seal", "servo", "receiver", "pump", "propeller", "pack"])},
        optional={"mass_change": st.floats(-0.1, 0.1), "seals": st.just(["shaft"])},
    ),
    "charged": st.fixed_dictionaries({"pack": st.sampled_from(["D2", "D3"]), "to": st.just("full")}),
    "mass.moved": st.fixed_dictionaries({"piece": st.just("lead")}),
    "radio.changed": st.fixed_dictionaries(
        {"changed": st.lists(st.sampled_from(["bound", "memory", "aerial"]), max_size=2)}
    ),
    "switched": st.fixed_dictionaries(
        {
            "device": st.sampled_from(["transmitter", "boat"]),
            "to": st.just("off"),
            "for": st.sampled_from(["home", "failsafe"]),
        }
    ),
    "knocked": st.fixed_dictionaries({"kind": st.sampled_from(["hit", "heat"])}),
    "stored": st.just({}),
    "boat.received": st.fixed_dictionaries({"claimed": st.lists(st.sampled_from(NAMES), max_size=3)}),
    "day.opened": st.fixed_dictionaries(
        {"site": st.sampled_from(["withy-pond", "basin"]), "water": st.sampled_from(["fresh", "sea"])}
    ),
    "day.closed": st.just({}),
    "plan.set": st.fixed_dictionaries(
        {"pack": st.sampled_from(["D2", "D3"])},
        optional={"trim_shift": st.floats(-0.1, 0.1), "dived_balance": st.just(0.02)},
    ),
    "incident": st.fixed_dictionaries(
        {"step": st.sampled_from(["touched bottom", "stuck", "went down uncontrolled", "lost"])}
    ),
    "water.found": st.fixed_dictionaries(
        {"si": st.sampled_from([0, 1e-5]), "allowance": st.just(1e-8), "looked": st.just("opened")},
        optional={"flooded": st.just(True)},
    ),
    "note": st.just({"text": "x"}),
    "boat.filed": st.fixed_dictionaries(
        {"changed": st.lists(st.sampled_from(["failsafe[signal lost].hold", "ballast.volume"]), max_size=2)}
    ),
}

_ONE = st.sampled_from(sorted(_DATA)).flatmap(
    lambda what: st.tuples(st.just(what), st.floats(0, 60 * 24 * 50), _DATA[what])
)
LOGS = st.lists(_ONE, max_size=25).map(
    lambda rows: [event(n, what, at, data) for n, (what, at, data) in enumerate(rows)]
)
MOMENTS = st.floats(0, 60 * 24 * 80).map(lambda minutes: Question(START + timedelta(minutes=minutes)))


def standing(events, question) -> set[str]:
    return {p.name for p in fold_proofs(events, FACTS, question).proofs if p.state is State.PROVED}


@given(LOGS, MOMENTS)
def test_nothing_stands_that_no_answer_gave(events, question):
    given_names = {str(g) for e in events if e.what == "check.answered" for g in e.payload().get("gives", [])}
    assert standing(events, question) <= given_names


@given(LOGS, MOMENTS, st.randoms(use_true_random=False))
def test_the_order_of_the_lines_never_matters(events, question, random):
    shuffled = list(events)
    random.shuffle(shuffled)
    assert fold_proofs(events, FACTS, question) == fold_proofs(shuffled, FACTS, question)


_SIGNS = {"day.opened", "plan.set", "water.found", "day.closed", "check.answered"}


@given(LOGS, _ONE, MOMENTS)
def test_one_more_spending_event_never_revives_a_proof(events, extra, question):
    what, at, data = extra
    if what in _SIGNS:
        return  # signs of an outing may make it last longer
    more = [*events, event(len(events), what, at, data)]
    assert standing(more, question) <= standing(events, question)


@given(LOGS, MOMENTS)
def test_a_longer_log_never_revives_what_a_shorter_one_shows_spent_by_an_event(events, question):
    ordered = sorted(events, key=lambda e: (e.at, e.id))
    for cut in range(len(ordered)):
        short = fold_proofs(ordered[:cut], FACTS, question)
        spent = {p.name for p in short.proofs if p.state is State.TO_PROVE and p.event}
        given_later = {
            str(g) for e in ordered[cut:] if e.what == "check.answered" for g in e.payload().get("gives", [])
        }
        assert not (spent & standing(ordered, question)) - given_later


@given(st.floats(1, 180))
def test_doubt_about_a_time_never_helps(width):
    given_at = event(1, "check.answered", 60, {"gives": ["faces"]})
    doubt = f"{(START + timedelta(minutes=50)).isoformat()} ± {width:.0f} min"
    opened = event(2, "opened", 200, {"which": ["aft cap"]}, happened=doubt)
    stands = standing([given_at, opened], Question(START + timedelta(minutes=230)))
    assert ("faces" in stands) == (50 + round(width) < 60)


_ON_PAPER = st.sampled_from(
    [
        ("check.answered", {"gives": ["faces"]}),
        ("check.answered", {"gives": ["range"]}),
        ("check.answered", {"gives": ["full_power"]}),
        ("check.answered", {"fails": ["faces"]}),
        ("opened", {"which": ["aft cap"]}),
        ("switched", {"device": "transmitter", "to": "off"}),
    ]
)


@given(st.lists(_ON_PAPER, max_size=12), st.integers(1, 90))
def test_one_sheet_under_one_time_folds_as_its_lines_would_one_after_another(lines, width):
    head = f"{(START + timedelta(minutes=50)).isoformat()} ± {width} min"
    typed = [
        event(n, what, 200, {**data, "sheet": "s"}, happened=head) for n, (what, data) in enumerate(lines)
    ]
    apart = [event(n, what, 50 + n / 100, data) for n, (what, data) in enumerate(lines)]
    question = Question(START + timedelta(minutes=210))
    assert standing(typed, question) == standing(apart, question)


@given(st.integers(1, 90), st.integers(-100, 100))
def test_a_sheet_has_no_order_against_anything_else(width, away):
    head = f"{(START + timedelta(minutes=110)).isoformat()} ± {width} min"
    closed = event(9, "check.answered", 300, {"gives": ["faces"], "sheet": "s"}, happened=head)
    question = Question(START + timedelta(minutes=310))
    for sheet in ({}, {"sheet": "another"}, {"sheet": 7}):
        opened = event(1, "opened", 110 + away, {"which": ["aft cap"], **sheet})
        assert ("faces" in standing([opened, closed], question)) == (away < -width)
    # Of the same sheet, but with a time of its own: then the times rule.
    own = f"{(START + timedelta(minutes=110 + away)).isoformat()} ± 1 min"
    opened = event(1, "opened", 300, {"which": ["aft cap"], "sheet": "s"}, happened=own)
    if own != head:
        assert ("faces" in standing([opened, closed], question)) == (away + 1 < -width)


def test_everything_given_by_a_gift_is_only_claimed():
    log = [
        event(1, "check.answered", 0, {"gives": ["dry_long"]}),
        event(2, "boat.received", 5, {"claimed": ["dry_long", "trim"]}),
    ]
    report = fold_proofs(log, FACTS, Question(START + timedelta(minutes=10)))
    assert report.get("dry_long").state is State.CLAIMED
    assert report.get("trim").state is State.CLAIMED
    assert report.get("look").state is State.NEVER
    log.append(event(3, "check.answered", 20, {"gives": ["trim"]}))
    assert fold_proofs(log, FACTS, Question(START + timedelta(minutes=30))).get("trim").state is State.PROVED


def test_a_clock_set_back_leaves_timed_proofs_to_prove():
    log = [event(1, "check.answered", 0, {"gives": ["faces", "look"]}), event(2, "note", 60, {"text": "x"})]
    report = fold_proofs(log, FACTS, Question(START + timedelta(minutes=5)))
    assert report.clock_doubt
    assert report.get("faces").because == "the clock was changed"
    assert report.get("look").state is State.PROVED


def test_thirty_days_idle_spends_like_an_event_and_a_proof_given_after_it_stands():
    run = event(1, "run.started", 0, {"pack": "D2"})
    log = [
        run,
        event(2, "run.ended", 30, {"pack": "D2"}, run=run.id),
        event(3, "check.answered", 40, {"gives": ["look"]}),
    ]
    month = 60 * 24 * 30
    assert "look" in standing(log, Question(START + timedelta(minutes=month)))
    assert "look" not in standing(log, Question(START + timedelta(minutes=month + 31)))
    log.append(event(4, "check.answered", month + 60, {"gives": ["look"]}))
    assert "look" in standing(log, Question(START + timedelta(minutes=month + 61)))
    assert "look" not in standing(log, Question(START + timedelta(minutes=2 * month + 31)))


def test_a_run_under_way_is_not_idle():
    log = [event(1, "check.answered", 0, {"gives": ["range"]}), event(2, "run.started", 10, {"pack": "D2"})]
    assert "range" in standing(log, Question(START + timedelta(hours=6)))


@pytest.mark.parametrize("what", sorted(FIELDS))
def test_an_event_of_a_newer_program_has_no_effect(what):
    log = [event(1, "check.answered", 0, {"gives": ["faces", "dry_long", "trim"]})]
    newer = msgspec.structs.replace(
        event(2, what, 5, {"which": ["aft cap"], "lifted": True, "claimed": []}), v=99
    )
    assert standing([*log, newer], Question(START + timedelta(minutes=6))) == standing(
        log, Question(START + timedelta(minutes=6))
    )
