"""Which lines a boat has: literal facts, unknown ones that keep a line, and agreement with the proofs she must give."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walking import Bench, document, sample_text

from divelog.checks.applies import applies, for_this_place, holds, known_to_hold, proofs_of
from divelog.checks.directions import all_directions, asked_directions
from divelog.checks.library import shipped_lists
from divelog.checks.members import members
from divelog.checks.model import Kind, Question
from divelog.physics.steering.geometry import CROSS
from divelog.proofs.table import PROOFS
from divelog.session.session import boat_facts

BOATS = ("tansy", "bulrush", "juniper", "bramble")


def bench_of(text: str) -> Bench:
    boat = document(text)
    assert boat.faults == (), [fault.sentence() for fault in boat.faults]
    return Bench("tansy", boat)


def asked_of(text: str, name: str = "before-dive") -> set[str]:
    bench = bench_of(text)
    bench.day()
    around = bench.around()
    return {line.id for line in shipped_lists()[name].lines() if applies(line, around)}


def replaced(*pairs: tuple[str, str]) -> str:
    text = sample_text("tansy")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return text


def test_a_fact_must_be_one_of_the_words() -> None:
    around = Bench("tansy").around()
    assert holds((("boat.ballast.kind", ("gas", "piston")),), around)
    assert not holds((("boat.ballast.kind", ("gas",)),), around)
    assert holds((("boat.ballast.inside_cylinder", ("true",)),), around)


def test_several_facts_must_all_hold() -> None:
    around = Bench("tansy").around()
    assert not holds((("boat.ballast.kind", ("piston",)), ("boat.controls.tail", ("x",))), around)


def test_a_list_holds_if_any_of_it_is_wanted() -> None:
    around = Bench("tansy").around()
    assert holds((("boat.upper_joins", ("antenna", "vent")),), around)
    assert not holds((("boat.upper_joins", ("vent",)),), around)


def test_any_entry_of_a_list_of_tables_may_match() -> None:
    around = Bench("tansy").around()
    assert holds((("boat.seal.moves", ("true",)),), around)
    assert holds((("boat.seal.kind", ("lip",)),), around)
    assert not holds((("boat.failsafe.trigger", ("leak",)),), around)


def test_an_unknown_fact_keeps_the_line_and_is_not_known_to_hold() -> None:
    bench = bench_of(replaced(('level_keeper = "not fitted"', 'level_keeper = "unknown"')))
    needs = (("boat.controls.level_keeper", ("fitted",)),)
    assert holds(needs, bench.around())
    assert not known_to_hold(needs, bench.around())


def test_a_missing_fact_counts_with_its_assumed_value() -> None:
    around = Bench("tansy").around()
    assert holds((("boat.cylinder.short_test", ("pressure",)),), around)  # the first she can stand
    assert not holds((("boat.cylinder.short_test", ("immersion",)),), around)
    assert holds((("boat.radio.memories", ("true",)),), around)  # the memory has a name


@pytest.mark.parametrize(
    ("pairs", "there", "gone"),
    [
        ([('memory = "TANSY"', 'memory = "none"')], {"peg"}, {"name"}),
        ([('kind = "piston"', 'kind = "none"')], set(), {"cycle", "residual", "start-state"}),
        ([("inside_cylinder = true", "inside_cylinder = false")], set(), {"start-state"}),
        ([('["pressure", "immersion"]', '["immersion", "pressure"]')], {"dip"}, {"press", "draw"}),
        ([('["pressure", "immersion"]', '["vacuum"]')], {"draw"}, {"press", "dip"}),
        ([("vent_plug = true", "vent_plug = false")], set(), {"press", "draw", "dip"}),
        ([('upper_joins = ["antenna"]', "upper_joins = []")], set(), {"leads"}),
        ([('upper_joins = ["antenna"]', "")], {"leads"}, set()),
        ([('top_held_by = "hold-down"', 'top_held_by = "not fitted"')], set(), {"catch"}),
        ([("owner_inside = true", 'owner_inside = true\ndepth_sensor = "fitted"')], {"depth-zero"}, set()),
    ],
)
def test_the_lines_of_a_boat_follow_from_her_file(
    pairs: list[tuple[str, str]], there: set[str], gone: set[str]
) -> None:
    found = asked_of(replaced(*pairs))
    assert there <= found
    assert not gone & found


def test_pool_and_tank_have_no_paces() -> None:
    bench = Bench("tansy", site="barn-tank")
    bench.day("barn-tank")
    around = bench.around()
    names = {line.id for line in shipped_lists()["before-dive"].lines() if applies(line, around)}
    assert not {"paces", "full-power"} & names
    assert for_this_place(shipped_lists()["before-dive"], around)


def test_a_list_for_ponds_is_not_for_a_tank() -> None:
    from dataclasses import replace

    pond = replace(shipped_lists()["bench"], places=("pond",))
    bench = Bench("tansy")
    assert for_this_place(pond, bench.around())  # nobody has said where
    bench.day("barn-tank")
    assert not for_this_place(pond, bench.around())
    bench.wait(minutes=1)
    bench.day("withy-pond")
    assert for_this_place(pond, bench.around())


_CHOICES = {
    "level_keeper": ("fitted", "not fitted", "unknown"),
    "kind": ("none", "piston", "pumped_tank", "gas"),
    "inside": ("true", "false"),
    "plug": ("true", "false"),
    "test_by": ('["pressure"]', '["vacuum"]', '["immersion"]', '["pressure", "immersion"]'),
    "sensor": ("fitted", "not fitted", ""),
    "leak": (True, False),
    "joints": ('["fuse"]', "[]", ""),
}


@settings(max_examples=120, deadline=None)
@given(st.fixed_dictionaries({name: st.sampled_from(values) for name, values in _CHOICES.items()}))
def test_a_proof_is_asked_of_a_boat_exactly_where_some_line_of_hers_gives_it(one: dict[str, object]) -> None:
    text = replaced(
        ('level_keeper = "not fitted"', f'level_keeper = "{one["level_keeper"]}"'),
        (
            'kind = "piston"\ninside_cylinder = true',
            f'kind = "{one["kind"]}"\ninside_cylinder = {one["inside"]}',
        ),
        ("vent_plug = true", f"vent_plug = {one['plug']}"),
        ('test_by = ["pressure", "immersion"]', f"test_by = {one['test_by']}"),
        (
            "owner_inside = true",
            f'owner_inside = true\ndepth_sensor = "{one["sensor"]}"'
            if one["sensor"]
            else "owner_inside = true",
        ),
        (
            'joints = ["pack plug", "main link", "fuse", "motor"]',
            f"joints = {one['joints']}" if one["joints"] else "",
        ),
    )
    if one["leak"]:
        text += (
            '\n[[failsafe]]\ntrigger = "leak"\ndoes = { ballast = "empties" }\npowered_from = "drive pack"\n'
        )
    bench = bench_of(text)
    bench.day()
    around = bench.around()
    lines = frozenset().union(*(proofs_of(found, around) for found in shipped_lists().values()))
    fitted = boat_facts(bench.session.shelf.boats["tansy"], bench.session.shelf, "tansy").fitted
    assert lines == fitted


@pytest.mark.parametrize("slug", BOATS)
def test_every_sample_boat_can_prove_what_is_asked_of_her(slug: str) -> None:
    bench = Bench(slug)
    bench.day()
    around = bench.around()
    lines = frozenset().union(*(proofs_of(found, around) for found in shipped_lists().values()))
    fitted = boat_facts(bench.session.shelf.boats[slug], bench.session.shelf, slug).fitted
    assert lines == fitted
    assert fitted <= {rule.proof for rule in PROOFS}


# -- members ----------------------------------------------------------------------------------------------------------


def each(of: str) -> Question:
    return Question(Kind.EACH, of=(of,))


def test_members_come_out_of_her_file() -> None:
    around = Bench("tansy").around()
    assert [m.id for m in members(each("boat.power.joints"), around)] == [
        "pack plug",
        "main link",
        "fuse",
        "motor",
    ]
    assert [m.id for m in members(each("packs"), around)] == ["D2", "D3", "R1"]
    assert [m.words for m in members(each("failsafe"), around)] == [
        "throttle stops",
        "stern planes rise",
        "ballast empties",
    ]
    assert [m.id for m in members(each("moving seals"), around)] == ["shaft"]
    assert [m.id for m in members(each("still seals"), around)] == ["aft cap"]
    assert [m.id for m in members(each("packs"), Bench("bulrush").around())] == ["P1"]


def test_a_list_nobody_wrote_down_is_asked_for_as_a_whole() -> None:
    around = bench_of(replaced(('joints = ["pack plug", "main link", "fuse", "motor"]', ""))).around()
    assert [m.words for m in members(each("boat.power.joints"), around)] == ["each one there is"]


def test_an_empty_list_is_not_asked() -> None:
    around = bench_of(
        replaced(('joints = ["pack plug", "main link", "fuse", "motor"]', "joints = []"))
    ).around()
    assert members(each("boat.power.joints"), around) == ()


# -- directions -------------------------------------------------------------------------------------------------------


def test_directions_are_those_of_her_own_tail() -> None:
    tansy = asked_directions(Bench("tansy").around())
    assert tansy == (
        ("rudder_left", "Rudder stick left: both rudders' trailing edges go to port"),
        ("planes_rise", "Planes to rise: both stern planes' trailing edges go up"),
    )
    bulrush = dict(asked_directions(Bench("bulrush").around()))
    assert set(bulrush) == {"rudder_left", "planes_rise", "sail_rise"}
    assert "upper port with lower starboard goes down-and-left" in bulrush["rudder_left"]
    assert "leading edges up" in bulrush["sail_rise"]


def test_all_directions_are_asked_where_her_file_names_none() -> None:
    line = 'directions = { rudder_left = "trailing edge to port", planes_rise = "trailing edge up" }'
    around = bench_of(replaced((line, ""))).around()
    assert [name for name, _ in asked_directions(around)] == [
        "cross-left",
        "cross-right",
        "cross-rise",
        "cross-dive",
    ]


def test_a_result_of_her_own_is_asked_in_her_own_words() -> None:
    line = 'planes_rise = "trailing edge up" }'
    around = bench_of(
        replaced((line, 'planes_rise = "trailing edge up", bow_thruster = "pushes her bow to port" }'))
    ).around()
    assert asked_directions(around)[-1] == ("bow_thruster", "Bow thruster: pushes her bow to port")


@pytest.mark.parametrize(
    ("tail", "servos", "prefix"),
    [("cross", None, "cross-"), ("x", 4, "x4-"), ("x", 2, "x2-"), ("other", None, "any-")],
)
def test_the_lines_of_the_bench_say_what_the_geometry_says(
    tail: str, servos: int | None, prefix: str
) -> None:
    """Every way named by the geometry stands in the words of the line, for both blades or pairs."""
    more = f"\ntail_servos = {servos}" if servos else ""
    around = bench_of(replaced(('tail = "cross"', f'tail = "{tail}"{more}'))).around()
    lines = {line.id: line for line in shipped_lists()["bench"].lines()}
    ways = ("down-and-left", "up-and-left", "down-and-right", "up-and-right", "to port", "to starboard")
    asked = {name for name, line in lines.items() if name.startswith(prefix) and applies(line, around)}
    assert asked == {one.line for one in all_directions(around)}
    for one in all_directions(around):
        said = f"{lines[one.line].do} {lines[one.line].how}".lower()
        assert said.startswith(one.command.split(",")[0].lower())
        for way in ways:
            assert (way in said) == (way in one.result), f"{one.line}: {way}"
        if "upper port" in one.result:
            first = (
                one.result.index("upper port with")
                if "pair" in one.result
                else one.result.index("upper port and")
            )
            assert one.result[first:].split(",")[0].rsplit(" ", 1)[-1] in said


def test_rise_and_dive_of_sail_and_bow_planes_are_as_the_geometry_says() -> None:
    lines = {line.id: line for line in shipped_lists()["bench"].lines()}
    assert "trailing edges down, nose of the plane up" in lines["sail-switch"].do
    for name in ("sail-stick", "bow"):
        assert "to rise: leading edges up; to dive: leading edges down" in lines[name].do
    assert [surface.name for surface in CROSS] == ["top", "starboard", "bottom", "port"]


def test_only_the_lines_of_her_tail_are_asked() -> None:
    tails = {"cross": "cross-", "x": ("x2-", "x4-"), "other": "any-"}
    for (tail, prefixes), servos in itertools.product(tails.items(), ("", "\ntail_servos = 2")):
        found = asked_of(replaced(('tail = "cross"', f'tail = "{tail}"{servos}')), "bench")
        mine = {name for name in found if name.startswith(("cross-", "x2-", "x4-", "any-"))}
        assert mine
        assert all(name.startswith(prefixes) for name in mine)
        assert not servos or tail != "x" or all(name.startswith("x2-") for name in mine)
