"""A person's changes and a boat's: what they may change, and what they may not take away."""

from __future__ import annotations

from pathlib import Path

import pytest
from walking import Bench, document, sample_text

from divelog.checks.applies import applies
from divelog.checks.library import read_library, shipped_list
from divelog.checks.model import CheckList
from divelog.checks.overlay import for_boat

HEAD = """format = 1
list = "before-dive"
title = "Before the dive"
version = 7
dated = 2032-04-01

[[phase]]
id = "closing-up"
"""


def own(tmp_path: Path, rows: str) -> tuple[CheckList, list[str]]:
    (tmp_path / "before-dive.toml").write_text(HEAD + rows, "utf-8")
    library = read_library(tmp_path)
    found = library.get("before-dive")
    assert found is not None
    return found, [fault.sentence() for fault in library.faults]


def boat_with(rows: str) -> CheckList:
    boat = document(sample_text("tansy") + rows)
    assert boat.faults == (), [fault.sentence() for fault in boat.faults]
    return for_boat(shipped_list("before-dive"), boat)


def test_words_of_a_line_may_be_ones_own(tmp_path: Path) -> None:
    found, faults = own(
        tmp_path, '\n[[phase.line]]\nid = "faces"\nhow = "Lamp from the side."\nwhy = "A hair, last May."\n'
    )
    assert faults == []
    line = found.line("faces")
    assert line is not None
    assert (line.how, line.do) == ("Lamp from the side.", "Wipe each seal face and look at it")
    assert line.gives == ("faces",)
    assert line.critical
    assert found.version == 7
    assert [one.id for one in found.lines()] == [one.id for one in shipped_list("before-dive").lines()]


def test_a_line_of_ones_own_goes_where_it_is_put(tmp_path: Path) -> None:
    rows = '\n[[phase.line]]\nid = "ring-grease"\ndo = "Grease the ring thinly"\nafter = "faces"\nanswer = { kind = "done" }\n'
    rows += '\n[[phase.line]]\nid = "last"\ndo = "Close the box"\nanswer = { kind = "done" }\n'
    found, faults = own(tmp_path, rows)
    assert faults == []
    phase = next(p for p in found.phases if p.id == "closing-up")
    ids = [line.id for line in phase.lines]
    assert ids[ids.index("faces") + 1] == "ring-grease"
    assert ids[-1] == "last"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ('id = "count"\ncritical = false', "loses the boat"),
        ('id = "count"\ngives = []', "gives of a shipped line"),
        ('id = "count"\nneeds = { "boat.lights" = ["fitted"] }', "needs of a shipped line"),
        ('id = "press"\nanswer = { kind = "done" }', "without the limit"),
        ('id = "press"\nanswer = { kind = "hold", unit = "kPa", seconds = 60 }', "without the limit"),
        (
            'id = "start-state"\nanswer = { kind = "choice", of = ["a", "b"] }',
            "without the limit or the right answer",
        ),
        ('id = "leads"\nanswer = { kind = "done" }', "without the limit or the right answer"),
    ],
)
def test_what_a_line_proves_is_not_for_changing(tmp_path: Path, rows: str, words: str) -> None:
    found, faults = own(tmp_path, f"\n[[phase.line]]\n{rows}\n")
    assert any(words in fault for fault in faults), faults
    for line in shipped_list("before-dive").lines():
        laid = found.line(line.id)
        assert laid is not None
        assert (laid.gives, laid.needs, laid.critical) == (line.gives, line.needs, line.critical)
        assert [q.limit for q in laid.questions] == [q.limit for q in line.questions]


def test_not_fitted_needs_its_reason_and_is_not_asked(tmp_path: Path) -> None:
    found, faults = own(tmp_path, '\n[[phase.line]]\nid = "catch"\nchange = "not fitted"\nwhy = "bolted"\n')
    assert faults == []
    line = found.line("catch")
    assert line is not None
    assert line.not_fitted == "bolted"
    bench = Bench("tansy")
    bench.day()
    assert not applies(line, bench.around())
    _, faults = own(tmp_path, '\n[[phase.line]]\nid = "catch"\nchange = "not fitted"\n')
    assert any("without a why" in fault for fault in faults)


def test_a_list_with_a_fault_is_not_used_and_the_shipped_one_stands(tmp_path: Path) -> None:
    found, faults = own(tmp_path, '\n[[phase.line]]\nid = "faces"\nhow = 3\n')
    assert faults
    assert found == shipped_list("before-dive")


def test_a_list_of_ones_own_name_is_another_list(tmp_path: Path) -> None:
    text = (
        HEAD.replace("before-dive", "night-dive").replace(
            'id = "closing-up"', 'id = "lamps"\nmoment = "At dusk"'
        )
        + '\n[[phase.line]]\nid = "lamp"\ndo = "Light the lamp"\nanswer = { kind = "done" }\n'
    )
    (tmp_path / "night.toml").write_text(text, "utf-8")
    library = read_library(tmp_path)
    assert library.faults == ()
    assert library.get("night-dive") is not None
    assert len(library.lists) == len(read_library().lists) + 1


def test_a_folder_that_is_not_there_is_no_fault(tmp_path: Path) -> None:
    assert read_library(tmp_path / "none").faults == ()


def test_a_file_that_is_a_link_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "a.toml").symlink_to("/etc/passwd")
    library = read_library(tmp_path)
    assert len(library.faults) == 1
    assert library.faults[0].file.endswith("a.toml")


# -- a boat's own changes ---------------------------------------------------------------------------------------------


def test_a_boat_adds_moves_and_leaves_out_lines() -> None:
    found = boat_with(
        """
[[line]]
list = "before-dive"
id = "magnet"
change = "add"
do = "Touch the magnet of the tow release"
why = "it fell off in March"
after = "catch"

[[line]]
list = "before-dive"
id = "cycle"
change = "move"
why = "the shallows come first here"
after = "tip"

[[line]]
list = "before-dive"
id = "inside"
change = "not fitted"
why = "closed at home, always"

[[line]]
list = "after-run"
id = "marks"
change = "not fitted"
why = "another list"
"""
    )
    assert found.faults == ()
    ids = [line.id for line in found.lines()]
    assert ids[ids.index("catch") + 1] == "magnet"
    assert ids[ids.index("tip") + 1] == "cycle"
    inside = found.line("inside")
    assert inside is not None
    assert inside.not_fitted == "closed at home, always"
    assert found.line("marks") is None


def test_a_critical_line_is_not_fitted_with_a_reason_but_never_gone() -> None:
    found = boat_with(
        '\n[[line]]\nlist = "before-dive"\nid = "faces"\nchange = "not fitted"\nwhy = "welded"\n'
    )
    line = found.line("faces")
    assert line is not None
    assert line.critical
    assert line.not_fitted == "welded"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ('id = "no-such"\nchange = "move"\nwhy = "x"', "no line"),
        ('id = "faces"\nchange = "add"\nwhy = "x"\ndo = "y"', "there already"),
        ('id = "new"\nchange = "add"\nwhy = "x"', "nothing to do"),
    ],
)
def test_a_change_that_fits_nothing_is_a_fault(rows: str, words: str) -> None:
    found = boat_with(f'\n[[line]]\nlist = "before-dive"\n{rows}\n')
    assert len(found.faults) == 1
    assert words in found.faults[0].sentence()
    assert found.faults[0].line > 0
    assert [line.id for line in found.lines()] == [line.id for line in shipped_list("before-dive").lines()]


def test_a_proof_of_a_line_that_is_not_fitted_is_given_by_the_others() -> None:
    boat = document(
        sample_text("tansy")
        + '\n[[line]]\nlist = "before-dive"\nid = "leads"\nchange = "not fitted"\nwhy = "one piece"\n'
    )
    bench = Bench("tansy", boat)
    bench.day()
    walk = bench.walk("before-dive", until="press")
    assert walk.record("leads") is None
    assert bench.proved("closed")
