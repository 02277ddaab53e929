"""A bench for walks: a sample boat, a log in memory, a clock that stands still, real limits; and quick ways to walk.

bench = Bench("tansy")
bench.day("withy-pond")
bench.walk("before-dive", ANSWERS)
assert bench.proved("directions")
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from divelog.checks import walk as walking
from divelog.checks.around import Around
from divelog.checks.asking import current, line_states
from divelog.checks.launch import call
from divelog.checks.library import read_library
from divelog.checks.model import CheckList, Kind, Line
from divelog.checks.state import Pending, Walk
from divelog.checks.steps import Step
from divelog.clock import FixedClock, Ids, Moment
from divelog.home import Home
from divelog.journal.drafting import draft
from divelog.journal.events import Event
from divelog.journal.loading import load_files
from divelog.limits.catalogue import KEYS
from divelog.limits.model import Limit
from divelog.profiles.document import Document, Num
from divelog.profiles.facts import plain_value
from divelog.profiles.reading import read_document
from divelog.profiles.schema import BOAT
from divelog.session.session import Asked, Session
from divelog.session.shelf import Shelf, read_shelf

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
WORKED = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"
MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
LIBRARY = read_library()
_SHELF = read_shelf(Home(SAMPLES))

Answers = Mapping[str, "str | Sequence[str]"]

RIGHT: Mapping[str, Answers] = {
    "before-dive": {
        "undone": "nothing", "pack-volts": "8.31", "gas": "150", "start-state": "empty", "count": "4",
        "press": ("20", "20"), "draw": ("-10", "-10"), "dip": "no bead", "inside": "16", "tip": "150", "keeper": "rises",
        "paces": "60", "full-power": "full", "cycle": ("37", "35"), "residual": "25", "depth-zero": "0",
    },
    "after-run": {
        "ended": "plan", "water": ("bone dry", "through the window"), "deepest": ("0.6", "seen"), "volts": "7.9",
        "shaft": "clear", "mend": ("nothing", "no"), "off": "",
    },
    "bench": {
        "no-load": ("7.6", "0.61", "0.62"), "load-volts": "8.35", "receiver-volts": "5.2", "heat": "40", "drop": "5",
        "ballast-air": ("37", "35"), "signal-off": ("", "", "", "1.2"), "paces": "60",
    },
    "leak-test": {"steady": "16", "hold": ("20", "20"), "low": ("2.5", "2.5"), "towel": "2", "string": "0.8"},
    "tank-trim": {
        "water": ("11", "fresh"), "waterline": "1", "list": "0.2", "pitch": "0.2", "dived-balance": "35", "residual": "25",
        "dived-pitch": "0.2", "righting": "2", "cycle": ("37", "35", ""), "comes-up": "14",
    },
    "evening-before": {"grease": "1", "mast-clear": "40", "drop": "5", "load-volts": "8.35", "charge": "2"},
    "at-home": {"corrosion": ("none", "5"), "shaft": "1", "charge": "2"},
    "storage": {"packs-out": "7.6"},
    "season": {"capacity": "4.5"},
    "commissioning": {"weigh": "900", "mast": ("120", "40"), "first-depth": "0.3", "signal-depth": ("1.9", "30")},
}  # fmt: skip
"""Answers that are right for Tansy, by list and line; one a question. Choices of members take their right answer."""

BY_BOAT: Mapping[str, Answers] = {
    "bulrush": {"pack-volts": "6.45", "tip": "150", "residual": "60", "cycle": ("46", "54"), "volts": "6.2"},
}


def document(text: str, name: str = "boats/test.toml") -> Document:
    """A boat's profile out of text."""
    return read_document(text.encode(), name, BOAT)


def sample_text(slug: str) -> str:
    """The profile of a sample boat."""
    return (SAMPLES / "boats" / f"{slug}.toml").read_text("utf-8")


@dataclass
class Bench:
    """One boat and everything around her; a new ``Around`` for every question, as a session does it."""

    slug: str = "tansy"
    boat: Document | None = None
    worked: bool = False
    site: str = "withy-pond"
    tick: float = 2.0
    """Seconds that pass before each answer."""
    clock: FixedClock = field(default_factory=lambda: FixedClock(MORNING))
    from_paper: bool = False
    at_append: Callable[[Event], None] | None = None

    def __post_init__(self) -> None:
        boats = {**_SHELF.boats, **({self.slug: self.boat} if self.boat is not None else {})}
        shelf = Shelf(boats, _SHELF.sites, _SHELF.kit, _SHELF.settings)
        self.session = Session(Home(Path("/nowhere")), self.clock, shelf)
        files = {"before.jsonl": WORKED.read_bytes()} if self.worked else {}
        self.session._logs[self.slug] = load_files(files, self.slug)
        self.ids = Ids()
        self._made: tuple[object, Around] | None = None

    # -- the log ------------------------------------------------------------------------------------------------

    @property
    def events(self) -> tuple[Event, ...]:
        return self.session.log(self.slug).events

    def keep(
        self, what: str, data: Mapping[str, Any] | None = None, run: str | None = None, happened: str | None = None,
        boat: str | None = "",
    ) -> Event:  # fmt: skip
        """Append one event to the log in memory."""
        moment = Moment(self.clock.now(), self.clock.up(), self.clock.boot)
        whose = self.slug if boat == "" else boat
        event = draft(
            what, data or {}, moment, self.ids, by="operator", boat=whose, run=run, happened=happened
        )
        self.session._logs[self.slug] = self.session._logs[self.slug].plus(event)
        if self.at_append is not None:
            self.at_append(event)
        return event

    def day(self, site: str = "") -> None:
        """Open a day, and set a plan."""
        water = _SHELF.sites[site or self.site].text_at("water")
        data = {
            "site": site or self.site,
            "water": water,
            "temperature": {"si": 284.15, "u95": 0.5},
            "clarity": {"si": 1.1, "u95": 0.1},
            "air": {"temperature": {"si": 289.15, "u95": 1.0}, "look": "small glassy wavelets"},
        }
        self.keep("day.opened", data, boat=None)
        pack = (self.around().words_at("boat.power.drive_packs") or ("D2",))[0]
        plan = {"pack": pack, "depth": {"si": 0.7, "u95": 0.05}, "distance": {"si": 35.0, "u95": 0.0},
                "minutes": {"si": 2400.0, "u95": 0.0}}  # fmt: skip
        self.keep("plan.set", plan)

    def run(self, minutes: float = 40.0, pack: str = "D2") -> str:
        """Start a run and let it last; its id."""
        started = self.keep("run.started", {"pack": pack, "limits": {"keel": 0.8, "minutes": 47.0}})
        self.clock.advance(60 * minutes)
        return started.id

    # -- around -------------------------------------------------------------------------------------------------

    def around(self) -> Around:
        """Everything as it is at this moment; made anew when an event was written or time has passed."""
        token = (
            len(self.events),
            self.events[-1].id if self.events else "",
            self.clock.now(),
            self.from_paper,
        )
        if self._made is None or self._made[0] != token:
            self._made = (token, self._around())
        return self._made[1]

    def _around(self) -> Around:
        asked = Asked(self.slug, self.session.shelf.boats[self.slug], None, None, self.clock.now())
        facts = self.session.facts(asked)
        enclosed = plain_value(facts.site.value("kind")) in ("pool", "tank")
        sheet = self.session.sheet(asked, facts)
        pack = sheet.word("plan.pack") or ""
        report = self.session.proofs(self.slug, asked.boat, asked.at, enclosed, pack)

        def lookup(key: str, item: str, reading: Num | None, answer: str | None) -> Limit | None:
            held = sheet
            if reading is not None or answer is not None:
                numbers = {(key, item): reading} if reading is not None else {}
                held = self.session.sheet(asked, facts, numbers, {(key, item): answer} if answer else None)
            found = KEYS[key](held) if key in KEYS else ()
            return next((one for one in found if one.item == item), None if item else next(iter(found), None))

        moment = Moment(self.clock.now(), self.clock.up(), self.clock.boot)
        return Around(facts, report, lookup, self.events, moment, self.from_paper)

    def proved(self, name: str) -> bool:
        """Whether a proof stands now."""
        return self.around().report.get(name).stands

    # -- walking ------------------------------------------------------------------------------------------------

    def checklist(self, name: str) -> CheckList:
        """A list with the boat's own changes."""
        found = LIBRARY.get(name, self.session.shelf.boats[self.slug])
        assert found is not None
        return found

    def save(self, walk: Walk, pending: Sequence[Pending]) -> Walk:
        """Append what is pending, one by one."""
        around = self.around()
        for one in pending:
            event = self.keep(one.what, one.data, run=one.run, happened=one.happened)
            walk = walking.saved(walk, event, around)
        return walk

    def begin(self, name: str, run: str | None = None) -> Walk:
        """Begin a list."""
        self.clock.advance(self.tick)
        return self.save(*walking.begin(self.checklist(name), self.around(), run))

    def answer(self, walk: Walk, typed: str) -> Walk:
        """Answer what is asked."""
        self.clock.advance(self.tick)
        return self.save(*walking.answer(walk, self.around(), typed))

    def right_answer(self, line: Line, step: Step, answers: Answers, walk: Walk) -> str:
        """The answer to a step: from ``answers`` by the place of the question, else the right choice."""
        around = self.around()
        mine = {**RIGHT.get(walk.checklist.list, {}), **BY_BOAT.get(self.slug, {}), **answers}
        held = mine.get(line.id)
        question = step.question
        if held is not None and (step.member is None or question.kind is Kind.VALUE):
            parts = (held,) if isinstance(held, str) else tuple(held)
            place = len(walk.partial) if walk.partial_line == line.id else 0
            return parts[min(place, len(parts) - 1)]
        if question.kind is Kind.CHOICE:
            return around.word(question.want[0]) or "" if question.want else question.of[0]
        if question.kind is Kind.TEXT:
            return (around.word(question.want[0]) or "words") if question.want else "words"
        if question.kind is Kind.COUNT:
            return str(len(around.words_at(question.of[0]) or ()))
        if question.kind is Kind.WORDS:
            return "bone dry"
        if question.kind in (Kind.VALUE, Kind.HOLD):
            return "" if question.optional else "1"
        return ""

    def walk(
        self, name: str, answers: Answers | None = None, run: str | None = None,
        until: str = "", asked: list[str] | None = None,
    ) -> Walk:  # fmt: skip
        """Walk a list to its end, or to a line; ``asked`` collects the lines in the order they were asked."""
        return self.go_on(self.begin(name, run), answers, until, asked)

    def go_on(
        self, walk: Walk, answers: Answers | None = None, until: str = "",
        asked: list[str] | None = None,
    ) -> Walk:  # fmt: skip
        """The same from where a walk stands."""
        for _ in range(400):
            now = walking.asked_now(walk, self.around())
            if now is None:
                return walk
            line, step = now
            if line.id == until:
                return walk
            if asked is not None and (not asked or asked[-1] != line.id):
                asked.append(line.id)
            if step.part == "end":
                self.clock.advance(step.question.seconds)
            walk = self.answer(walk, self.right_answer(line, step, answers or {}, walk))
        raise AssertionError(f"the walk does not end; asked last: {current(walk, self.around())}")

    def launch(
        self, walk: Walk, words: str = "ready to dive", because: Mapping[str, str] | None = None
    ) -> Walk:
        """The person's call."""
        self.clock.advance(self.tick)
        return self.save(*call(walk, self.around(), words, because))

    def resume(self, name: str, run: str | None = None) -> Walk | None:
        """Rebuild a walk from the log."""
        return walking.resume(self.checklist(name), self.around(), run)

    def asked(self, walk: Walk) -> list[str]:
        """Ids of the lines still to be asked."""
        return [one.line.id for one in line_states(walk, self.around()) if one.asked]

    def wait(self, **span: float) -> None:
        """Let time pass."""
        self.clock.advance(timedelta(**span).total_seconds())

    def kinds(self, since: int = 0) -> list[str]:
        """Kinds of event in the log, from one on."""
        return [event.what for event in self.events[since:]]
