"""A new boat in ten questions: keys counted, every answer on disk, killed and gone on with, names in words."""

from __future__ import annotations

import shutil
import tomllib

import pytest

from divelog.app import ten, ten_kept
from divelog.app.asking import NOT_KNOWN, Answer
from divelog.app.desk import Desk
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, Place
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.files import StorageError, StorageKind
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.profiles.document import Num, State
from divelog.proofs import State as ProofState
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

ANSWERS = (
    ("Heron", "enter"), ("920", "enter"), ("5.76", "enter"), ("2", "enter"), ("1", "enter"), ("1", "enter"), ("420", "enter"),
    ("3", "enter"), ("120", "enter"), ("1", "enter"), ("2", "enter"), ("5", "enter"), ("0.9", "enter"), ("1", "enter"),
    ("1", "enter"),
)  # fmt: skip
"""Every line of the ten questions in a home with an empty kit."""


@pytest.fixture
def home(tmp_path) -> Home:
    """A home with nothing in it."""
    root = tmp_path / "home"
    root.mkdir()
    return Home(root)


@pytest.fixture
def desk(session) -> Desk:
    """No boat yet."""
    made = Desk(session)
    made.date_said = session.clock.now().date()
    return made


@pytest.fixture
def begun(shell, press):
    """The first question, asked."""
    press("+")
    return shell


def draft(home: Home) -> dict:
    path = home.boats / ten_kept.DRAFT
    return tomllib.loads(path.read_text(encoding="utf-8"))["answers"] if path.exists() else {}


def again(shell: Shell, clock) -> Shell:
    """The same home opened by a process that knows nothing of the one before."""
    home = shell.desk.session.home
    session = Session(home, clock, read_shelf(home), Journal(home, device="second", clock=clock))
    fresh = Shell(Desk(session), MAKERS, EXTRAS)
    fresh.below("new boat")
    return fresh


def told(*pairs) -> dict[str, Answer]:
    return dict(pairs)


# -- the whole way --------------------------------------------------------------------------------------------------


def test_a_boat_in_about_45_keys_and_no_file_seen(begun, press, page, home):
    keys = 1 + sum(len(text) + 1 for text, _ in ANSWERS)
    for text, enter in ANSWERS:
        press(text, enter)
    assert 40 <= keys <= 60
    assert begun.desk.slug == "heron"
    assert "written down" in page().text()
    document = begun.desk.session.shelf.boats["heron"]
    assert document.faults == ()
    assert document.text_at("name") == "Heron"
    assert document.value("ballast.volume").si == pytest.approx(420e-6)
    assert document.texts_at("power.drive_packs") == ("D1",)
    kit = begun.desk.session.shelf.kit
    assert kit.faults == ()
    assert kit.value("pack[D1].capacity").si == pytest.approx(18_000)
    assert kit.text_at("transmitter[tx-a].band") == "40 MHz"
    assert not (home.boats / ten_kept.DRAFT).exists()


def test_what_nobody_said_is_unknown_and_never_guessed_into_the_file(begun, press):
    for text, enter in ANSWERS:
        press(text, enter)
    document = begun.desk.session.shelf.boats["heron"]
    for path in (
        "owner_inside",
        "cylinder.inside_diameter",
        "cylinder.closures",
        "radio.memory",
        "power.pack_in_wet",
    ):
        assert document.facts[path].state is State.UNKNOWN
    for path in ("height", "beam", "displaced", "ballast.fill_time", "dived_balance"):
        assert path not in document.facts


def test_the_log_holds_her_file_the_claim_and_the_dry_depth(begun, press):
    for text, enter in ANSWERS:
        press(text, enter)
    events = {e.what: e.payload() for e in load(begun.desk.session.home, "heron").events}
    assert events["boat.filed"]["text"] == begun.desk.session.shelf.boats["heron"].text
    assert events["boat.received"]["claimed"] == ["failsafe_wet"]
    report = begun.desk.proofs("heron")
    assert report.dry_depth == pytest.approx(0.8)
    assert report.get("failsafe_wet").state is ProofState.CLAIMED
    assert not report.get("failsafe_wet").stands


def test_a_page_of_numbers_ends_it_with_what_to_prove_and_to_measure(begun, press, page, look, golden):
    for text, enter in ANSWERS:
        press(text, enter)
    text = page().text()
    assert "inputs are assumed" in text
    assert "Prove first    failsafe" in text
    assert "ten minutes on a string" in text
    assert "coins on the casing" in text
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    golden("new-boat-end", page())
    press("enter")
    assert begun.here is Place.LIMITS


# -- not knowing ----------------------------------------------------------------------------------------------------


def test_every_question_but_the_name_may_be_left_unknown(begun, press, page):
    press("Heron", "enter")
    for _ in range(14):
        if begun.desk.slug is not None:
            break
        press("u")
    document = begun.desk.session.shelf.boats["heron"]
    assert document.faults == ()
    assert document.facts["length"].state is State.UNKNOWN
    assert begun.desk.session.shelf.kit.entries == {}
    assert "unknown" in page().text()
    report = begun.desk.proofs("heron")
    assert report.dry_depth is None
    assert not [p for p in report.proofs if p.stands]


def test_her_length_by_the_arm_where_nobody_has_a_rule(begun, press, page):
    press("Heron", "enter", "u")
    assert "By the arm" in page().text()
    press("2", "enter")
    assert "900 mm ± 300 mm" not in page().text()  # said in words
    assert "one to two arms*" in page().text()
    press("escape")
    begun.below("new boat")
    press("1")
    assert "What does she weigh" in page().text()


def test_mass_not_known_is_taken_from_her_length_with_a_star(begun, press, page):
    press("Heron", "enter", "920", "enter", "u")
    assert "5.4 kg*, from her length" in page().text()


def test_a_dive_not_known_asks_whether_she_stays_down(begun, press, page):
    press("Heron", "enter", "920", "enter", "u", "u")
    assert "stay down when stopped" in page().text()
    press("2", "enter")
    assert ten.profile(begun.front.told, begun.desk.session.shelf).text_at("dives_by") == "planes"


def test_planes_only_asks_nothing_of_ballast(begun, press, page):
    press("Heron", "enter", "920", "enter", "u", "1", "enter", "u")
    assert "Which radio?" in page().text()
    assert "none" in page().text()
    document = ten.profile(begun.front.told, begun.desk.session.shelf)
    assert document.text_at("ballast.kind") == "none"


def test_seconds_are_a_time_to_fill(begun, press):
    press("Heron", "enter", "920", "enter", "u", "2", "enter", "u", "38 s", "enter")
    document = ten.profile(begun.front.told, begun.desk.session.shelf)
    assert document.value("ballast.fill_time").si == pytest.approx(38)
    assert "ballast.volume" not in document.facts


def test_never_and_once_give_no_proof(begun, press):
    for text, enter in ANSWERS[:12]:
        press(text, enter)
    press("u", "2", "enter", "1", "enter")
    assert begun.desk.slug == "heron"
    assert {e.what for e in load(begun.desk.session.home, "heron").events} - {"log.opened"} == {"boat.filed"}
    assert begun.desk.proofs("heron").dry_depth is None


def test_a_no_leaves_the_kit_as_it_is(begun, press):
    for text, enter in ANSWERS[:14]:
        press(text, enter)
    press("2", "enter")
    assert begun.desk.session.shelf.kit.entries == {}
    assert begun.desk.session.shelf.boats["heron"].facts["power.drive_packs"].state is State.UNKNOWN
    assert begun.desk.session.shelf.boats["heron"].facts["radio.transmitter"].state is State.UNKNOWN


# -- on disk before the next question -------------------------------------------------------------------------------


def test_each_answer_is_on_disk_before_the_next_question(begun, press, home):
    for before, (text, enter) in enumerate(ANSWERS[:-1]):
        press(text)
        assert len(draft(home)) == before
        press(enter)
        assert len(draft(home)) == before + 1


@pytest.mark.parametrize("answered", [1, 4, 6, 9, 12, 14])
def test_killed_at_any_question_she_is_offered_again(begun, press, clock, answered):
    for text, enter in ANSWERS[:answered]:
        press(text, enter)
    fresh = again(begun, clock)
    assert "HERON was begun" in fresh.draw(STANDARD).text()
    fresh.press("1")
    assert fresh.front.told == begun.front.told
    for text, enter in ANSWERS[answered:]:
        for key in (*text, enter):
            fresh.press(key)
    assert fresh.desk.slug == "heron"
    assert fresh.desk.session.shelf.boats["heron"].text_at("ballast.kind") == "piston"


def test_begun_afresh_the_old_answers_go(begun, press, clock, home):
    press("Heron", "enter", "920", "enter")
    fresh = again(begun, clock)
    fresh.press("2")
    assert "What do you call her" in fresh.draw(STANDARD).text()
    assert draft(home) == {}


def test_stopped_by_esc_she_is_kept_and_offered(begun, press, page, home):
    press("Heron", "enter", "920", "enter", "escape")
    assert "no day yet" in page().text() or "No boat yet" in page().text()
    assert set(draft(home)) == {"name", "length"}
    press("+")
    assert "question 3 of 10 is next" in page().text()


def test_a_draft_of_a_stranger_is_taken_as_far_as_it_fits(begun, clock, home):
    home.boats.mkdir(exist_ok=True)
    path = home.boats / ten_kept.DRAFT
    for text in ("\x00\x01", "format = [", "answers = 3", '[answers]\nname = 3', '[answers.name]\ntyped = "x"\nword = ""\n',
                 '[answers.length]\ntyped = "9 mm"\nword = ""'):  # fmt: skip
        path.write_text(text, encoding="utf-8")
        assert ten_kept.read_draft(home, begun.desk.session.shelf, begun.desk.session.disk) == {}
    path.write_text(
        '[answers.name]\ntyped = "A"\nword = "A"\n[answers.length]\ntyped = "9 kg"\nword = ""\n',
        encoding="utf-8",
    )
    found = ten_kept.read_draft(home, begun.desk.session.shelf, begun.desk.session.disk)
    assert set(found) == {"name"}


def test_an_answer_that_cannot_be_kept_is_asked_again(begun, press, page, monkeypatch):
    def full(*args: object) -> None:
        raise StorageError(StorageKind.FULL, begun.desk.session.home.boats / ten_kept.DRAFT)

    press("Heron", "enter")
    with monkeypatch.context() as broken:
        broken.setattr(ten_kept, "write_draft", full)
        press("920", "enter")
        assert "X NOT KEPT" in page().text()
        press("1")
    assert "How long is she?" in page().text()
    press("920", "enter")
    assert "What does she weigh" in page().text()


@pytest.mark.parametrize("step", ["keep_document", "file_boat", "_log", "drop_draft"])
def test_a_failure_half_way_is_made_good_by_going_on(begun, press, page, clock, monkeypatch, step):
    def broken(*args: object, **kwargs: object) -> None:
        raise StorageError(StorageKind.FULL, begun.desk.session.home.kit)

    with monkeypatch.context() as patched:
        patched.setattr(ten_kept, step, broken)
        for text, enter in ANSWERS:
            press(text, enter)
        assert "X NOT KEPT" in page().text()
    fresh = again(begun, clock)
    fresh.press("1")
    while fresh.desk.slug is None and fresh.front.ask is not None:
        fresh.press("1")
        fresh.press("enter")
    assert fresh.desk.slug == "heron"
    assert fresh.desk.session.shelf.kit.entries["pack"] == ("D1",)
    assert fresh.desk.session.shelf.kit.entries["transmitter"] == ("tx-a",)
    events = [e.what for e in load(fresh.desk.session.home, "heron").events if e.what != "log.opened"]
    assert sorted(events) == ["boat.filed", "boat.received", "check.answered"]


# -- names ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "said"),
    [("", "needs a name"), ("!!!", "no file name"), ("con", "kept by some systems"), ("tansy", "there is a Tansy already"),
     ("Tansy.", "too like Tansy"), ("TÀNSY", "too like Tansy")],
)  # fmt: skip
def test_names_that_cannot_be_are_refused_in_words(begun, press, page, home, name, said):
    home.boats.mkdir(exist_ok=True)
    shutil.copy("sample_boats/boats/tansy.toml", home.boats / "tansy.toml")
    begun.desk.session.forget()
    press(name, "enter")
    assert said in page().text()
    assert "What do you call her" in page().text()
    assert draft(home) == {}


def test_a_boat_written_by_hand_meanwhile_is_never_written_over(begun, press, page, home):
    for text, enter in ANSWERS[:-1]:
        press(text, enter)
    shutil.copy("sample_boats/boats/tansy.toml", home.boats / "heron.toml")
    begun.desk.session.forget()
    before = (home.boats / "heron.toml").read_bytes()
    press("1", "enter")
    assert "too like Tansy" in page().text()
    assert (home.boats / "heron.toml").read_bytes() == before
    press("Heron Two", "enter")
    assert begun.desk.slug == "heron-two"


# -- a kit that is there ----------------------------------------------------------------------------------------------


def test_packs_and_sets_of_the_kit_are_offered_and_its_text_stays(begun, press, page, home):
    shutil.copy("sample_boats/kit.toml", home.kit)
    begun.desk.session.forget()
    before = home.kit.read_text(encoding="utf-8")
    press(
        "Heron",
        "enter",
        "920",
        "enter",
        "u",
        "2",
        "enter",
        "1",
        "enter",
        "1",
        "enter",
        "420",
        "enter",
        "3",
        "enter",
        "120",
        "enter",
    )
    assert "Which transmitter?" in page().text()
    assert "tx-a" in page().text()
    press("1", "enter")
    assert "Which pack drives her?" in page().text()
    press("1", "enter", "u", "u")
    assert begun.desk.slug == "heron"
    assert home.kit.read_text(encoding="utf-8") == before
    assert begun.desk.session.shelf.boats["heron"].texts_at("power.drive_packs") == ("D2",)
    assert begun.desk.session.shelf.boats["heron"].text_at("radio.transmitter") == "tx-a"


def test_another_pack_is_added_under_the_hand_of_the_kit(begun, press, home):
    shutil.copy("sample_boats/kit.toml", home.kit)
    begun.desk.session.forget()
    before = home.kit.read_text(encoding="utf-8")
    count = len(begun.desk.session.shelf.kit.entries["pack"])
    press(
        "Heron", "enter", "920", "enter", "u", "2", "enter", "1", "enter", "1", "enter", "420", "enter", "u"
    )
    press(
        "0" if count >= 9 else str(count + 1),
        "enter",
        "1",
        "enter",
        "2",
        "enter",
        "5",
        "enter",
        "u",
        "u",
        "1",
        "enter",
    )
    after = home.kit.read_text(encoding="utf-8")
    assert after.startswith(before.rstrip("\n"))
    assert begun.desk.session.shelf.kit.faults == ()
    assert len(begun.desk.session.shelf.kit.entries["pack"]) == count + 1


# -- pages ----------------------------------------------------------------------------------------------------------


def test_the_fourth_question_as_drawn(begun, press, page, golden):
    press("Tansy", "enter", "920", "enter", "u", "2")
    golden("new-boat-4", page())


def test_every_page_of_the_way_passes_every_check(begun, press, page, look):
    for text, enter in (*ANSWERS, ("", "escape")):
        for layout in (*LAYOUTS, STANDARD.ascii()):
            assert look.problems(page(layout)) == []
        press(text)
        for layout in (STANDARD, SMALL):
            assert look.problems(page(layout)) == []
        press(enter)


def test_a_hostile_name_moves_nothing(begun, press, page, look):
    for letter in "\u202e\u4e2d[b]x":
        begun.press(letter)
    begun.press("enter")
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    assert "\u202e" not in page().text()


def test_nothing_is_asked_where_nothing_can_be_kept(shell, page, look):
    shell.desk.read_only = "The disk may only be read."
    shell.below("new boat")
    assert "No boat can be written down here" in page().text()
    shell.press("a")
    assert look.problems(page()) == []


def test_profile_of_answers_alone(session):
    answers = told(
        ("name", Answer(word="A", typed="A")),
        ("length", Answer(Num(0.5), typed="50 cm")),
        ("dives", NOT_KNOWN),
    )
    document = ten.profile(answers, session.shelf)
    assert document.value("length").si == pytest.approx(0.5)
    assert document.text_at("dives_by") == ""
    assert ten_kept.preview(session, answers).num("boat.mass").si == pytest.approx(6.9 * 0.125)


async def test_ten_questions_on_the_real_screen(shell, look):
    from divelog.app.application import Divelog

    app = Divelog(shell)
    names = {" ": "space", ".": "full_stop"}
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("plus")
        for text, enter in ANSWERS:
            await pilot.press(*(names.get(letter, letter) for letter in text), enter)
        await pilot.pause()
        assert shell.desk.slug == "heron"
        assert look.strip_problems(look.screen_strips(app), 80) == []
