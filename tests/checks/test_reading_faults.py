# ruff: noqa: E501
"""List files from strangers: every fault is found, named with its line, and nothing hangs, runs or raises."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walking import SAMPLES

from divelog.checks import shipped
from divelog.checks.reading import read_list

GOOD = """format = 1
list = "my-list"
title = "Mine"
version = 1
dated = 2032-03-01

[[phase]]
id = "one"
moment = "One"

[[phase.line]]
id = "look"
do = "Look"
answer = { kind = "done" }
"""


def faults(text: str) -> list[str]:
    found = read_list(text.encode(), "my.toml")
    for fault in found.faults:
        assert fault.file == "my.toml"
    return [fault.sentence() for fault in found.faults]


def test_a_good_list_has_no_fault() -> None:
    assert faults(GOOD) == []


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('do = "Look"', 'doo = "Look"', 13, 'did you mean "do"'),
        ('do = "Look"', 'do = ""', 13, "an empty text"),
        ('do = "Look"', f'do = "{"x" * 500}"', 13, "500 characters"),
        ('kind = "done"', 'kind = "dome"', 14, 'did you mean "done"'),
        ('kind = "done"', 'kind = "value"', 14, "the unit of a bare number"),
        ('kind = "done"', 'kind = "value", unit = "furlongs"', 14, "a unit of the table"),
        ('kind = "done"', 'kind = "value", unit = "V", limit = "battery.rest_volts"', 14, "battery.rest_voltage"),
        ('kind = "done"', 'kind = "value", unit = "V", least = "5"', 14, "wanted"),
        ('kind = "done"', 'kind = "choice", of = ["one"]', 14, "two choices"),
        ('kind = "done"', 'kind = "choice", of = ["a", "b"], want = "c"', 14, "one of the choices"),
        ('kind = "done"', 'kind = "count", of = "boat.cylinder.closurs"', 14, "the path of a list"),
        ('kind = "done"', 'kind = "each", of = "boat.upper_join"', 14, "boat.upper_joins"),
        ('kind = "done"', 'kind = "hold", unit = "kPa"', 14, "seconds of the hold"),
        ('kind = "done"', 'kind = "done", unit = "V"', 14, "unit in"),
        ('kind = "done"', 'kind = "value", unit = "s", measures = "ballast.fil_time"', 14, "a quantity that is measured"),
        ('answer = { kind = "done" }', 'answer = "done"', 14, 'kind = "done"'),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\ngives = ["closd"]', 15, 'did you mean "closed"'),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\ncritical = "yes"', 15, "true or false"),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nneeds = { "boat.ballast.knd" = ["gas"] }', 15, "boat.ballast.kind"),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nneeds = { "boat.ballast.kind" = ["gaz"] }', 15, 'did you mean "gas"'),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nneeds = { "boat.ballast.kind" = "gas" }', 15, "as [true]"),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nwrites = "os.system"', 15, "one of"),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nshows = "battery.enduranse"', 15, "battery.endurance"),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\ntells = "site.rescu"', 15, 'did you mean "site.rescue"'),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nrepeat = true', 15, "kind \"choice\""),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nwalk = "benchh"', 15, 'did you mean "bench"'),
        ('answer = { kind = "done" }', 'answer = { kind = "done" }\nchange = "not fitted"', 15, "without a why"),
        ('id = "one"', 'id = "One"', 8, "small letters"),
        ("format = 1", "format = 2", 1, "a newer program"),
        ("version = 1", 'version = "one"', 4, "a whole number"),
        ("dated = 2032-03-01", 'dated = "March"', 5, "a date"),
        ('list = "my-list"', 'list = "../../etc"', 2, "small letters"),
        ('title = "Mine"', 'title = "Mine"\nplaces = ["swamp"]', 4, "pond"),
        ('title = "Mine"', 'title = "Mine"\ntimer = 3', 4, "a known key"),
    ],
)  # fmt: skip
def test_a_fault_names_its_line_and_what_is_wanted(old: str, new: str, line: int, words: str) -> None:
    found = read_list(GOOD.replace(old, new, 1).encode(), "my.toml").faults
    assert any(fault.line == line and words in fault.sentence() for fault in found), [
        f.sentence() for f in found
    ]


@pytest.mark.parametrize(
    "missing", ["format", "list", "title", "version", "dated", "id", "moment", "do", "answer"]
)
def test_a_missing_key_is_named(missing: str) -> None:
    text = "\n".join(row for row in GOOD.split("\n") if not row.startswith(f"{missing} ="))
    assert any(missing in sentence for sentence in faults(text))


def test_every_fault_is_told_and_not_only_the_first() -> None:
    text = (
        GOOD.replace('do = "Look"', "do = 3")
        .replace("version = 1", "version = true")
        .replace('"done"', '"dun"')
    )
    assert len(faults(text)) >= 3


def test_a_line_and_a_phase_twice() -> None:
    again = GOOD[GOOD.index("[[phase]]") :]
    found = faults(GOOD + again)
    assert any("twice" in sentence for sentence in found)


def test_a_question_may_only_ask_after_one_before_it() -> None:
    text = (
        GOOD
        + '\n[[phase.line.then]]\nname = "b"\nkind = "text"\nwhen = { c = ["x"] }\n\n[[phase.line.then]]\nname = "c"\nkind = "text"\n'
    )
    assert any("asked before it" in sentence for sentence in faults(text))


def test_proofs_are_not_given_in_trouble() -> None:
    text = GOOD.replace('title = "Mine"', 'title = "Mine"\nway = "read and do"').replace(
        '"done" }', '"done" }\ngives = ["closed"]'
    )
    assert any("nothing is proved in trouble" in sentence for sentence in faults(text))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\0",
        "format = 1\n" * 6000,
        "a" * 3000,
        ".".join("a" * 1 for _ in range(400)) + " = 1",
        "x = " + "[" * 200 + "]" * 200,
        "phase = 3",
        "[phase]\nline = 3",
        "[[phase]]\nline = [1, 2]",
        "[[phase]]\nid = 3\nmoment = []\n[[phase.line]]\nid = {}\nanswer = 4\nthen = 5\nask = 6",
        '[[phase]]\n[[phase.line]]\nanswer = { kind = "each", of = 4 }\n[[phase.line.ask]]\nkind = "each"',
        "list = 9**9**9",
        'list = "con"',
        "title = '''\x1b[2J'''",
    ],
)
def test_hostile_files_are_faults(text: str) -> None:
    found = read_list(text.encode(), "my.toml")
    assert found.faults
    for fault in found.faults:
        assert len(fault.sentence()) < 1000


def test_bytes_that_are_no_text() -> None:
    assert read_list(b"\xff\xfe\x00", "my.toml").faults


def test_too_many_lines_and_phases() -> None:
    line = '\n[[phase.line]]\nid = "{}"\ndo = "x"\nanswer = {{ kind = "done" }}\n'
    many = GOOD + "".join(line.format(f"l{n}") for n in range(300))
    assert any("200" in sentence for sentence in faults(many))
    phases = GOOD + "".join(
        f'\n[[phase]]\nid = "p{n}"\nmoment = "m"\n' + line.format(f"q{n}") for n in range(30)
    )
    assert any("at most 20" in sentence for sentence in faults(phases))


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_raise(raw: bytes) -> None:
    assert isinstance(read_list(raw, "x.toml").faults, tuple)


_VALUES = st.recursive(
    st.one_of(
        st.booleans(),
        st.integers(-3, 99),
        st.text(max_size=12).map(lambda t: repr(t).replace("\\", "")),
        st.just("[]"),
        st.just("{}"),
    ),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=4,
)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_shipped_list_with_one_line_changed_never_raises(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(shipped.names()))
    rows = (shipped.folder() / f"{name}.toml").read_text("utf-8").split("\n")
    place = data.draw(st.integers(0, len(rows) - 1))
    key = rows[place].split("=")[0]
    value = data.draw(_VALUES)
    rows[place] = f"{key}= {str(value).lower() if isinstance(value, bool) else value}"
    found = read_list("\n".join(rows).encode(), "x.toml")
    for fault in found.faults:
        assert fault.sentence()


def test_a_person_may_give_only_what_differs() -> None:
    text = """format = 1
list = "before-dive"
title = "Before the dive, mine"
version = 4
dated = 2032-04-01

[[phase]]
id = "closing-up"

[[phase.line]]
id = "faces"
how = "Fingertip and lamp."
"""
    found = read_list(text.encode(), "mine.toml")
    assert found.faults == ()
    assert [edit.keys for edit in found.edits] == [frozenset({"id", "how"})]


def test_samples_are_no_lists() -> None:
    assert read_list((SAMPLES / "kit.toml").read_bytes(), "kit.toml").faults
