"""What the sample logbook teaches in its first three outings: the journal cut after each, the same day and plan.

The boats' files state nearly everything, so most ± of the first page do not move; what moves is what only outings can
tell: what a minute takes, the charge in the pack, and the depth she has come up dry from.
"""

from __future__ import annotations

import json
import math
import shutil
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest

from divelog.app.spots.limits import FIRST_PAGE
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.limits import battery_pack
from divelog.limits.model import Verdict
from divelog.profiles.document import Basis
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.session.session import Asked, Session

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
AT = datetime.fromisoformat("2032-05-04T08:11:00+01:00")
BOATS = ("tansy", "bulrush", "bramble", "juniper")
OUTINGS = 3


def _day(line: str) -> str:
    return str(json.loads(line)["when"])[:10]


def _cut(root: Path, boat: str, outings: int) -> Session:
    """A session on the sample boats with this boat's log up to the evening of so many of her outings."""
    shutil.copytree(SAMPLES, root, ignore=shutil.ignore_patterns("logbook"))
    whole = {
        name: (SAMPLES / "logbook" / name / "laptop.jsonl").read_text().splitlines()
        for name in (boat, "_kit")
    }
    ended = [_day(line) for line in whole[boat] if json.loads(line)["what"] == "run.ended"]
    last = sorted(set(ended))[outings - 1] if outings else ""
    for name, lines in whole.items():
        (root / "logbook" / name).mkdir(parents=True)
        kept = [line for line in lines if _day(line) <= last]
        (root / "logbook" / name / "laptop.jsonl").write_text("".join(f"{line}\n" for line in kept))
    return Session.reading(Home(root), FixedClock(AT))


@pytest.fixture(scope="module", params=BOATS)
def sheets(request, tmp_path_factory):
    """Her sheet of 4 May at the pond after none, one, two and three outings, with all limits."""
    found = []
    for outings in range(OUTINGS + 1):
        session = _cut(tmp_path_factory.mktemp("cut") / "home", request.param, outings)
        raw = (SAMPLES / "days" / "withy-pond.toml").read_bytes()
        day = read_document(raw, "day.toml", SCHEMAS["today"])
        asked = Asked(request.param, session.shelf.boats[request.param], day, "withy-pond", AT)
        found.append((session.sheet(asked), session.limits(asked)))
    return found


def _spread(sheet) -> float:
    """The ± of what a minute takes, as a share of it."""
    draw = sheet.of(battery_pack.draw, sheet.of(battery_pack.pack_id))
    return 2.0 * math.sqrt(draw.log_variance)


def test_the_spread_of_what_a_minute_takes_halves(sheets):
    spreads = [_spread(sheet) for sheet, _ in sheets]
    assert spreads[OUTINGS] <= 0.5 * spreads[0]
    assert all(after < before for before, after in pairwise(spreads))


def test_it_is_no_guess_any_more(sheets):
    for (sheet, limits), outings in zip(sheets, range(OUTINGS + 1), strict=True):
        pack = sheet.of(battery_pack.pack_id)
        (minutes,) = [x for x in limits if x.key == "battery.endurance" and x.item == pack]
        path = f"pack[{pack}].charge_per_minute"
        (draw,) = [entry for entry in minutes.inputs if entry.path == path] or [None]
        if outings == 0:
            assert minutes.verdict is Verdict.UNKNOWN  # nobody knows what is in the pack
        if draw is not None:
            assert draw.basis is (Basis.MEASURED if outings else Basis.ASSUMED)
    assert minutes.verdict is not Verdict.UNKNOWN


def test_the_depth_proved_dry_lets_her_deeper_and_nothing_known_is_lost(sheets):
    shown = []
    for _, limits in sheets:
        proved = next(x for x in limits if x.name == "depth.keel:failsafe proved")
        step = next(term for term in proved.terms if term.name == "step")
        shown.append(step.value)
    assert shown[0] == 0.5  # never proved
    assert shown == sorted(shown)
    first, last = (
        {x.name: x for x in limits if x.key in FIRST_PAGE} for _, limits in (sheets[0], sheets[-1])
    )
    for name, limit in first.items():
        if limit.verdict is not Verdict.UNKNOWN:
            assert last[name].verdict is not Verdict.UNKNOWN, name
    assert sum(x.verdict is Verdict.UNKNOWN for x in last.values()) < sum(
        x.verdict is Verdict.UNKNOWN for x in first.values()
    )
