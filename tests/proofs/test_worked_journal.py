"""The worked journal: every proof at six moments, with its giving event or its earliest cause."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from divelog.journal.loading import load_files
from divelog.proofs import Question, State, fitted_proofs, fold_proofs
from divelog.proofs.table import BoatFacts

JOURNAL = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"
LINES = JOURNAL.read_bytes().splitlines()

TANSY = BoatFacts(
    fitted=fitted_proofs(
        level_keeper=False,
        leak_probe=False,
        depth_sensor=False,
        ballast="piston",
        inside_cylinder=True,
        dry_test=True,
        joints=True,
    ),
    packs=("D2",),
)

# moment, lines written by then, proved (proof #line), to prove (cause: proofs), never, dry depth
MOMENTS = {
    "after the tank": (
        "2032-04-18T12:00:00+01:00",
        6,
        "dry_long #3, trim #4, failsafe_wet #5, look #6",
        {},
        "faces, start_state, closed, dry_short, failsafe_bench, directions, range, full_power, pack:D2, supply, joints,"
        " ballast_cycle",
        None,
    ),
    "at the edge": (
        "2032-04-25T09:28:00+01:00",
        19,
        "faces #12, start_state #13, closed #14, dry_short #15, dry_long #3, trim #4, failsafe_bench #10,"
        " failsafe_wet #5, directions #11, range #16, full_power #17, pack:D2 #9, ballast_cycle #18, look #6",
        {},
        "supply, joints",
        None,
    ),
    "after the run": (
        "2032-04-25T10:30:00+01:00",
        24,
        "dry_long #3, trim #4, failsafe_bench #10, failsafe_wet #5, range #16, ballast_cycle #18, look #6",
        {"#23": "faces, start_state, closed, dry_short", "#24": "directions, full_power", "#21": "pack:D2"},
        "supply, joints",
        0.8,
    ),
    "a week later, a line written late": (
        "2032-05-04T08:11:00+01:00",
        27,
        "dry_long #3, trim #4, look #6",
        {
            "#23": "faces, start_state, closed, dry_short",
            "outing ended: 4 h idle": "failsafe_bench, range, ballast_cycle",
            "#27": "failsafe_wet",
            "#24": "directions, full_power",
            "#21": "pack:D2",
        },
        "supply, joints",
        0.8,
    ),
    "range done, full power not yet": (
        "2032-05-04T08:36:00+01:00",
        34,
        "faces #30, start_state #31, closed #32, dry_short #33, dry_long #3, trim #4, failsafe_bench #28,"
        " directions #29, range #34, look #6",
        {
            "#27": "failsafe_wet",
            "#24": "full_power",
            "#21": "pack:D2",
            "outing ended: 4 h idle": "ballast_cycle",
        },
        "supply, joints",
        0.8,
    ),
    "a teaspoon found": (
        "2032-05-04T09:35:00+01:00",
        39,
        "faces #30, start_state #31, closed #32, trim #4, failsafe_bench #28, range #34, full_power #35",
        {
            "#37": "dry_short, dry_long, directions",
            "#27": "failsafe_wet",
            "#21": "pack:D2",
            "outing ended: 4 h idle": "ballast_cycle",
            "#39": "look",
        },
        "supply, joints",
        0.5,
    ),
}


def line_id(number: str) -> str:
    """The id on line #n of the worked journal."""
    return re.search(rb'"id":"([^"]+)"', LINES[int(number.lstrip("#")) - 1])[1].decode()


def report(moment: str, written: int, facts: BoatFacts = TANSY):
    raw = b"\n".join(LINES[:written]) + b"\n"
    log = load_files({"tansy/laptop.jsonl": raw})
    return fold_proofs(log.events, facts, Question(datetime.fromisoformat(moment)))


@pytest.mark.parametrize("name", MOMENTS)
def test_every_proof_stands_as_the_worked_journal_says(name):
    moment, written, proved, causes, never, depth = MOMENTS[name]
    found = report(moment, written)
    wanted = {}
    for part in proved.split(", "):
        proof, line = part.split(" ")
        wanted[proof] = (State.PROVED, line_id(line))
    for cause, proofs in causes.items():
        for proof in proofs.split(", "):
            wanted[proof] = (State.TO_PROVE, line_id(cause) if cause.startswith("#") else cause)
    for proof in never.split(", "):
        wanted[proof] = (State.NEVER, "")
    got = {
        p.name: (p.state, p.event or (p.because if p.state is State.TO_PROVE else ""))
        for p in found.proofs
        if p.state is not State.NOT_FITTED
    }
    assert got == wanted
    assert found.dry_depth == (None if depth is None else pytest.approx(depth))


def test_water_inside_opens_a_defect_by_itself():
    found = report(*MOMENTS["a teaspoon found"][:2])
    assert [(d.event, d.what) for d in found.defects] == [(line_id("#39"), "water inside")]


def test_before_the_late_line_was_written_the_wet_failsafe_stood():
    found = report("2032-05-04T08:05:00+01:00", 26)
    assert found.get("failsafe_wet").state is State.PROVED


def test_a_pack_that_stays_ashore_has_nothing_to_prove_today():
    moment, written = MOMENTS["after the run"][:2]
    found = report(moment, written, replace(TANSY, packs=("D3",)))
    asked = {p.item: (p.required, p.state) for p in found.proofs if p.proof == "pack"}
    assert asked == {"D3": (True, State.NEVER), "D2": (False, State.TO_PROVE)}
