# ruff: noqa: E501
"""Every shipped list, line by line: order, what loses the boat, answers, limits, facts needed, proofs given.

The table below is written down from the trade's own list of lists, not from the files: a line that moves, a limit that
is dropped or a proof that changes its line is seen here.
"""

from __future__ import annotations

import pytest
from walking import LIBRARY, Bench

from divelog.checks import fields, shipped
from divelog.checks.library import shipped_lists
from divelog.checks.model import Kind, Line, Question, Way
from divelog.checks.writers import WRITERS
from divelog.checks.writing import KINDS
from divelog.journal.kinds import FIELDS as EVENTS
from divelog.limits import catalogue
from divelog.profiles.facts import FIELDS
from divelog.proofs.table import PROOFS

SINKS = "piston pumped_tank pumped_bag air_bladder gas snort_blower"
SALT = "salt_pool sea brackish"

# id | C | kinds | limits with their show (a: after, b: before, s: shown beside) | needs | gives | a = again
TABLES: dict[str, dict[str, str]] = {
    "before-dive": {
        "open-boat": """
            undone       | C | choice* |                            |                                   |                |
            peg          | C | done    |                            | site.peg_board=true & boat.radio.memories=false | | a
            name         | C | text    |                            | boat.radio.memories=true          | directions     |
            signal-off   | C | each    |                            |                                   | failsafe_bench |
            pack-volts   | C | value   | a battery.rest_voltage     |                                   | pack           |
            gas          | C | value   | a ballast.cycles           | boat.ballast.kind=gas             | gas            |
            leak-probe   | C | done    |                            | boat.failsafe.trigger=leak        | leak_alarm     |""",
        "closing-up": f"""
            faces        | C | done    |                            |                                   | faces          |
            leads        | C | each    |                            | boat.upper_joins=vent hose antenna lamp | closed    |
            start-state  | C | choice  |                            | boat.ballast.inside_cylinder=true & boat.ballast.kind={SINKS} | start_state |
            count        | C | count   |                            |                                   | closed         | a
            press        | C | hold    | b cylinder.leak_down       | boat.cylinder.vent_plug=true & boat.cylinder.short_test=pressure | dry_short |
            draw         | C | hold    | b cylinder.leak_down       | boat.cylinder.vent_plug=true & boat.cylinder.short_test=vacuum   | dry_short |
            dip          | C | choice  |                            | boat.cylinder.short_test=immersion | dry_short     |
            inside       |   | value   |                            |                                   |                |
            catch        |   | done    |                            | boat.top_held_by=hold-down/hatch catch/both |       |""",
        "waters-edge": f"""
            tip          | C | value   | b antenna.tip_height       |                                   |                | a
            surfaces     | C | each    |                            |                                   | directions     |
            keeper       | C | choice  |                            | boat.controls.level_keeper=fitted | level_keeper   |
            paces        | C | value   | b radio.check_distance     | site.kind=pond lake sea           | range          |
            full-power   | C | choice  |                            | site.kind=pond lake sea           | full_power     | a
            cycle        | C | value value | a ballast.fill_time, a ballast.empty_time | boat.ballast.kind={SINKS} | ballast_cycle |
            residual     | C | value   | a buoyancy.dived           | boat.ballast.kind={SINKS}         |                |
            depth-zero   | C | value   |                            | boat.depth_sensor=fitted          | depth_zero     |
            clear        |   | done    | s battery.endurance        |                                   |                |""",
    },
    "after-run": {
        "after-run": """
            ended        | C | choice  |                            | | |
            off          | C | done    |                            | | |
            water        | C | words*  | a cylinder.water_found     | | |
            marks        |   | each    |                            | | |
            deepest      | C | value choice | a depth.keel          | | |
            volts        |   | value   | a battery.rest_voltage     | | |
            shaft        |   | choice  |                            | | |
            mend         | C | choice* |                            | | |""",
    },
    "evening-before": {
        "look-and-grease": """
            defects      | C | each    |                            | | |
            grease       | C | value   |                            | boat.seal.moves=true | |
            terminals    | C | done    |                            | | |
            mast-clear   | C | value   | b antenna.clear_length     | boat.radio.mast=metal | |
            drop         | C | each    | a terminals.drop           | | joints |
            corrosion    |   | choice text |                        | | |
            coupling     | C | choice  |                            | boat.controls.coupling=plain magnetic | |
            links        | C | each    |                            | boat.controls.links=magnetic sprung | |
            lamps        |   | each    |                            | boat.lights=fitted | |""",
        "charge-and-pack": """
            charge       | C | each    |                            | | |
            load-volts   | C | value   | a battery.load_voltage     | | |
            set-cells    | C | choice  |                            | | |
            throttle     | C | each    |                            | | |
            switch       | C | done    |                            | boat.power.remote_switch=fitted | |
            name-inside  | C | done    |                            | boat.owner_inside=false | |
            rescue       |   | each    |                            | | |
            site         |   | choice  | s wind.waves               | | |""",
    },
    "bench": {
        "power-and-feel": """
            clear        | C | done    |                            | | |
            fuse         | C | done    |                            | | |
            no-load      |   | value value value | a shaft.no_load_current, a shaft.no_load_current | | |
            load-volts   | C | value   | a battery.load_voltage     | | |
            drop         | C | each    | a terminals.drop           | | joints |
            receiver-volts | C | value | a receiver.supply          | | supply |
            heat         | C | value   | a cylinder.heat            | | |""",
        "rudder-and-planes": "\n".join(
            f"{line} | C | choice | | {needs} | directions |"
            for needs, lines in (
                ("boat.controls.tail=cross", "cross-left cross-right cross-rise cross-dive"),
                ("boat.controls.tail=x & boat.controls.tail_servos=4", "x4-left x4-right x4-rise x4-dive x4-both"),
                ("boat.controls.tail=x & boat.controls.tail_servos=2", "x2-left x2-right x2-rise x2-dive"),
                ("boat.controls.tail=other", "any-left any-right any-rise any-dive"),
                ("boat.controls.sail_planes=switch", "sail-switch"),
                ("boat.controls.sail_planes=stick", "sail-stick"),
                ("boat.controls.bow_planes=fitted", "bow"),
            )
            for line in lines.split()
        ),
        "what-turns-and-moves": f"""
            coupling     | C | choice  |                            | boat.controls.coupling=plain magnetic | |
            links        | C | each    |                            | boat.controls.links=magnetic sprung | |
            switch       | C | done    |                            | boat.power.remote_switch=fitted | |
            ballast-air  | C | value value | a ballast.fill_time, a ballast.empty_time | boat.ballast.kind={SINKS} | ballast_cycle |
            throttle-ahead | C | choice |                           | | directions |
            throttle-astern | C | choice |                          | | directions |
            ballast-way  | C | choice  |                            | boat.ballast.kind={SINKS} | |
            keeper       | C | choice choice |                      | boat.controls.level_keeper=fitted | level_keeper |""",
        "radio-and-alarms": """
            signal-off   | C | each value | b failsafe.delay        | | failsafe_bench |
            control-back | C | choice  |                            | | failsafe_bench |
            low-volts    | C | done    |                            | boat.failsafe.trigger=low volts/ | |
            leak         | C | done    |                            | boat.failsafe.trigger=leak | leak_alarm |
            timer        | C | done    |                            | boat.failsafe.trigger=timer | |
            depth        | C | done    |                            | boat.failsafe.trigger=depth | |
            paces        | C | value   | b radio.check_distance     | | range |
            full-power   | C | choice  |                            | | full_power |
            set-lamps    |   | each    |                            | boat.lights=fitted | |""",
    },
    "leak-test": {
        "hold": """
            steady       |   | value   |                            | | |
            hold         | C | hold    | b cylinder.leak_down       | boat.cylinder.test_by=pressure vacuum | dry_long |
            low          | C | hold    |                            | boat.cylinder.test_by=pressure vacuum | dry_long |
            long-dip     | C | words   | a cylinder.water_found     | boat.cylinder.short_test=immersion | dry_long |
            turn         | C | done    |                            | boat.cylinder.test_by=pressure vacuum | |
            beads        |   | each    |                            | boat.cylinder.test_by=pressure | |""",
        "wet": """
            towel        |   | value   |                            | | |
            string       |   | value   |                            | | |
            open         | C | words choice | a cylinder.water_found | | |
            ten-minutes  | C | words choice | a cylinder.water_found | | look |""",
    },
    "tank-trim": {
        "afloat": """
            water        | C | value choice |                       | | |
            packs        | C | done    |                            | | |
            bubbles      | C | done    |                            | | |
            waterline    |   | value   | s buoyancy.reserve         | | |
            list         |   | value   | a trim.list                | | |
            pitch        |   | value   | a trim.pitch               | | |""",
        "dived": f"""
            dived-balance | C | value  | a buoyancy.dived           | | trim |
            residual     | C | value   | a buoyancy.dived           | boat.ballast.kind={SINKS} | trim |
            dived-pitch  | C | value   | a trim.pitch               | | trim |
            righting     | C | value   | s trim.righting            | | |
            cycle        | C | value value value | a ballast.fill_time, a ballast.empty_time | boat.ballast.kind={SINKS} | ballast_cycle |
            comes-up     | C | value   | a recovery.time_to_surface | | failsafe_wet |
            ten-minutes  | C | words choice | a cylinder.water_found | | look |
            map          |   | done    |                            | | |""",
    },
    "at-home": {
        "at-home": f"""
            air          |   | done    |                            | | |
            rinse        | C | done    |                            | site.water={SALT} | |
            terminals-after | C | done |                            | | |
            corrosion    | salt | choice text each | a terminals.drop | | joints |
            shaft        |   | value   |                            | boat.seal.moves=true | |
            charge       | C | each    |                            | | |
            water-again  |   | words   |                            | | |
            defects      | C | choice text |                        | | |""",
    },
    "storage": {
        "storage": """
            packs-out    | C | each    |                            | | |
            rings        |   | done    |                            | | |
            vents        |   | done    |                            | | |
            shaft-turn   |   | done    |                            | | |
            gas          | C | choice  |                            | boat.ballast.kind=gas | |
            desiccant    |   | done    |                            | | |
            set-cells    |   | done    |                            | | |
            cradle       |   | done    |                            | | |
            wrong        | C | text    |                            | | |""",
    },
    "season": {
        "strip": """
            trends       |   | done    |                            | | |
            seals        | C | each    |                            | | |
            caps         | C | each    |                            | | |
            hoses        | C | done    |                            | | |
            strainer     |   | done    |                            | | |
            brushes      |   | done    |                            | | |
            bellows      |   | done    |                            | | |
            screws       | C | done    |                            | | |""",
        "prove": """
            leak-test    | C | done    |                            | | |
            bench        | C | done    |                            | | |
            tank-trim    | C | done    |                            | | |
            capacity     |   | each    |                            | | |
            inner-name   | C | done    |                            | | |
            rescue       |   | done    |                            | | |
            first        | C | words   | a cylinder.water_found     | | look |""",
    },
    "hand-over": {
        "hand-over": """
            papers       | C | done    |                            | | |
            show-failsafe | C | done   |                            | | |
            show-cycle   | C | done    |                            | | |
            channels     | C | done    |                            | | |
            chemistry    | C | done    |                            | | |
            habits       | C | text    |                            | | |
            aloud        |   | done    |                            | | |
            names        | C | done    |                            | | |
            signed       |   | text    |                            | | |""",
    },
    "commissioning": {
        "papers": """
            received     | C | text    |                            | | |
            name-inside  |   | done    |                            | | |
            holes        | C | each    |                            | | |
            floods       | C | done    |                            | | |
            low-parts    | C | done    |                            | | |
            weigh        |   | each    |                            | | |
            mast         | C | value value | a antenna.clear_length | | |
            photo        |   | done    |                            | | |""",
        "proofs": """
            leak-test    | C | done    |                            | | |
            bench        | C | done    |                            | | |
            tank-trim    | C | done    |                            | | |
            ten-minutes  | C | words   | a cylinder.water_found     | | look |
            first-depth  | C | value   | b depth.keel               | | |
            signal-depth |   | value value |                        | | |
            ten-questions |  | done    |                            | | |""",
    },
    "signal-lost": {"signal-lost": "\n".join(
        f"{i} | | done | {'s recovery.time_to_surface' if i == 'off' else ''} | | |"
        for i in ["people", "mark-it", "sticks", "set-high", "off", "bearings", "hook", "nobody"])},
    "leak-found": {"leak-found": """
            people       |   | done    |                            | | |
            surface      |   | done    |                            | | |
            lift         |   | done    | s lift.mass                | | |
            off          |   | done    |                            | | |
            pack         |   | done    |                            | | |
            where        |   | words*  | a cylinder.water_found     | | |
            dry          |   | text    |                            | | |
            nobody       |   | done    |                            | | |"""},
    "boat-stuck": {"boat-stuck": "\n".join(
        f"{i} | | done | | | |" for i in ["people", "stop", "blow", "weed", "bearings", "hook", "diver", "nobody"])},
    "pack-hot": {"pack-hot": "\n".join(
        f"{i} | | {'text' if i == 'write' else 'done'} | | | |"
        for i in ["people", "out", "leave", "watch", "never", "lead", "write", "nobody"])},
}  # fmt: skip

ROWS = [
    (name, phase, place, tuple(cell.strip() for cell in row.split("|")))
    for name, phases in TABLES.items()
    for phase, table in phases.items()
    for place, row in enumerate(r for r in table.split("\n") if r.strip())
]


def questions(line: Line) -> list[Question]:
    """Every question of a line; of an each line what is asked of its members."""
    return [q for first in line.questions for q in (first, *first.ask)]


def needs_of(cell: str) -> dict[str, set[str]]:
    found = {}
    for part in cell.split("&"):
        if part.strip():
            path, words = part.strip().split("=")
            found[path] = {w for w in words.split("/") if w} if "/" in words else set(words.split())
    return found


def test_there_is_a_table_for_every_shipped_list() -> None:
    assert set(TABLES) == set(shipped.names()) == set(shipped_lists())


@pytest.mark.parametrize("name", sorted(TABLES))
def test_a_list_reads_without_a_fault_and_in_order(name: str) -> None:
    found = shipped_lists()[name]
    assert found.faults == ()
    assert found.list == name
    wanted = {phase: [row[3][0] for row in ROWS if row[:2] == (name, phase)] for phase in TABLES[name]}
    assert {phase.id: [line.id for line in phase.lines] for phase in found.phases} == wanted


@pytest.mark.parametrize(("name", "phase", "place", "cells"), ROWS, ids=[f"{r[0]}/{r[3][0]}" for r in ROWS])
def test_a_line_is_as_it_is_written_down(name: str, phase: str, place: int, cells: tuple[str, ...]) -> None:
    identity, critical, kinds, limits, needs, gives = cells[:6]
    line = next(p for p in shipped_lists()[name].phases if p.id == phase).lines[place]
    assert line.id == identity
    assert line.critical is (critical == "C")
    if critical == "salt":
        assert line.critical_if == (("site.water", tuple(SALT.split())),)
    own = [q.kind.value for q in line.questions]
    assert own[0] == kinds.rstrip("*").split()[0]
    if not kinds.endswith("*"):
        assert own == kinds.split()
    said = sorted(part.strip() for part in limits.split(",") if part.strip())
    found = [f"{q.show[0]} {q.limit}" for q in questions(line) if q.limit]
    found += [f"s {line.shows}"] if line.shows else []
    assert sorted(found) == said
    assert {path: set(words) for path, words in line.needs} == needs_of(needs)
    assert list(line.gives) == gives.split()
    assert line.again is (len(cells) > 6 and cells[6] == "a")


def test_every_line_says_what_it_does_and_why() -> None:
    for found in shipped_lists().values():
        for line in found.lines():
            assert line.do
            assert len(line.do) <= 90, line.id
            if found.way is Way.ANSWER and not line.id.startswith(("cross-", "x2-", "x4-", "any-")):
                assert line.why or line.id in (
                    "sail-switch",
                    "sail-stick",
                    "bow",
                    "throttle-ahead",
                    "throttle-astern",
                    "ballast-way",
                )


def test_every_proof_has_a_line_and_every_gives_a_proof() -> None:
    given = {proof for found in shipped_lists().values() for line in found.lines() for proof in line.gives}
    assert given == {rule.proof for rule in PROOFS}


def test_every_limit_is_a_key_of_the_catalogue() -> None:
    keys = set(catalogue.ORDER)
    for found in shipped_lists().values():
        for line in found.lines():
            for name in (line.shows, line.at_twice, *(q.limit for q in questions(line))):
                assert not name or name in keys, f"{found.list}/{line.id}: {name}"


def test_every_fact_a_line_needs_is_a_field() -> None:
    for found in shipped_lists().values():
        for line in found.lines():
            for path, _ in (*line.needs, *line.critical_if):
                assert path in FIELDS, f"{found.list}/{line.id}: {path}"


def test_every_writer_has_its_kinds_and_every_kind_is_an_event() -> None:
    assert set(WRITERS) == set(KINDS) == set(fields.WRITERS)
    assert {kind for kinds in KINDS.values() for kind in kinds} <= set(EVENTS)
    used = {name for found in shipped_lists().values() for line in found.lines() for name in line.writes}
    assert used == set(WRITERS)


def test_the_last_word_of_trouble_is_that_nobody_goes_in() -> None:
    trouble = [found for found in shipped_lists().values() if found.way is Way.READ_DO]
    assert {found.list for found in trouble} == {"signal-lost", "leak-found", "boat-stuck", "pack-hot"}
    for found in trouble:
        lines = list(found.lines())
        assert lines[0].id == "people"
        assert lines[-1].id == "nobody"
        assert len(lines) <= 8
        assert not any(line.gives for line in lines)


def test_only_one_of_press_draw_and_dip_and_one_of_name_and_peg_is_asked() -> None:
    for slug in ("tansy", "bulrush", "juniper", "bramble"):
        bench = Bench(slug)
        bench.day()
        walk = bench.begin("before-dive")
        asked = bench.asked(walk)
        assert len({"press", "draw", "dip"} & set(asked)) == 1
        assert len({"name", "peg"} & set(asked)) <= 1
        assert not {"gas", "start-state"} <= set(asked)


def test_a_list_of_lists_is_in_the_library() -> None:
    assert LIBRARY.faults == ()
    assert LIBRARY.get("before-dive") is shipped_lists()["before-dive"]
    assert LIBRARY.get("no-such") is None


def test_answers_that_give_a_proof_have_a_right_answer() -> None:
    """A line of *done* proves by the person's word; every other that gives one is held against something."""
    for found in shipped_lists().values():
        for line in found.lines():
            if not line.gives or line.questions[0].kind in (Kind.DONE, Kind.COUNT):
                continue
            held = any(q.want or q.limit or q.least or q.most for q in questions(line))
            assert held or line.id == "leads", f"{found.list}/{line.id}"
