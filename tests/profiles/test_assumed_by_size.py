"""What is taken for a boat of whom nobody knows mass, ballast and build: by her length and kind, marked as a guess."""

from __future__ import annotations

from pathlib import Path

import pytest

from divelog.limits.sheet import Sheet, UnknownError
from divelog.profiles.document import Basis
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats" / "boats"


def sheet(text: str) -> Sheet:
    document = read_document(f"format = 1\n[boat]\n{text}".encode(), "x.toml", SCHEMAS["boat"])
    empty = {root: empty_document(root) for root in ("kit", "site", "today", "settings")}
    return Sheet(Facts(document, *empty.values(), "x"))


def test_mass_by_the_cube_of_her_length():
    """By hand: 6.9 x 0.92^3 = 5.373 kg, to 40 %."""
    found = sheet('length = "920 mm"').num("boat.mass")
    assert found.si == pytest.approx(5.373, abs=5e-4)
    assert found.u95 == pytest.approx(0.4 * 5.373, abs=5e-4)
    assert found.basis is Basis.ASSUMED
    assert sheet('length = "920 mm"\nhull = "unknown"').num("boat.mass").si == pytest.approx(found.si)
    assert sheet('length = "1 m"\nhull = "dry"').num("boat.mass").si == pytest.approx(11.5)
    with pytest.raises(UnknownError):
        sheet('mass = "unknown"').num("boat.mass")


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.toml")), ids=lambda p: p.stem)
def test_the_guess_holds_the_sample_boats(path):
    document = read_document(path.read_bytes(), path.name, SCHEMAS["boat"])
    found = sheet(f'length = "{document.facts["length"].typed}"\nhull = "{document.text_at("hull")}"').num(
        "boat.mass"
    )
    assert abs(document.value("mass").si - found.si) <= found.u95


def test_ballast_by_her_mass():
    """By hand: 8 % of 5.373 kg is 430 mL, to a half."""
    found = sheet('length = "920 mm"\n[ballast]\nkind = "piston"').num("boat.ballast.volume")
    assert found.si == pytest.approx(429.9e-6, abs=1e-7)
    assert found.u95 == pytest.approx(found.si / 2)
    with pytest.raises(UnknownError):
        sheet('length = "920 mm"\n[ballast]\nkind = "none"').num("boat.ballast.volume")


def test_nobody_said_what_keeps_the_water_out():
    one = sheet('hull = "unknown"')
    assert one.word("boat.hull") == "dry"
    assert one.basis_of("boat.hull") is Basis.ASSUMED
