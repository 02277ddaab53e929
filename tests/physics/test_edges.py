"""Edges of what the formulas take: refused in words with the right number and unit, or taken at the very edge."""

import math
from collections.abc import Callable

import pytest

from divelog.physics import (
    ballast,
    battery_capacity,
    battery_current,
    battery_endurance,
    buoyancy,
    cylinder,
    radio_path,
    roots,
    stability,
    statistics,
    terminals_electrolysis,
    terminals_water,
)
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import coasting
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.seals import shafts
from divelog.physics.statistics import Meeting, crossing, trend

AH = 3600.0


@pytest.mark.parametrize(
    ("refused", "words"),
    [
        (lambda: need_within("share", 2.0, 0.0, 1.0), "The share is 2; this holds from 0 to 1."),
        (lambda: need_within("depth", 9.0, 0.0, 5.0, "m"), "The depth is 9 m; this holds from 0 to 5 m."),
        (lambda: need_positive("ratio", -1.0), "The ratio is -1; it must be above zero."),
        (lambda: need_positive("mass", 0.0, "kg"), "The mass is 0 kg; it must be above zero."),
        (lambda: need_not_negative("count", -1.0), "The count is -1; it must not be negative."),
        (lambda: need_not_negative("time", -2.0, "s"), "The time is -2 s; it must not be negative."),
    ],
)
def test_a_refusal_reads_well_with_and_without_a_unit(refused: Callable[[], None], words: str) -> None:
    with pytest.raises(OutOfRangeError) as told:
        refused()
    assert str(told.value) == words


def _budget(recovery: float = 1.0 * AH) -> battery_endurance.ChargeBudget:
    return battery_endurance.charge_budget(
        capacity=5.0 * AH, health=1.0, rate=1.0, temperature=1.0, recovery=recovery
    )


@pytest.mark.parametrize(
    ("refused", "words"),
    [
        (lambda: _budget(-2.0 * AH), "is -2 A h"),
        (
            lambda: battery_capacity.rate_factor_u95(
                chemistry=Chemistry.LEAD_ACID, capacity=-7.0 * AH, current=1.0
            ),
            "is -7 A h",
        ),
        (lambda: terminals_water.electrode_radius(-3e-6), "is -3 mm²"),
        (
            lambda: terminals_electrolysis.terminal_life(
                anode=terminals_electrolysis.Anode.COPPER, mass=-0.002, current=0.01
            ),
            "is -2 g",
        ),
    ],
)
def test_a_refusal_gives_the_number_in_the_unit_it_names(refused: Callable[[], object], words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        refused()


@pytest.mark.parametrize(
    "refused",
    [
        lambda: battery_current.supply_input_current(
            output_volts=5.0, output_current=1.0, pack_volts=12.0, efficiency=1.2
        ),
        lambda: stability.free_surface_moment(1000.0, 0.1, 0.05, 1e-3, -0.1, 0.1),
        lambda: cylinder.warming(power=5.0, area=0.1, transmittance=0.0),
        lambda: ballast.vented_fill_time(4e-4, 0.5, 0.0, 1e-5, 0.5),  # it would take for ever: ln 0
    ],
)
def test_what_no_such_thing_can_be_is_refused(refused: Callable[[], object]) -> None:
    with pytest.raises(OutOfRangeError):
        refused()


@pytest.mark.parametrize("sizes", [(10e-6, 400e-6), (400e-6, 10e-6)])
def test_terminals_are_too_close_by_the_larger_of_them(sizes: tuple[float, float]) -> None:
    # a = sqrt(A/2 pi): 7.98 mm for 400 mm2, so 31.9 mm is the least gap, whichever is named first.
    first, second = sizes
    ask = terminals_water.water_resistance
    with pytest.raises(OutOfRangeError, match=r"at least 31\.9 mm"):
        ask(conductivity=0.05, area=first, gap=0.030, other_area=second)
    one = ask(conductivity=0.05, area=first, gap=0.040, other_area=second)
    assert one == pytest.approx(ask(conductivity=0.05, area=second, gap=0.040, other_area=first))


def test_an_aerial_stands_upright_unless_said_otherwise() -> None:
    # Effective height of Bullington 1947: sqrt(eps - 1)/eps upright, sqrt(eps - 1) flat; the flat one reaches less far.
    args = (100.0, 1.0, 0.1, 2.44e9, complex(80.0, -10.0))
    assert radio_path.distance_for_loss(*args) == radio_path.distance_for_loss(*args, horizontal=False)
    assert radio_path.path_loss(*args) == radio_path.path_loss(*args, horizontal=False)
    assert radio_path.path_loss(*args, horizontal=True) != radio_path.path_loss(*args)


def test_a_limit_further_ahead_than_the_readings_look_back_is_far() -> None:
    # Hours 500 to 510, one unit an hour up from 0: at 15 the limit is 5 h ahead, at 25 it is 15 h ahead.
    hours = [500.0 + each for each in range(11)]
    found = trend(hours, [float(each) for each in range(11)], resolution=0.01)
    near, far = crossing(found, 15.0, 10.0), crossing(found, 25.0, 10.0)
    assert near.meeting is Meeting.AHEAD
    assert near.at == pytest.approx(515.0)
    assert far.meeting is Meeting.FAR


def test_the_tower_is_known_to_a_tenth_where_nothing_else_is_doubtful() -> None:
    assert buoyancy.tower_height_u95(0.050, 0.0, 1000.0, 1e-3, reading_u95=0.0) == pytest.approx(0.005)


def test_the_edge_itself_is_taken() -> None:
    assert coasting.coast_time_to(0.3, 0.3, 0.5) == 0.0
    assert coasting.coast_distance_to(0.3, 0.3, 0.5) == 0.0
    # no shaft: a full tube, (pi/4) D^2 L
    assert shafts.grease_volume(0.008, 0.0, 0.1, 1.0) == pytest.approx(math.pi / 4 * 0.008**2 * 0.1)
    with pytest.raises(OutOfRangeError):
        statistics.towel_leak(0.010, 0.012, under_water=600.0, repeatability=0.0001, density=0.0)


def test_a_root_of_high_order_is_closed_in_on_even_where_the_steps_run_out() -> None:
    # (x - 1)^9 is flat about its only root, 1: a hundred steps come near it, not to 1e-13.
    assert roots.crossing(lambda x: (x - 1.0) ** 9, 0.0, 3.0) == pytest.approx(1.0, abs=0.05)
    assert roots.crossing(lambda x: x * x * x - 8.0, 0.0, 3.0) == pytest.approx(2.0, abs=1e-12)
