"""What all pages share: the session, the boat in hand, the moment, and limits kept until something changes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from divelog.history.defects import overruled_now
from divelog.journal.events import Event
from divelog.limits.catalogue import Keeper
from divelog.limits.model import Limit
from divelog.limits.sensitivity import Gain, measure_next
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Document, Fact
from divelog.profiles.facts import Facts, plain_value
from divelog.proofs import ProofReport
from divelog.session.day import day_event, plan_event, with_facts
from divelog.session.planning import pack_data, trim_data
from divelog.session.session import Asked, Session


class Desk:
    """State of the screens. Everything here can be made again from the session."""

    def __init__(self, session: Session, slug: str | None = None, *, read_only: str = "") -> None:
        self.session = session
        self.slug = slug
        self.read_only = read_only
        """Why nothing can be kept, or an empty text."""
        self.date_said: date | None = None
        """The date somebody said yes to."""
        self.draft: dict[str, Fact] = {}
        """Facts of the day that are being typed: limits move with them, nothing is kept yet."""
        self._limits: dict[tuple[Any, ...], tuple[Limit, ...]] = {}
        self._keepers: dict[str, Keeper] = {}
        self._sheets: dict[tuple[Any, ...], Sheet] = {}
        self._next: dict[tuple[Any, ...], tuple[Gain, ...]] = {}

    # -- the moment, the boat -----------------------------------------------------------------------------------

    def now(self) -> datetime:
        """The moment, by the session's clock."""
        return self.session.clock.now()

    def choose(self, slug: str) -> None:
        """Take a boat in hand."""
        self.slug = slug
        self.draft = {}

    @property
    def boats(self) -> tuple[str, ...]:
        """Slugs of all boats, by name."""
        return tuple(self.session.shelf.boats)

    def document(self, slug: str | None = None) -> Document:
        """A boat's profile; raises KeyError where there is none."""
        return self.session.shelf.boats[slug or self._need()]

    def _need(self) -> str:
        if self.slug is None:
            raise KeyError("no boat in hand")
        return self.slug

    def name(self, slug: str | None = None) -> str:
        """A boat's name in capitals; her slug where her file has none."""
        slug = slug or self.slug
        if slug is None:
            return "Boats"
        return (self.document(slug).text_at("name") or slug).upper()

    # -- the day ------------------------------------------------------------------------------------------------

    def asked(self, slug: str | None = None) -> Asked:
        """The question limits answer now: this boat, this day with what is being typed, this moment."""
        slug = slug or self._need()
        now = self.now()
        return Asked(slug, self.document(slug), self.day(slug), None, now)

    def day(self, slug: str | None = None) -> Document:
        """The day in force for a boat, with the draft over it. Only a day opened today counts as today's water."""
        slug = slug or self._need()
        day = self.session.today(slug, self.now())
        if self.draft:
            day = with_facts(day, self.draft, slug)
        return day

    def day_is_open(self, slug: str | None = None) -> bool:
        """True where today's date has a day opened in the log."""
        opened = self.last_of("day.opened", slug)
        return opened is not None and opened.local.date() == self.now().date()

    def last_of(self, what: str, slug: str | None = None) -> Event | None:
        """The newest event of a kind in a boat's log."""
        for event in reversed(self.session.log(slug or self._need()).events):
            if event.what == what:
                return event
        return None

    def site(self, slug: str | None = None) -> Document:
        """The site of the day."""
        return self.facts(slug).site

    # -- worked out ---------------------------------------------------------------------------------------------

    def _token(self, slug: str) -> tuple[Any, ...]:
        log = self.session.log(slug)
        now = self.now()
        newest = log.events[-1].id if log.events else ""
        draft = tuple(sorted((path, repr(fact.value)) for path, fact in self.draft.items()))
        minute = now.replace(second=0, microsecond=0)
        return (
            slug,
            self.document(slug).digest,
            self.session.shelf.kit.digest,
            len(log.events),
            newest,
            draft,
            minute,
        )

    def facts(self, slug: str | None = None) -> Facts:
        """All facts of a boat on the day."""
        return self.sheet(slug).facts

    def sheet(self, slug: str | None = None) -> Sheet:
        """The working sheet of a boat, kept until a fact, an event or the minute changes."""
        slug = slug or self._need()
        token = self._token(slug)
        if token not in self._sheets:
            if len(self._sheets) > 8:
                self._sheets.clear()
                self._limits.clear()
            self._sheets[token] = self.session.sheet(self.asked(slug))
        return self._sheets[token]

    def limits(self, slug: str | None = None) -> tuple[Limit, ...]:
        """All limits of a boat on the day."""
        slug = slug or self._need()
        token = self._token(slug)
        if token not in self._limits:
            keeper = self._keepers.setdefault(slug, Keeper())
            self._limits[token] = keeper.work_out(self.sheet(slug))
        return self._limits[token]

    def limit(self, key: str, item: str | None = None, slug: str | None = None) -> Limit | None:
        """One limit; the first item where none is named."""
        for one in self.limits(slug):
            if one.key == key and (item is None or one.item == item):
                return one
        return None

    def measure_next(self, slug: str | None = None) -> tuple[Gain, ...]:
        """The three measurements that would buy most; empty while something is being typed."""
        if self.draft:
            return ()
        slug = slug or self._need()
        token = self._token(slug)
        if token not in self._next:
            if len(self._next) > 8:
                self._next.clear()
            self._next[token] = measure_next(self.sheet(slug), self.limits(slug))
        return self._next[token]

    def pack(self, slug: str | None = None) -> str:
        """The pack in the plan, else the first she has; empty where she has none. A stranger may have named it."""
        sheet = self.sheet(slug)
        return sheet.word("plan.pack") or next(iter(sheet.texts("power.drive_packs")), "")

    def proofs(self, slug: str | None = None) -> ProofReport:
        """How every proof of a boat stands now."""
        slug = slug or self._need()
        enclosed = plain_value(self.facts(slug).site.value("kind")) in ("pool", "tank")
        pack = self.sheet(slug).word("plan.pack") or ""
        return self.session.proofs(slug, self.document(slug), self.now(), enclosed, pack)

    def overruled(self, slug: str | None = None) -> Mapping[str, str]:
        """Reasons said today why a defect does not stop the next launch, by the defect's event."""
        return overruled_now(self.session.log(slug or self._need()).events, self.now().date())

    # -- keeping ------------------------------------------------------------------------------------------------

    def keep(
        self, what: str, data: Mapping[str, Any] | None = None, *, slug: str | None = None, run: str | None = None,
        happened: str | None = None, everybody: bool = False,
    ) -> Event:  # fmt: skip
        """Append one event for the boat in hand (or for every boat); on disk when this returns."""
        boat = None if everybody else slug or self._need()
        return self.session.append(what, data, boat=boat, run=run, happened=happened)

    def keep_day(self) -> Event:
        """Keep the day as it stands with the draft: ``day.opened`` for every boat."""
        slug = self._need()
        day = self.day(slug)
        event = self.keep("day.opened", {**day_event(day.facts), **self._water(day)}, everybody=True)
        self.draft = {path: fact for path, fact in self.draft.items() if path.startswith("plan[")}
        return event

    def _water(self, day: Document) -> dict[str, str]:
        slug = day.text_at("site")
        site = self.session.shelf.sites.get(slug)
        return {"water": site.text_at("water")} if site is not None else {}

    def keep_plan(self) -> Event:
        """Keep the plan of the boat in hand with the draft: ``plan.set`` with what judges her trim."""
        slug = self._need()
        day = self.day(slug)
        entry = self.facts(slug).plan_id()
        data = plan_event(day.facts, entry)
        facts = self.facts(slug)
        data.update(trim_data(self.limits(slug), facts))
        data.update(pack_data(self.session.log(slug).events, facts, slug, data.get("pack")))
        event = self.keep("plan.set", data)
        self.draft = {path: fact for path, fact in self.draft.items() if not path.startswith("plan[")}
        return event
