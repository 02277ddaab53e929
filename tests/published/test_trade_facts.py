"""What people of the trade know to be so, against what the formulas say. All common practice, no source."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import pytest

from divelog.limits import catalogue
from divelog.physics import ballast, ballast_stroke, radio
from divelog.physics.radio_aerial import exposed_loss, tube_attenuation
from divelog.physics.radio_bands import band
from divelog.physics.radio_path import path_loss
from divelog.physics.steering import geometry, mixing
from divelog.physics.water_permittivity import permittivity
from divelog.profiles.reading import read_document
from divelog.profiles.schema import BOAT

sys.path.insert(0, str(Path(__file__).parents[1] / "limits"))
import worked

SAMPLES = worked.SAMPLES


def limit(boat: str, key: str, item: str = "", **sets: str):
    found = catalogue.work_out(worked.sheet(boat, **sets), (key,))
    return next(one for one in found if one.item == item or not item)


def test_a_2_4_ghz_boat_keeps_control_until_the_tip_is_some_25_to_50_mm_under():
    # common practice, no source: 10 to 20 m off, in pond water; farther off it is less
    found = band("2.4 GHz")
    for conductivity in (0.02, 0.04, 0.06):
        eps = permittivity(found.frequency, 284.15, conductivity)
        for distance in (10.0, 15.0, 20.0):
            loss = path_loss(distance, 1.2, 0.0, found.frequency, eps)
            hand = radio.in_hand_awash(
                found.sent, found.gain, found.sensitivity, loss, radio.surface_loss(eps)
            )
            under = radio.tip_depth(hand, radio.attenuation(found.frequency, eps))
            assert 0.020 <= under <= 0.060, (conductivity, distance)


def test_so_a_2_4_ghz_boat_stays_at_periscope_depth():
    # common practice, no source
    keel = limit("bulrush", "depth.keel", "under control")
    assert keel.binds == ("radio",)
    tip_above_keel = 0.190 + 0.160
    assert keel.shown_high < tip_above_keel


def test_some_12_mm_of_tower_left_showing_is_a_usual_positive_reserve():
    # common practice, no source: it lies inside the band of both kinds of tower that hold water out over 18 cm2
    tower = limit("tansy", "buoyancy.dived", "tower")
    assert tower.shown_low <= 0.012 <= tower.shown_high


def test_an_x_tail_turns_and_dives_her_some_1_4_times_as_well_as_a_cross_of_the_same_surfaces():
    # common practice, no source
    cross, x = geometry.strength(geometry.CROSS), geometry.strength(geometry.x_tail())
    assert x[0] / cross[0] == pytest.approx(1.4, abs=0.02)
    assert x[1] / cross[1] == pytest.approx(1.4, abs=0.02)


def test_linked_pairs_moved_alike_turn_her_and_against_each_other_dive_and_raise_her():
    # common practice, no source
    tail = geometry.x_tail()
    alike = geometry.effect(tail, mixing.pair_deflections(mixing.mix_pairs(1.0, 0.0)))
    against = geometry.effect(tail, mixing.pair_deflections(mixing.mix_pairs(0.0, 1.0)))
    turning, rising = mixing.mix_pairs(1.0, 0.0), mixing.mix_pairs(0.0, 1.0)
    a, b = turning.a, turning.b
    c, d = rising.a, rising.b
    assert math.copysign(1, a) == math.copysign(1, b)
    assert math.copysign(1, c) != math.copysign(1, d)
    assert abs(alike.turn) > 1 > abs(alike.bow_up)
    assert abs(against.bow_up) > 1 > abs(against.turn)


def test_a_tank_vented_through_the_mast_is_used_whole_fills_and_empties_sooner_and_costs_less():
    # common practice, no source: the same 600 mL tank and pump, afloat, its air open or shut in (2 L with the tank's own)
    volume, flow, head, barometer = 600e-6, 2e-3 / 60, 5.0, 10.335
    air_shut_in = 0.65e-3
    most = ballast.sealed_share_most(barometer, barometer, 0.1, head) * air_shut_in
    assert most < volume  # shut in, it cannot be filled whole
    joined = 2.0e-3
    vented = ballast.vented_fill_time(volume, 0.06, 0.1, flow, head)
    sealed = ballast.sealed_fill_time(volume, joined, barometer, barometer, 0.1, flow, head)
    assert vented < sealed
    open_charge = ballast_stroke.stroke_charge_linear(max(vented, volume / flow), volume, flow, 1.5, 3.0)
    shut_charge = ballast_stroke.stroke_charge_linear(sealed, volume, flow, 1.5, 3.0)
    assert open_charge < shut_charge
    # and emptying deep, with her mast under and the air left behind: the sealed one cannot be emptied at all
    out = ballast.volume_out_before_stall(30e-6, barometer, 1.0, 2.5)
    assert out < 0.02 * volume


def test_at_full_throttle_surfaced_the_propeller_draws_air():
    # common practice, no source
    for boat, full in (("tansy", 1.1), ("bulrush", 1.0)):
        assert limit(boat, "plan.speed_surfaced").value < full


def test_an_aerial_that_slips_down_inside_a_metal_mast_loses_range():
    # common practice, no source
    losses = [exposed_loss(share) for share in (1.0, 0.75, 0.5, 0.25)]
    assert losses == sorted(losses)
    assert losses[0] == pytest.approx(0.0, abs=1e-9)
    assert losses[-1] > 10
    assert tube_attenuation(0.010, 2.44e9) > 1000  # wholly inside a 10 mm mast, dB a metre
    assert limit("bulrush", "antenna.clear_length", radio__clear_length="20 mm").verdict.value == "outside"


@pytest.mark.parametrize("path", sorted((SAMPLES / "boats").glob("*.toml")), ids=lambda p: p.stem)
def test_the_failsafe_stops_the_throttle_and_puts_all_planes_to_rise(path):
    # common practice, no source
    boat = read_document(path.read_bytes(), path.name, BOAT)
    does = dict(boat.value("failsafe[signal lost].does"))
    assert does["throttle"] == "stops"
    planes = {
        k: v for k, v in does.items() if "plane" in k or "tail" in k or "stern" in k or k.startswith("pair")
    }
    assert planes
    assert all("rise" in word for word in planes.values()), planes


def test_a_boat_positive_at_full_ballast_comes_up_by_herself_also_when_the_signal_went_going_astern():
    # common practice, no source
    for boat in ("tansy", "bulrush"):
        up = limit(boat, "recovery.time_to_surface")
        astern = next(p for p in up.parts if p.name == "astern")
        assert 0 < astern.si < 120
    heavy = limit("tansy", "recovery.time_to_surface", boat__dived_balance="-30 g", motion__time_up="unknown")
    assert "astern" not in {p.name for p in heavy.parts if p.si > 0} or heavy.verdict.value != "within"


def test_lead_acid_terminals_in_the_wet_are_greased_before_and_after_every_run():
    # common practice, no source: bare terminals in this pond are outside, greased this outing they are within
    assert limit("bulrush", "terminals.leakage").verdict.value == "within"
    assert limit("bulrush", "terminals.leakage", power__terminals__greased="never").verdict.value == "outside"
