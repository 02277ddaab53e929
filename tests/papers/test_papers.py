"""Papers: one model for text and HTML, nothing foreign runs in them, private things stay out and are counted."""

from __future__ import annotations

import re
import shutil
import subprocess
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.writing import Journal
from divelog.papers.sheets.answers import newest
from divelog.papers.sheets.before import list_sheet, rows_of, run_sheet
from divelog.papers.sheets.commissioning import commissioning
from divelog.papers.sheets.figures import big, day_words, edge, limit_row
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.hand_over import hand_over
from divelog.papers.sheets.html import SIZES, as_html, css_text, tied
from divelog.papers.sheets.lines import applying
from divelog.papers.sheets.model import Bigs, Blanks, Pairs, Paper, Row, Rows, Steps, Table, Words
from divelog.papers.sheets.numbering import code, number_of, numbered
from divelog.papers.sheets.text import WIDTH, as_text
from divelog.session.papering import KINDS, gathered, paper
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.sharing.private import NAMES

MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
BOATS = ("tansy", "bulrush", "juniper", "bramble")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """The sample boats with their logbook; Tansy's file holds private notes."""
    root = tmp_path_factory.mktemp("papers") / "home"
    shutil.copytree(data_folder("sample_boats"), root)
    boat = root / "boats" / "tansy.toml"
    boat.write_text(boat.read_text("utf-8") + '\n[notes]\nowner = "Rowan Example, 01234 567890"\n', "utf-8")
    return Home(root)


def given(home: Home, slug: str = "tansy", at: datetime = MORNING) -> Given:
    session = Session.reading(home, FixedClock(at), read_shelf(home))
    return gathered(session, slug, session.shelf.boats[slug])


@pytest.fixture(scope="module")
def tansy(home: Home) -> Given:
    return given(home)


class _Page(HTMLParser):
    """Tags, what they fetch, and the text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.fetched: list[str] = []
        self.words: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.fetched += [value for name, value in attrs if name in ("src", "href", "srcset", "data")]

    def handle_data(self, data):
        self.words.append(data)

    @property
    def text(self) -> str:
        return re.sub(r"\s+", " ", "".join(self.words))


@pytest.mark.parametrize("slug", BOATS)
@pytest.mark.parametrize("kind", KINDS)
def test_every_paper_of_every_boat_is_made_in_text_and_html(home, slug, kind):
    found = given(home, slug)
    for empty in (False, True):
        made = paper(kind, found, empty)
        text = as_text(made)
        assert max(len(row) for row in text.splitlines()) <= WIDTH
        assert found.name in text.splitlines()[0]
        page = _Page(as_html(made))
        assert not page.fetched
        assert not {"script", "img", "link", "iframe", "form"} & set(page.tags)
        for part in made.parts:
            if isinstance(part, Blanks):
                assert all(re.sub(r"\s+", " ", row.say) in page.text for row in part.rows)


def test_the_run_sheet_has_three_large_numbers_and_numbered_readings(tansy):
    sheet = run_sheet(tansy)
    bigs = next(p for p in sheet.parts if isinstance(p, Bigs))
    assert [one.title for one in bigs.items] == ["Back at the bank", "Deepest keel", "Least in the pack, D2"]
    keel = tansy.limit("depth.keel", "under control")
    assert bigs.items[1].number == keel.shown.split(" ")[0]
    assert all(one.number for one in bigs.items)
    numbers = [row.number for p in sheet.parts if isinstance(p, Blanks) for row in p.rows]
    assert numbers == sorted(set(numbers))
    rows = rows_of(tansy)
    for line in ("pack-volts", "count", "press", "inside", "tip", "paces", "cycle", "residual"):
        assert number_of(rows, "before-dive", line) in numbers
    for line in ("ended", "water", "marks", "deepest", "volts", "shaft", "mend"):
        assert number_of(rows, "after-run", line) in numbers


def test_an_empty_run_sheet_claims_nothing(tansy):
    sheet = run_sheet(tansy, empty=True)
    bigs = next(p for p in sheet.parts if isinstance(p, Bigs))
    assert [one.number for one in bigs.items] == ["", "", ""]
    limits = next(p for p in sheet.parts if isinstance(p, Rows))
    assert all(not row.limit and not row.reading and not row.sign for row in limits.rows)
    spaces = [s for p in sheet.parts if isinstance(p, Blanks) for row in p.rows for s in row.spaces]
    assert not [s for s in spaces if s.limit]
    assert "Withy" not in sheet.under


def test_the_list_shows_what_stands_and_a_blank_one_does_not(tansy):
    filled = [row for p in list_sheet(tansy).parts if isinstance(p, Blanks) for row in p.rows]
    blank = [row for p in list_sheet(tansy, empty=True).parts if isinstance(p, Blanks) for row in p.rows]
    assert [row.number for row in filled] == [row.number for row in blank]
    assert {row.sign for row in blank} == {""}
    assert {"= done", ""} == {row.sign for row in filled}
    tip = next(row for row in blank if row.say.startswith("Read the aerial's tip"))
    assert tip.spaces[0].limit == edge(tansy.limit("antenna.tip_height"))
    volts = next(row for row in blank if row.say.startswith("Read the volts"))
    assert volts.spaces[0].limit == "", "a reading is read before its limit is looked at"
    last = list_sheet(tansy).parts[-1]
    assert isinstance(last, Words)
    assert edge(tansy.limit("battery.rest_voltage")) in last.lines[0]


def test_a_line_keeps_its_number_whatever_is_asked(home, tansy):
    before, after = tansy.lists["before-dive"], tansy.lists["after-run"]
    rows = numbered(before, after)
    other = given(home, "bulrush")
    assert [(r.number, r.line.id if r.line else r.moment) for r in rows] == [
        (r.number, r.line.id if r.line else r.moment)
        for r in numbered(other.lists["before-dive"], other.lists["after-run"])
    ]
    assert len({r.number for r in rows}) == len(rows)
    assert code(rows) == code(numbered(before, after))
    assert code(rows) != code(rows[1:])


def test_trouble_claims_no_proof_that_may_be_spent_when_it_is_read(tansy):
    page = paper("trouble", tansy)
    lost = next(p for p in page.parts if isinstance(p, Steps) and p.title == "Signal lost")
    off = next(step for step in lost.steps if step[1].startswith("Transmitter OFF"))
    assert "ONLY if" in off[2]
    assert "the set stays ON" in off[2]
    assert "was proved" not in as_text(page)
    assert all(step[1] != "" for step in lost.steps)
    assert "Start your watch now" in [step[1] for step in lost.steps]
    assert lost.steps[-1][1] == "Nobody goes in after a boat"
    assert len([p for p in page.parts if isinstance(p, Steps)]) == 4


def test_private_things_stay_out_of_hand_over_papers_and_are_counted(tansy):
    made = as_text(hand_over(tansy))
    html = as_html(hand_over(tansy))
    for text in (made, _Page(html).text):
        assert "Rowan" not in text
        assert "01234" not in text
        assert "1 note in her file" in text
    assert "touched bottom" in made
    assert "dived past the shelf" in made


def test_withheld_incidents_are_counted(tansy):
    made = as_text(paper("papers", tansy, incidents=False))
    assert "touched bottom" not in made
    assert "2 in her log; all withheld" in made


def _left_out(text: str) -> str:
    return text.split("Left out of th", 1)[1].split("\n", 1)[1].lstrip("-= \n").lstrip()


def test_what_is_let_out_by_name_stands_on_the_papers(tansy):
    for kind in ("papers", "commissioning"):
        kept = as_text(paper(kind, tansy))
        named = as_text(paper(kind, tansy, let_out=tuple(NAMES)))
        assert kept != named
        assert not _left_out(kept).startswith("nothing")
        assert _left_out(named).startswith("nothing")


def test_outside_stands_out_in_print():
    made = Paper(
        "x",
        "X",
        "B",
        MORNING,
        parts=(Rows("R", (Row("X OUTSIDE", "volts", "8.1 V", "at least 8.4 V", True),)),),
    )
    row = next(line for line in as_text(made).splitlines() if "volts" in line)
    assert row.startswith("X OUTSIDE")
    assert row.endswith("<<<")
    assert len(row) == WIDTH
    assert "at least 8.4 V <<<" in _Page(as_html(made)).text


def test_markup_and_control_characters_of_a_stranger_are_text(home, tmp_path):
    root = tmp_path / "home"
    shutil.copytree(home.root, root)
    file = root / "boats" / "tansy.toml"
    nasty = r"<script>alert(1)</script>{{ 7*7 }}\u001b[2J\u202e"
    file.write_text(file.read_text("utf-8").replace('name = "Tansy"', f'name = "{nasty}"'), "utf-8")
    found = given(Home(root))
    for kind in KINDS:
        html = as_html(paper(kind, found))
        assert "script" not in _Page(html).tags
        assert "{{ 7*7 }}" in _Page(html).text, "what a stranger wrote is shown, never worked out"
        text = as_text(paper(kind, found))
        assert "\x1b" not in text + html
        assert "\u202e" not in text + html


def test_a_number_inside_words_is_the_large_one(home):
    volts = given(home, "juniper").limit("battery.rest_voltage")
    assert volts.shown.startswith("charged full")
    found = big("Pack", volts, "V", False)
    assert (found.number, found.unit) == ("9.9", "A h")
    assert found.remark.startswith("charged full")


def test_the_size_of_the_paper_is_said_and_no_other_is_taken(tansy):
    for size in SIZES:
        assert re.search(rf"@page \{{\s+size: {size};", as_html(run_sheet(tansy), size))
    with pytest.raises(ValueError, match="A4, letter"):
        as_html(run_sheet(tansy), "A0; } body { display: none")


def test_a_day_that_is_not_open_is_not_lent_to_a_paper(home):
    later = given(home, at=datetime.fromisoformat("2032-06-20T09:00:00+01:00"))
    assert not later.day_open
    assert "degC" not in run_sheet(later).under


def test_open_defects_and_chemistry_stand_on_the_tag(home, tmp_path):
    root = tmp_path / "home"
    shutil.copytree(home.root, root)
    with Journal(Home(root), "desk", clock=FixedClock(MORNING)) as journal:
        journal.append(
            "defect.opened",
            {"defect": "hatch cracked, call 01234 567890", "stops_launch": True},
            boat="tansy",
        )
        journal.append("defect.opened", {"defect": "green plug", "stops_launch": True}, boat="tansy")
    text = as_text(paper("tag", given(Home(root), at=datetime.fromisoformat("2032-05-04T08:30:00+01:00"))))
    assert "green plug, since 4 May 2032: NOT TO LAUNCH" in text
    assert "lithium polymer, 2 cells, 5 A h" in text
    assert "01234" not in text


PRINTER = pytest.mark.skipif(
    not shutil.which("chromium") or not shutil.which("pdftotext"), reason="no browser to print with here"
)
_WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
_MM = 72 / 25.4


def printed(made: Paper, size: str, folder: Path) -> list[list[tuple[float, float, float, float, str]]]:
    """The words of each page as the browser sets them, each with its box in points."""
    file, pdf = folder / "paper.html", folder / "paper.pdf"
    file.write_text(as_html(made, size), "utf-8")
    subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={folder / 'browser'}", f"--print-to-pdf={pdf}", str(file)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    xml = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True, text=True
    ).stdout
    return [
        [(*map(float, word[:4]), word[4]) for word in _WORD.findall(page)] for page in xml.split("<page ")[1:]
    ]


@PRINTER
@pytest.mark.parametrize(("kind", "size", "most"), [
    ("run", "letter", 2), ("list", "letter", 2), ("trouble", "A4", 1), ("tag", "A4", 1),
])  # fmt: skip
def test_what_goes_to_the_water_is_one_sheet_of_paper_in_type_of_eleven_points(
    home, tmp_path, kind, size, most
):
    # Juniper has the most lines of all sample boats: if hers fit, the others do.
    pages = printed(paper(kind, given(home, "juniper"), kind == "list"), size, tmp_path)
    assert len(pages) <= most
    for number, page in enumerate(pages, 1):
        words = [word[4] for word in page]
        assert " ".join(words[-4:]) == f"page {number} of {len(pages)}"
        assert "JUNIPER," in words, "her name stands at the foot of every page"
    # A page that was too wide would have been printed smaller as a whole: type tells. Of 11 points a word is that high.
    heights = sorted(y2 - y1 for x1, y1, x2, y2, _ in pages[0])
    assert heights[len(heights) // 2] >= 11.0
    right = {"A4": 210.0, "letter": 215.9}[size] * _MM
    assert max(x2 for page in pages for _, _, x2, _, _ in page) <= right - 9 * _MM


@PRINTER
@pytest.mark.nightly
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("slug", BOATS)
def test_no_paper_of_any_boat_runs_out_of_its_page(home, tmp_path, slug, kind, size):
    pages = printed(paper(kind, given(home, slug)), size, tmp_path)
    right = {"A4": 210.0, "letter": 215.9}[size] * _MM
    for page in pages:
        assert all(word[2] <= right - 9 * _MM for word in page)
        assert sorted(word[3] - word[1] for word in page)[len(page) // 2] >= 11.0


def test_a_name_cannot_leave_the_style_sheet():
    nasty = '"; } </style><script>x</script> \\'
    assert css_text(nasty).isascii()
    assert not set(css_text(nasty)[1:-1]) & set('"<>{};&')
    assert css_text("TANSY 2") == '"TANSY 2"'


def test_numbers_keep_their_units_on_the_line():
    assert tied("5 A h") == "5\xa0A h"
    assert tied("5.76 kg ± 10 g") == "5.76\xa0kg ±\xa010\xa0g", "before the ± a line may end"
    assert tied("X OUTSIDE") == "X\xa0OUTSIDE"
    assert tied("up in 12 seconds") == "up in 12 seconds"


def test_the_list_shows_the_readings_that_stand(tansy):
    rows = {row.number: row for p in list_sheet(tansy).parts if isinstance(p, Blanks) for row in p.rows}
    press = rows[number_of(rows_of(tansy), "before-dive", "press")]
    last = newest(e for e in tansy.events if e.boat == "tansy")["before-dive", "press"]
    assert last.reading() == "20 kPa to 19.9 kPa"
    assert press.filled.startswith(last.reading())


def test_every_function_stands_in_the_commissioning_report_as_the_log_has_it(tansy):
    made = commissioning(tansy)
    tables = [p for p in made.parts if isinstance(p, Table) and p.title.startswith("Functions")]
    rows = {row[1]: row for table in tables for row in table.rows}
    assert sum(len(table.rows) for table in tables) == len(rows), "each once"
    bench = [
        line.do for line in applying(tuple(tansy.lists["bench"].lines()), tansy.around) if not line.always
    ]
    assert set(bench) <= set(rows)
    volts = next(row for do, row in rows.items() if do.startswith("Read the least volts at the receiver"))
    event = next(
        e for e in reversed(tansy.events)
        if e.what == "check.answered" and e.payload().get("line") == "receiver-volts"
    )  # fmt: skip
    data = event.payload()
    assert volts == (
        "+ within", volts[1], data["value"]["typed"], f"at least {data['limit']['shown']}",
        f"{day_words(event.local)}, {event.local:%H:%M}", "operator",
    )  # fmt: skip
    assert [row for row in rows.values() if row[0] == ". no reading"], "what nobody ever tried is said"


def test_who_answered_is_left_out_and_counted_unless_it_may_go(home, tmp_path):
    root = tmp_path / "home"
    shutil.copytree(home.root, root)
    with Journal(Home(root), "desk", clock=FixedClock(MORNING), by="Rowan Example") as journal:
        journal.append(
            "check.answered",
            {"list": "bench", "line": "receiver-volts", "value": {"si": 4.4, "u95": 0.1, "typed": "4.4 V"},
             "limit": {"key": "receiver.supply", "item": "", "low": 5.0, "high": None, "shown": "5.0 V"},
             "verdict": "outside", "fails": ["supply"]},
            boat="tansy",
        )  # fmt: skip
    found = given(Home(root), at=datetime.fromisoformat("2032-05-04T08:30:00+01:00"))
    text = as_text(commissioning(found))
    assert "Rowan" not in text
    assert "1 name of whoever wrote a line" in text
    row = next(line for line in text.splitlines() if line.startswith("X OUTSIDE"))
    assert row.endswith("<<<")
    assert "Rowan" in as_text(commissioning(found, let_out=("by",)))


def test_hand_over_papers_hold_what_the_next_owner_cannot_see(home, tmp_path):
    root = tmp_path / "home"
    shutil.copytree(home.root, root)
    file = root / "boats" / "tansy.toml"
    lead = '[[lead]]\nwhere = "bow"\nmass = "212 g"\nx = "310 mm"\nz = "12 mm"\n'
    file.write_text(file.read_text("utf-8") + lead, "utf-8")
    found = given(Home(root))
    tables = {p.title: p for p in hand_over(found).parts if isinstance(p, Table)}
    assert ("bow", "212 g", "310 mm", "12 mm") in tables["Weights"].rows
    moved = {row[0]: row[1:] for row in tables["Moved since, by her log"].rows}
    assert moved["bow lead"] == ("12 g", "amidships", "bow", "17 Apr 2032")
    (failsafe,) = tables["Failsafe"].rows
    assert failsafe[:2] == ("signal lost", "throttle stops; stern planes rise; ballast empties")
    assert failsafe[2] == "90 s"
    assert {row[0] for row in tables["Seals"].rows} == set(found.boat.entries["seal"])
    packs = {row[0]: row for row in tables["Packs"].rows}
    assert packs["D2"][3] == "4.7 A h, 10 Feb 2032"
    state = dict(next(p for p in hand_over(found).parts if isinstance(p, Pairs)).pairs)
    assert state["trimmed in"] == "fresh water, 19 degC, barn-tank, 18 Apr 2032"
    mine = [run for run in found.history.runs if run.boat == "tansy"]
    assert state["runs"].startswith(f"{len(mine)} written down, {sum(r.minutes for r in mine) / 60:.1f} h")
    assert "lost a sixth of its charge" in as_text(hand_over(found)), (
        "a note that is not private is a habit known"
    )


def test_a_reading_stands_in_the_unit_people_read(tansy):
    volts = tansy.limit("battery.rest_voltage")
    assert volts.reading is not None
    row = limit_row(volts)
    assert row.reading == f"{volts.reading.si:.3g} V"
    assert row.limit == f"at least {volts.shown}"
