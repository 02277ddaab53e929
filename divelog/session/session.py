"""A home, opened: its files, its log, the day, and everything worked out from them. The only keeper of state.

Screens and commands ask a session; it asks the pure layers below. What it holds can be thrown away and made again from
the files and the journal at any moment.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from operator import attrgetter
from types import MappingProxyType
from typing import Any, TypeVar

from divelog.calibration.measured import SETS, measured_facts, readings_today
from divelog.calibration.model import Observed, Parts
from divelog.calibration.observed import Learnt, learn, teaches
from divelog.clock import Clock
from divelog.files import DISK, Disk, StorageError
from divelog.home import Home
from divelog.journal.events import Event
from divelog.journal.loading import LoadedJournal, load, load_files
from divelog.journal.merging import in_order
from divelog.journal.writing import Journal
from divelog.limits import catalogue
from divelog.limits.model import Limit
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Document, Fact, Num
from divelog.profiles.facts import Facts, empty_document, plain_value
from divelog.proofs import ProofReport, Question, fitted_proofs, fold_proofs
from divelog.proofs.fold import rules_of, settle
from divelog.proofs.settled import Settled
from divelog.proofs.table import DAY, BoatFacts
from divelog.session.day import day_facts, fact_of, plan_facts, today_document
from divelog.session.resolve import find_site
from divelog.session.shelf import Shelf, read_shelf

T = TypeVar("T")


@dataclass(frozen=True)
class Asked:
    """What limits are asked for: the boat, the day and the moment."""

    slug: str
    boat: Document
    today: Document | None
    site: str | None
    at: datetime
    history: bool = True


_OF_THE_DAY = ("day.opened", "plan.set", "closed", "opened")


_BEARS: Mapping[str, Callable[[Event], bool]] = MappingProxyType(
    {"learnt": teaches, "measured": lambda event: event.what in SETS}
)
"""Whether an event at the end of a log changes what was folded for a question; any event may change the others."""


class Session:
    """One home in use. ``journal`` is None where the home can only be read."""

    def __init__(
        self, home: Home, clock: Clock, shelf: Shelf, journal: Journal | None = None, disk: Disk = DISK
    ) -> None:
        self.home, self.clock, self.shelf, self.journal, self.disk = home, clock, shelf, journal, disk
        self._logs: dict[str, LoadedJournal] = {}
        self._notices: list[str] = []
        self._folded: dict[tuple[object, ...], tuple[tuple[LoadedJournal, ...], Any]] = {}
        """What was folded from logs, by the question, with the logs as they stood."""
        self._settled: dict[str, Settled | None] = {}
        """What the fold of proofs keeps of each boat's long past; None after her first fold, which needs none."""
        self._facts: dict[str, tuple[tuple[object, ...], BoatFacts]] = {}
        """What the fold of proofs must know of each boat, with the documents it was worked out from."""

    @classmethod
    def reading(cls, home: Home, clock: Clock, shelf: Shelf | None = None, disk: Disk = DISK) -> Session:
        """A session that only reads."""
        return cls(home, clock, shelf if shelf is not None else read_shelf(home, disk), None, disk)

    @property
    def notices(self) -> list[str]:
        """Sentences a person must read: reports of the journal, taken once."""
        taken, self._notices = self._notices, []
        if self.journal is not None:
            taken.extend(self.journal.take_notices())
        return taken

    # -- the log ------------------------------------------------------------------------------------------------

    def log(self, slug: str) -> LoadedJournal:
        """The log of one boat with the events of no boat; read once, then kept up by ``append``."""
        if slug not in self._logs:
            try:
                self._logs[slug] = load(self.home, slug, self.disk)
            except StorageError as error:
                self._notices.append(str(error))
                self._logs[slug] = load_files({}, slug)
            self._notices.extend(str(report) for report in self._logs[slug].reports)
        return self._logs[slug]

    def append(
        self, what: str, data: Mapping[str, Any] | None = None, *, boat: str | None = None, run: str | None = None,
        happened: str | None = None,
    ) -> Event:  # fmt: skip
        """Append one event; returns only when it is on disk. StorageError means it is not kept."""
        if self.journal is None:
            raise ReadOnlyError("the home cannot be written; nothing is kept")
        event = self.journal.append(what, dict(data or {}), boat=boat, run=run, happened=happened)
        for slug in list(self._logs):
            if boat is None or slug == boat:
                was = self._logs[slug]
                self._logs[slug] = was.plus(event)
                self._carry(was, self._logs[slug], event)
        self._folded = {key: kept for key, kept in self._folded.items() if self._as_they_stand(kept[0])}
        return event

    def _carry(self, was: LoadedJournal, log: LoadedJournal, event: Event) -> None:
        """Keep what was folded where an event at the end of a log has no say in it: most answers of a walk have none."""
        if len(log.events) != len(was.events) + 1 or log.events[-1] is not event:
            return
        for key, (logs, found) in list(self._folded.items()):
            bears = _BEARS.get(str(key[0]))
            if bears is None or bears(event) or key[1] != (0,) * len(logs):
                continue  # with events still ahead, what was folded says nothing of a later moment
            if any(each is was for each in logs):
                self._folded[key] = (tuple(log if each is was else each for each in logs), found)

    def _as_they_stand(self, logs: tuple[LoadedJournal, ...]) -> bool:
        """Whether logs are still those in use; others are let go, since a long one takes much room."""
        return all(any(log is mine for mine in self._logs.values()) for log in logs)

    def forget(self) -> None:
        """Read files and log anew at the next question."""
        self.shelf = read_shelf(self.home, self.disk)
        self._logs.clear()
        self._folded.clear()
        self._settled.clear()

    # -- the day ------------------------------------------------------------------------------------------------

    def today(self, slug: str, at: datetime) -> Document:
        """The day in force at a moment, out of the log: the newest day opened, and the newest plan of this boat."""
        newest: dict[str, Event] = {}
        for event in reversed(self.log(slug).events):
            if event.known and event.what in _OF_THE_DAY and event.boat in (None, slug) and event.at <= at:
                newest.setdefault("closure" if event.what in ("opened", "closed") else event.what, event)
                if len(newest) == len(_OF_THE_DAY) - 1:
                    break
        facts: dict[str, Fact] = {}
        opened, plan, closure = (newest.get(what) for what in ("day.opened", "plan.set", "closure"))
        if opened is not None:
            facts.update(day_facts(opened.payload(), opened.local.date().isoformat()))
        if plan is not None:
            facts.update(plan_facts(plan.payload(), slug, plan.local.date().isoformat()))
        if closure is not None and closure.what == "closed":
            on = closure.local.date().isoformat()
            air = fact_of(f"today.closed.{slug}", closure.payload().get("air_temperature"), on)
            if air is not None:  # once she is opened nobody knows the air she holds
                facts[f"closed.{slug}"] = air
        return today_document(facts, (slug,) if plan is not None else ())

    # -- facts, proofs, limits ----------------------------------------------------------------------------------

    def facts(self, asked: Asked) -> Facts:
        """Facts of a boat on a day, with what the log has measured."""
        today = asked.today if asked.today is not None else self.today(asked.slug, asked.at)
        site_name = asked.site or today.text_at("site")
        site = find_site(site_name, self.shelf) if site_name else empty_document("site")
        plain = Facts(asked.boat, self.shelf.kit, site, today, self.shelf.settings, asked.slug)
        if not asked.history:
            return plain
        return plain.with_measured(self._measured(asked, plain))

    def _once(self, slugs: tuple[str, ...], *asked: object, work: Callable[[], T]) -> T:
        """Fold logs once for a question, until one of them changes."""
        key = (*asked, *slugs)
        logs = tuple(self.log(slug) for slug in slugs)
        kept = self._folded.get(key)
        if kept is None or any(was is not log for was, log in zip(kept[0], logs, strict=True)):
            if len(self._folded) > 64:
                self._folded.clear()
            kept = self._folded[key] = (logs, work())
        found: T = kept[1]
        return found

    def _measured(self, asked: Asked, plain: Facts) -> dict[str, Fact]:
        """Facts out of the log, folded once a day; what short paths mean there is what they mean today."""
        ahead = self._ahead(asked.slug, asked.at)

        def work() -> dict[str, Fact]:
            events = self.log(asked.slug).events
            return measured_facts(plain, events[: len(events) - ahead], asked.at.date())

        return self._once((asked.slug,), "measured", (ahead,), asked.at.date(), plain.meant, work=work)

    def _ahead(self, slug: str, at: datetime) -> int:
        """How many events of a log took place after a moment: they stand at its end, and mostly there is none."""
        count, moment = 0, at.timestamp()
        for event in reversed(self.log(slug).events):
            if event.seconds <= moment:
                break
            count += 1
        return count

    def proofs(
        self, slug: str, boat: Document, at: datetime, enclosed: bool = False, pack: str = ""
    ) -> ProofReport:
        """How every proof of a boat stands at a moment; ``pack`` is the one in the plan."""
        # A moment away from the clock's was named by a person: spans and doubts of the clock do not apply to it.
        named = abs((self.clock.now() - at).total_seconds()) > 60
        facts = self._boat_facts(slug, boat, enclosed, pack)
        moment = at if named else _minute(at)

        def work() -> ProofReport:
            question = Question(at, named=True) if named else Question(at, self.clock.up(), self.clock.boot)
            events = self.log(slug).events
            return fold_proofs(events, facts, question, self._past_of(slug, events, facts))

        return self._once((slug,), "proofs", moment, named, facts, work=work)

    def _past_of(self, slug: str, events: Sequence[Event], facts: BoatFacts) -> Settled | None:
        """The settled past of a boat; one who only reads pays for it from the second fold on."""
        if slug not in self._settled and self.journal is None:
            self._settled[slug] = None
            return None
        kept = self._settled.get(slug)
        if kept is None or kept.rules != rules_of(facts) or not kept.holds(events):
            kept = self._settled[slug] = settle(events, facts)
        return kept

    def _boat_facts(self, slug: str, boat: Document, enclosed: bool, pack: str) -> BoatFacts:
        """What the fold must know of a boat, worked out anew where her file, the kit or the settings are others."""
        key = (boat, self.shelf.kit, self.shelf.settings, enclosed)
        kept = self._facts.get(slug)
        if kept is None or any(a is not b for a, b in zip(kept[0], key, strict=True)):
            kept = self._facts[slug] = (key, boat_facts(boat, self.shelf, slug, enclosed))
        return replace(kept[1], packs=(pack,)) if pack else kept[1]

    def observed(self, asked: Asked, enclosed: bool = False) -> Observed:
        """What the log teaches at a moment; learnt once a day, and anew after every event."""
        if not asked.history:
            return Observed()
        shared = self._sharing(asked.slug, asked.boat)
        receivers = self._receiver_packs(asked.slug, asked.boat)

        def learnt() -> Learnt:
            events = self.log(asked.slug).events
            packs = None if not shared else in_order(
                {e.id: e for slug in (asked.slug, *shared) for e in self.log(slug).events}.values()
            )  # fmt: skip
            parts = parts_of(asked.boat, self.shelf.kit, receivers)
            return learn(events, asked.at.timestamp(), parts, packs, asked.at.date())

        digests = (
            asked.boat.digest, self.shelf.kit.digest, self.shelf.settings.digest, tuple(sorted(receivers.items())),
        )  # fmt: skip
        slugs = (asked.slug, *shared)
        ahead = tuple(self._ahead(slug, asked.at) for slug in slugs)

        def work() -> Observed:
            found = self._once(slugs, "learnt", ahead, asked.at.date(), digests, work=learnt)
            return found.at(asked.at.timestamp(), self.proofs(asked.slug, asked.boat, asked.at, enclosed))

        return self._once(slugs, "observed", _minute(asked.at), enclosed, digests, work=work)

    def _receiver_packs(self, slug: str, boat: Document) -> dict[str, str]:
        """The receiver's own pack of every boat that has one."""
        boats = {**self.shelf.boats, slug: boat}
        packs = {name: found.text_at("power.receiver_pack") for name, found in boats.items()}
        return {name: pack for name, pack in packs.items() if pack not in ("", "from drive")}

    def _sharing(self, slug: str, boat: Document) -> tuple[str, ...]:
        """Other boats that use a pack of this one: a pack they ran down is not full here."""
        mine = {*boat.texts_at("power.drive_packs"), boat.text_at("power.receiver_pack")} - {"", "from drive"}
        return tuple(
            other
            for other, found in self.shelf.boats.items()
            if other != slug
            and mine & {*found.texts_at("power.drive_packs"), found.text_at("power.receiver_pack")}
        )

    def sheet(
        self, asked: Asked, facts: Facts | None = None, readings: Mapping[tuple[str, str], Num] | None = None,
        answers: Mapping[tuple[str, str], str] | None = None,
    ) -> Sheet:  # fmt: skip
        """A working sheet, with readings answered in this outing beside those given."""
        facts = facts if facts is not None else self.facts(asked)
        enclosed = plain_value(facts.site.value("kind")) in ("pool", "tank")
        numbers: dict[tuple[str, str], Num] = {}
        words: dict[tuple[str, str], str] = {}
        if asked.history:
            midnight = asked.at.replace(hour=0, minute=0, second=0, microsecond=0).timestamp()
            taken = self._once(
                (asked.slug,),
                "readings",
                midnight,
                work=lambda: readings_today(_since(self.log(asked.slug).events, midnight), midnight),
            )
            numbers, words = dict(taken[0]), dict(taken[1])
        numbers.update(readings or {})
        words.update(answers or {})
        return Sheet(facts, self.observed(asked, enclosed), numbers, asked.at, words)

    def limits(self, asked: Asked, facts: Facts | None = None) -> tuple[Limit, ...]:
        """All limits of a boat on a day."""
        return catalogue.work_out(self.sheet(asked, facts))


def _since(events: Sequence[Event], moment: float) -> Sequence[Event]:
    """Events in order of time from a moment on (UTC seconds)."""
    return events[bisect_left(events, moment, key=attrgetter("seconds")) :]


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


_NO_PACKS: Mapping[str, str] = MappingProxyType({})


def parts_of(boat: Document, kit: Document, receiver_packs: Mapping[str, str] = _NO_PACKS) -> Parts:
    """What of a boat and her kit decides how the log's readings are taken; ``receiver_packs`` by boat, of all boats."""
    chemistry = {pack: kit.text_at(f"pack[{pack}].chemistry") for pack in kit.entries.get("pack", ())}
    seals = boat.entries.get("seal", ())
    moving = frozenset(seal for seal in seals if boat.value(f"seal[{seal}].moves") is not False)
    load = boat.value("power.test_load")
    return Parts(
        MappingProxyType(chemistry),
        moving if seals else None,
        load.si if isinstance(load, Num) else None,
        MappingProxyType(dict(receiver_packs)),
    )


class ReadOnlyError(Exception):
    """The home cannot be written."""


def boat_facts(boat: Document, shelf: Shelf, slug: str, enclosed: bool = False, pack: str = "") -> BoatFacts:
    """What the fold of proofs must know of a boat; ``pack`` is the one in the plan."""
    plain = Facts(boat, shelf.kit, empty_document("site"), empty_document("today"), shelf.settings, slug)
    sheet = Sheet(plain)
    triggers = sheet.ids("failsafe")
    known = bool(boat.facts)
    keeper, sensor = sheet.word("controls.level_keeper"), sheet.word("boat.depth_sensor")
    inside = sheet.flag("ballast.inside_cylinder")
    plug, short = sheet.flag("cylinder.vent_plug"), sheet.word("cylinder.short_test")
    joints = sheet.texts("power.joints")
    fitted = fitted_proofs(
        level_keeper=None if keeper is None else keeper == "fitted",
        leak_probe="leak" in triggers if known else None,
        depth_sensor=sensor == "fitted",
        ballast=sheet.word("ballast.kind"),
        inside_cylinder=inside,
        dry_test=None if plug is None and short is None else bool(plug) or short == "immersion",
        joints=None if sheet.fact("power.joints") is None else bool(joints),
    )
    packs = (pack,) if pack else sheet.texts("power.drive_packs")[:1]
    bottle = sheet.word("ballast.gas.bottle")
    memories = sheet.flag("radio.memories")
    materials = [
        sheet.word("cylinder.material"),
        *(sheet.word(f"cap[{c}].material") for c in sheet.ids("cap")),
    ]
    return BoatFacts(
        fitted=fitted,
        packs=packs,
        bottles=(bottle,) if bottle else (),
        many_memories=memories is not False,
        printed="printed" in materials,
        season=_season(sheet.word("settings.season_start")),
        shorter=_shorter(boat),
        enclosed_site=enclosed,
    )


def _season(text: str | None) -> tuple[int, int]:
    months = (
        "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
        "december",
    )  # fmt: skip
    parts = (text or "").lower().split()
    if len(parts) == 2 and parts[0].isdecimal() and parts[1] in months and 1 <= int(parts[0]) <= 28:
        return months.index(parts[1]) + 1, int(parts[0])
    return 3, 1


def _shorter(boat: Document) -> tuple[tuple[str, float | None, int | None], ...]:
    """Periods of the boat's own ``[upkeep]`` for proofs, as ``dry_long = "14 d or 5 runs"``."""
    value = boat.value("upkeep")
    rows = []
    for pair in value if isinstance(value, tuple) else ():
        if not isinstance(pair, tuple):
            continue
        name, text = pair
        seconds: float | None = None
        runs: int | None = None
        for part in str(text).split(" or "):
            words = part.split()
            if len(words) == 2 and len(words[0]) <= 9 and words[0].replace(".", "", 1).isdecimal():
                amount = float(words[0])
                if words[1] == "d":
                    seconds = amount * DAY
                elif words[1] == "h":
                    seconds = amount * 3600
                elif words[1] in ("run", "runs"):
                    runs = int(amount)
        rows.append((str(name), seconds, runs))
    return tuple(rows)
