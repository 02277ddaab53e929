"""Files as forms: every field can be changed, limits move, nothing is written before k, the hand of a file stays."""

from __future__ import annotations

import contextlib
import stat
import sys

import pytest

from divelog import units
from divelog.app import editing, own_editor
from divelog.app.asking import Answer
from divelog.app.look.layout import LAYOUTS, STANDARD, WIDE, Place
from divelog.app.spots.edit import Files, Parts
from divelog.app.spots.edit_part import PartForm
from divelog.journal.loading import load
from divelog.profiles.document import Fact, Num, State
from divelog.profiles.fields import Field, Kind, Mark
from divelog.profiles.schema import SCHEMAS


@pytest.fixture
def day(shell, press):
    """The day typed for Withy Pond, Tansy in hand, Boats in front."""
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1), "11", "enter", "3", "1.1", "enter", "16", "enter")
    press("1", "0.7", "enter", "35", "enter", "40", "enter")
    shell.go(Place.BOATS)
    return shell


def tansy(shell) -> str:
    return shell.desk.session.home.boat_file("tansy").read_text(encoding="utf-8")


def open_part(shell, title: str, root: str = "boat", name: str = "tansy") -> PartForm:
    draft = editing.draft_of(shell.desk, root, name)
    file = Parts(shell, draft)
    part = next(p for p in editing.parts(draft.before) if p.title == title)
    shell.push(file)
    form = PartForm(shell, draft, part)
    shell.push(form)
    return form


def focus(form: PartForm, path: str) -> None:
    form.focus = next(n for n, one in enumerate(form.part.fields) if one.path == path)


# -- finding one's way ----------------------------------------------------------------------------------------------


def test_boats_open_the_files_and_a_digit_opens_one(day, press, page, look, golden):
    press("f")
    assert isinstance(day.front, Files)
    assert "TANSY, her file" in page().text()
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    press("1")
    assert isinstance(day.front, Parts)
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    golden("edit-parts", page())
    press("2")
    assert isinstance(day.front, PartForm)
    golden("edit-part", page())
    press("escape", "escape", "escape")
    assert day.here is Place.BOATS


def test_why_opens_the_very_field(day, press, page):
    day.go(Place.LIMITS)
    press("2")
    why = day.front
    rests = [row.input.path for row in why._parts(why.limit())]
    why.focus = rests.index("boat.height")
    press("f")
    assert isinstance(day.front, PartForm)
    assert day.front.path == "height"
    why.focus = rests.index("today.water.clarity")
    press("escape", "escape")
    assert day.front is why
    press("f")
    assert isinstance(day.front, Parts)  # the day has no file of its own: hers opens


@pytest.mark.parametrize("root", ["boat", "kit", "site", "settings"])
def test_every_field_of_the_schema_stands_in_one_part(shell, root):
    name = {"boat": "juniper", "site": "withy-pond"}.get(root, "")
    document = editing.document_of(shell.desk, root, name)
    schema = SCHEMAS[root]
    found = [part.path(one) for part in editing.parts(document) for one in part.fields]
    assert len(found) == len(set(found))
    wanted = {f.path for f in schema.fields if f.path != "format"}
    for entries in schema.entries:
        if entries.path == "line":
            continue
        for entry in document.entries.get(entries.path, ()):
            wanted |= {f"{entries.path}[{entry}].{f.path}" for f in entries.fields if f.path != entries.key}
    assert set(found) == wanted


def test_every_part_of_every_file_passes_every_check(day, look):
    for root, name in (
        ("boat", "tansy"),
        ("boat", "juniper"),
        ("kit", ""),
        ("site", "sluice-basin"),
        ("settings", ""),
    ):
        draft = editing.draft_of(day.desk, root, name)
        for part in editing.parts(draft.before):
            if part.entries is not None:
                continue
            form = PartForm(day, draft, part)
            day.push(form)
            for focused in range(0, len(part.fields), 4):
                form.focus = focused
                form.open = False
                for layout in LAYOUTS:
                    assert look.problems(day.draw(layout)) == []
                form._begin()
                for layout in LAYOUTS:
                    assert look.problems(day.draw(layout)) == []
            day.pop()


# -- one field ------------------------------------------------------------------------------------------------------


def test_limits_move_beside_the_form_and_nothing_is_written(day, press, page):
    before = tansy(day)
    form = open_part(day, "radio")
    focus(form, "radio.signal_lost_at.depth")
    was = day.desk.limit("depth.keel", "under control").shown
    press("enter", "1 m", "enter")
    now = next(x for x in form._worked()[0] if x.key == "depth.keel" and x.item == "under control").shown
    assert now != was
    assert f"{was}, then {now}" in page().text()
    assert "1 changed, not kept" in page().text()
    assert "Changes" in page(WIDE).text()
    assert tansy(day) == before
    assert day.desk.limit("depth.keel", "under control").shown == was


def test_k_keeps_with_the_hand_of_the_file_and_files_it_in_the_log(day, press, home):
    path = home.boat_file("tansy")
    path.write_text(tansy(day).replace('wall = "4 mm"', 'wall = "4 mm"   # turned by hand'), encoding="utf-8")
    day.desk.session.forget()
    form = open_part(day, "cylinder")
    focus(form, "cylinder.wall")
    press("enter", "3.8 mm", "enter", "k")
    assert 'wall = "3.8 mm"   # turned by hand' in tansy(day)
    filed = [e for e in load(home, "tansy").events if e.what == "boat.filed"][-1].payload()
    assert filed["changed"] == ["boat.cylinder.wall"]
    assert filed["text"] == tansy(day)
    assert "Kept; comments and order stay." in day.draw(STANDARD).text()


def test_what_has_the_comments_go_asks_twice(day, press, page, home):
    path = home.boat_file("tansy")
    path.write_text("# painted white\n" + tansy(day), encoding="utf-8")
    day.desk.session.forget()
    form = open_part(day, "controls")
    focus(form, "controls.directions")
    press("enter", "rudder_left: to port; planes_rise: up", "enter", "k")
    if "comments go" in page().text():
        assert "# painted white" in tansy(day)
        press("k")
    assert dict(day.desk.document("tansy").value("controls.directions")) == {
        "rudder_left": "to port",
        "planes_rise": "up",
    }


def test_a_measured_value_no_longer_counts_where_the_file_is_changed(day, press):
    day.desk.keep("measured", {"path": "boat.mass", "value": {"si": 6.0, "u95": 0.01}})
    form = open_part(day, "herself")
    focus(form, "mass")
    press("enter", "5.9 kg", "enter")
    assert form._worked()[1].num("boat.mass").si == pytest.approx(5.9)
    press("k")
    assert day.desk.sheet().num("boat.mass").si == pytest.approx(5.9)


def test_choices_by_digit_unknown_not_fitted_put_back_and_taken_out(day, press):
    form = open_part(day, "controls")
    focus(form, "controls.sail_planes")
    press("enter", "2", "enter")
    assert form.draft.held("controls.sail_planes").value == "stick"
    press("x")
    assert form.draft.held("controls.sail_planes").value == "not fitted"
    press("u")
    assert form.draft.held("controls.sail_planes").state is State.UNKNOWN
    press("b")
    assert form.draft.held("controls.sail_planes") is None
    assert form.draft.count == 0
    focus(form, "controls.tail")
    press("-")
    assert form.draft.held("controls.tail") is None
    assert form.draft.count == 1


def test_a_bad_value_is_told_and_the_field_stays_open(day, press, page):
    form = open_part(day, "herself")
    focus(form, "mass")
    press("enter", "5 mm", "enter")
    assert "wanted a mass" in page().text()
    assert form.open
    press("escape")  # clears the text
    assert form.open
    press("900 kg", "enter")
    assert form.open
    assert "wanted" in page().text()
    press("escape", "escape")
    assert not form.open
    assert form.draft.count == 0


def test_a_file_that_would_have_a_fault_is_not_kept(day, press, page):
    before = tansy(day)
    form = open_part(day, "herself")
    focus(form, "name")
    press("-", "k")
    assert "Fault" in page().text()
    assert "boat.name" in page().text()
    assert tansy(day) == before


def test_figures_that_cannot_both_be_right_are_not_kept(day, press, page):
    before = tansy(day)
    form = open_part(day, "herself")
    focus(form, "draught")
    press("enter", "200 mm", "enter", "k")
    assert "Fault" in page().text()
    assert tansy(day) == before


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        (Field("x", Kind.QUANTITY, Mark.OPTIONAL, "length"), "3 ft", Num(0.9144)),
        (Field("x", Kind.FLAG, Mark.OPTIONAL), "false", False),
        (Field("x", Kind.COUNT, Mark.OPTIONAL, low=0, high=9), "4", 4.0),
        (Field("x", Kind.TEXTS, Mark.OPTIONAL), "fore cap, aft cap", ("fore cap", "aft cap")),
        (Field("x", Kind.COUNTS, Mark.OPTIONAL, low=1, high=12), "6, 7", ("6", "7")),
        (Field("x", Kind.WORDS, Mark.OPTIONAL), "a: b c; d: e", (("a", "b c"), ("d", "e"))),
        (Field("x", Kind.TEXT, Mark.OPTIONAL), "words", "words"),
    ],
)
def test_every_kind_of_field_reads_what_is_typed(field, typed, value):
    (fact,) = editing.facts_of(field, "x", Answer(word=typed, typed=typed)).values()
    if isinstance(value, Num):
        assert fact.value.si == pytest.approx(value.si)
    else:
        assert fact.value == value
    assert editing.value_words(field, fact)


def test_words_of_a_table_that_are_no_pairs_are_refused():
    field = Field("x", Kind.WORDS, Mark.OPTIONAL)
    with pytest.raises(units.UnitFaultError):
        editing.facts_of(field, "x", Answer(word="a b", typed="a b"))


def test_banks_are_quantities_by_name(day, press):
    form = open_part(day, "the place", "site", "withy-pond")
    focus(form, "banks")
    press("enter", "north: 40 m; east: 120 m", "enter", "k")
    site = day.desk.session.shelf.sites["withy-pond"]
    assert site.value("banks.north").si == pytest.approx(40)
    assert site.value("banks.east").si == pytest.approx(120)


# -- entries --------------------------------------------------------------------------------------------------------


def test_a_pack_is_added_to_the_kit_under_its_hand(day, press, home):
    before = home.kit.read_text(encoding="utf-8")
    draft = editing.draft_of(day.desk, "kit", "")
    file = Parts(day, draft)
    day.push(file)
    index = next(n for n, p in enumerate(editing.parts(draft.before)) if p.title == "a new pack")
    file.top = index // 9 * 9
    press(str(index % 9 + 1))
    assert day.front.typing
    press("D9", "enter")
    form = day.front
    assert isinstance(form, PartForm)
    for path, keys in (
        ("chemistry", ("1", "enter")),
        ("cells", ("3", "enter")),
        ("capacity", ("5", "enter")),
    ):
        focus(form, path)
        press("enter", *keys)
    press("k")
    after = home.kit.read_text(encoding="utf-8")
    assert after.startswith(before.rstrip("\n"))
    kit = day.desk.session.shelf.kit
    assert kit.faults == ()
    assert kit.text_at("pack[D9].chemistry") == "lithium polymer"
    assert kit.value("pack[D9].cells") == 3.0


def test_an_id_twice_is_refused(day, press, page):
    draft = editing.draft_of(day.desk, "kit", "")
    file = Parts(day, draft)
    day.push(file)
    index = next(n for n, p in enumerate(editing.parts(draft.before)) if p.title == "a new pack")
    file.top = index // 9 * 9
    press(str(index % 9 + 1), "D2", "enter")
    assert "there is a D2 already" in page().text()
    press("escape", "escape")
    assert file.adding is None


def test_an_entry_is_dropped_whole(day, press):
    form = open_part(day, "cap fore cap")
    press("d", "k")
    assert day.desk.document("tansy").entries["cap"] == ("aft cap",)
    assert form.draft.count == 0


def test_a_second_trigger_of_the_failsafe(day, press):
    draft = editing.draft_of(day.desk, "boat", "tansy")
    file = Parts(day, draft)
    day.push(file)
    index = next(n for n, p in enumerate(editing.parts(draft.before)) if p.title == "a new failsafe")
    file.top = index // 9 * 9
    press(str(index % 9 + 1), "2", "enter")
    form = day.front
    focus(form, "does")
    press("enter", "throttle: stops; ballast: empties", "enter")
    focus(form, "powered_from")
    press("enter", "drive pack", "enter", "k")
    boat = day.desk.document("tansy")
    assert boat.entries["failsafe"] == ("signal lost", "low volts")
    assert dict(boat.value("failsafe[low volts].does"))["throttle"] == "stops"


# -- places ---------------------------------------------------------------------------------------------------------


def test_a_new_place_is_named_filled_in_and_kept(day, press, page, home):
    press("f")
    files = day.front
    index = next(n for n, one in enumerate(files._entries()) if one[0] == "a new place")
    press(str(index + 1), "Mill Race", "enter")
    assert isinstance(day.front, Parts)
    press("1")
    form = day.front
    focus(form, "kind")
    press("enter", "1", "enter")
    focus(form, "water")
    press("enter", "2", "enter")
    assert not home.site_file("mill-race").exists()
    press("k")
    site = day.desk.session.shelf.sites["mill-race"]
    assert site.faults == ()
    assert site.text_at("name") == "Mill Race"
    assert site.facts["bottom"].state is State.UNKNOWN


@pytest.mark.parametrize(
    ("name", "said"), [("Withy Pond", "already"), ("!!!", "no file name"), ("nul", "kept by some systems")]
)
def test_names_of_places_are_refused_in_words(day, press, page, name, said):
    press("f")
    index = next(n for n, one in enumerate(day.front._entries()) if one[0] == "a new place")
    press(str(index + 1), name, "enter")
    assert said in page().text()
    press("escape", "escape")
    assert day.front.line is None


def test_the_day_is_one_key_away(day, press, page):
    press("f", "d")
    assert "Limits: day" in page().text()


# -- leaving --------------------------------------------------------------------------------------------------------


def test_leaving_with_changes_asks_once(day, press, page):
    form = open_part(day, "herself")
    focus(form, "mass")
    press("enter", "6 kg", "enter", "escape", "escape")
    assert "1 changed and not kept" in page().text()
    assert isinstance(day.front, Parts)
    press("escape")
    assert day.here is Place.BOATS
    assert not isinstance(day.front, Parts)
    assert "5.76 kg" in tansy(day)


def test_z_puts_everything_back(day, press):
    form = open_part(day, "herself")
    focus(form, "mass")
    press("enter", "6 kg", "enter", "escape", "z")
    assert form.draft.count == 0
    press("escape")
    assert not isinstance(day.front, Parts)


def test_a_home_for_reading_only_keeps_nothing(home, clock, look):
    from divelog.app.desk import Desk
    from divelog.app.places import EXTRAS, MAKERS
    from divelog.app.shell import Shell
    from divelog.session.session import Session

    shell = Shell(
        Desk(Session.reading(home, clock), "tansy", read_only="The disk may only be read."), MAKERS, EXTRAS
    )
    form = open_part(shell, "herself")
    focus(form, "mass")
    for key in ("enter", *"6 kg".replace(" ", "_"), "enter"):
        shell.press("space" if key == "_" else key)
    shell.press("k")
    assert "NOT KEPT" in shell.draw(STANDARD).text()
    assert "5.76 kg" in tansy(shell)


# -- the person's own editor ----------------------------------------------------------------------------------------


@pytest.fixture
def editor(tmp_path, monkeypatch):
    """An editor that replaces one text by another in the file it is given."""

    def made(old: str, new: str, code: int = 0) -> None:
        script = tmp_path / "my editor.py"
        script.write_text(
            f"import sys, pathlib\np = pathlib.Path(sys.argv[-1])\n"
            f"p.write_text(p.read_text(encoding='utf-8').replace({old!r}, {new!r}), encoding='utf-8')\nsys.exit({code})\n",
            encoding="utf-8",
        )
        script.chmod(script.stat().st_mode | stat.S_IXUSR)
        monkeypatch.setenv("VISUAL", f"'{sys.executable}' '{script}'")

    return made


@contextlib.contextmanager
def paused():
    yield


def open_file(shell) -> Parts:
    file = Parts(shell, editing.draft_of(shell.desk, "boat", "tansy"))
    shell.push(file)
    return file


def test_the_editor_gets_the_terminal_and_the_file_is_read_and_filed_again(day, press, editor, page):
    editor('wall = "4 mm"', 'wall = "3 mm"')
    entered = []

    @contextlib.contextmanager
    def suspend():
        entered.append("in")
        yield
        entered.append("out")

    day.suspend = suspend
    open_file(day)
    press("e")
    assert entered == ["in", "out"]
    assert day.desk.document("tansy").value("cylinder.wall").si == pytest.approx(0.003)
    filed = [e for e in load(day.desk.session.home, "tansy").events if e.what == "boat.filed"][-1].payload()
    assert filed["changed"] in (["boat.cylinder.wall"], [])
    assert 'wall = "3 mm"' in filed["text"]
    assert "read again: no fault" in page().text()


def test_faults_made_in_the_editor_are_told_with_their_line(day, press, editor, page):
    editor('wall = "4 mm"', "wall = 4")
    day.suspend = paused
    open_file(day)
    press("e")
    text = " ".join(page().text().split())
    assert "Fault" in text
    assert "a bare number" in text
    press("1")
    assert "mend it in your own editor" in page().text()


def test_an_editor_that_ends_badly_is_told_and_the_file_read_all_the_same(day, press, editor, page):
    editor('wall = "4 mm"', 'wall = "3 mm"', code=3)
    day.suspend = paused
    open_file(day)
    press("e")
    assert "ended with 3" in " ".join(page().text().split())
    assert day.desk.document("tansy").value("cylinder.wall").si == pytest.approx(0.003)


def test_where_the_terminal_cannot_be_handed_over_it_is_refused(day, press, editor, page):
    editor("a", "b")
    before = tansy(day)
    open_file(day)
    day.suspend = None
    press("e")
    assert "no other program" in page().text()

    def refuses():
        raise RuntimeError("suspend is not supported here")

    day.suspend = refuses
    press("e")
    assert "cannot be handed" in page().text()
    assert tansy(day) == before


def test_changes_come_before_the_editor(day, press, editor, page):
    editor("a", "b")
    day.suspend = paused
    form = open_part(day, "herself")
    focus(form, "mass")
    press("enter", "6 kg", "enter", "escape", "e")
    assert "keep or put back" in page().text()


@pytest.mark.parametrize(
    ("environ", "words"),
    [
        ({}, []),
        ({"EDITOR": "nano"}, ["nano"]),
        ({"VISUAL": "code --wait", "EDITOR": "nano"}, ["code", "--wait"]),
        ({"EDITOR": "ed; rm -rf /"}, ["ed;", "rm", "-rf", "/"]),
        ({"EDITOR": "'broken"}, []),
    ],
)
def test_the_editors_words_are_split_without_a_shell(environ, words):
    assert own_editor.editor_words(environ) == words


def test_no_editor_named_and_one_that_is_not_there(tmp_path):
    file = tmp_path / "a.toml"
    file.write_text("format = 1")
    assert "VISUAL or EDITOR" in own_editor.edit(file, paused, {})
    assert "could not be started" in own_editor.edit(file, paused, {"EDITOR": "/nowhere/at-all"})
    assert "not there yet" in own_editor.edit(tmp_path / "b.toml", paused, {"EDITOR": "nano"})


async def test_on_the_real_screen_headless_the_editor_is_refused(day, editor):
    from divelog.app.application import Divelog

    editor("a", "b")
    app = Divelog(day)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f", "1")
        await pilot.pause()
        assert isinstance(day.front, Parts)
        await pilot.press("e")
        await pilot.pause()
        assert day.front.fault
    assert 'name = "Tansy"' in tansy(day)


def test_a_fact_as_a_form_shows_it():
    field = Field("x", Kind.QUANTITY, Mark.OPTIONAL, "length")
    assert editing.value_words(field, None) == ""
    assert editing.value_words(field, Fact(None, State.UNKNOWN)) == "unknown"
    assert editing.value_words(field, Fact(Num(0.118, 0.001))) == "118 mm ± 1 mm"
