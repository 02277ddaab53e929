"""Limits of a stranger's boat that are looser than usual, said before she is taken; figures typed from the usual ones."""

from __future__ import annotations

import pytest

from divelog.home import data_folder
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.sharing.judging import looser_than_usual, taken_out

BOAT = (data_folder("sample_boats") / "boats" / "tansy.toml").read_text(encoding="utf-8")
OWN = {
    # Tansy is 920 mm, size M. Usual: 0.5 m a step, 0.5 m over the bottom, 40 mm of waves, 2 mL an outing, 30 % kept back,
    # dived balance 0.3 % to 1 % of her dived mass (5.76 kg + 0.42 L of water: about 6.2 kg). Common practice, no source.
    'depth_step = "1 m"': "boat.my_limits.depth_step", 'over_bottom = "20 cm"': "boat.my_limits.over_bottom",
    'wave_height = "90 mm"': "boat.my_limits.wave_height", 'leak_water = "3 mL"': "boat.my_limits.leak_water",
    'dived_least = "5 g"': "boat.my_limits.dived_least", 'dived_most = "90 g"': "boat.my_limits.dived_most",
}  # fmt: skip
TIGHTER = ('depth_step = "0.3 m"', 'over_bottom = "0.8 m"', 'wave_height = "20 mm"', 'leak_water = "1 mL"',
           'dived_least = "30 g"', 'dived_most = "40 g"', 'deepest = "3 m"')  # fmt: skip


def boat(own: str = "", upkeep: str = "", lines: str = ""):
    text = BOAT[: BOAT.index("[my_limits]")]
    text += f"[my_limits]\n{own}\n" if own else ""
    text += f"[upkeep]\n{upkeep}\n" if upkeep else ""
    found = read_document((text + lines).encode(), "boat.toml", SCHEMAS["boat"])
    assert found.faults == ()
    return found


@pytest.mark.parametrize("own", OWN)
def test_a_looser_limit_is_named(own):
    found = looser_than_usual(boat(own))
    assert [one.path for one in found] == [OWN[own]]
    assert found[0].sentence().startswith(f"{OWN[own]} is ")


@pytest.mark.parametrize("own", TIGHTER)
def test_a_tighter_one_is_not(own):
    assert looser_than_usual(boat(own)) == ()


def test_the_words_name_both_figures():
    (found,) = looser_than_usual(boat('depth_step = "1 m"'))
    assert (found.says, found.usual) == ("1 m", "500 mm")


def test_a_smaller_reserve_of_charge():
    text = boat().text.replace('keep_back = "30 %"', 'keep_back = "20 %"')
    found = looser_than_usual(read_document(text.encode(), "boat.toml", SCHEMAS["boat"]))
    assert [(one.path, one.says, one.usual) for one in found] == [("boat.power.keep_back", "20 %", "30 %")]


@pytest.mark.parametrize(
    ("upkeep", "named"),
    [
        ('shaft_grease = "4 h or 30 d"', False), ('shaft_grease = "2 h or 10 d"', False),
        ('shaft_grease = "40 h or 30 d"', True), ('shaft_grease = "4 h"', True), ('"seal.shaft" = "100 h or 12 mo"', True),
    ],
)  # fmt: skip
def test_a_longer_interval_of_upkeep(upkeep, named):
    assert bool(looser_than_usual(boat(upkeep=upkeep))) is named


def test_the_sample_boats_are_as_usual_but_where_they_say_so():
    for name in ("tansy", "bulrush", "bramble"):
        text = (data_folder("sample_boats") / "boats" / f"{name}.toml").read_bytes()
        found = looser_than_usual(read_document(text, name, SCHEMAS["boat"]))
        assert [one.path for one in found if one.path.startswith("boat.my_limits")] == []


def test_lines_taken_out_are_told_with_their_reason():
    lines = '\n[[line]]\nlist = "before-dive"\nid = "press"\nchange = "not fitted"\nwhy = "never leaks"\n'
    assert taken_out(boat(lines=lines)) == (("before-dive", "press", "never leaks"),)
