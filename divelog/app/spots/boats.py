"""Boats: where each one stands, what is to prove, and the date to say yes to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from divelog.app.frames import clock_words, framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status
from divelog.app.opening import BOATS_FIRST, BOATS_SECOND
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.checks.standing import paused_words
from divelog.clock import day_month
from divelog.proofs import ProofReport, State
from divelog.text import shown

STOPPED = "NOT TO LAUNCH"
OVERRULED = "DEFECT OVERRULED"
DEFECTS = Key("x", "defects")
FILES = Key("f", "files")
A_SCREEN = 4
"""Boats on one page at 80 x 24, with their reasons."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where one boat stands, in words."""

    slug: str
    name: str
    status: Status
    words: str
    pack: str
    reasons: tuple[str, ...]
    loud: bool = False


class Boats(Spot):
    """The start page."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.top = 0
        self.focus: int | None = None

    def enter(self) -> None:
        """Start from the boat in hand."""
        boats = self.desk.boats
        self.focus = boats.index(self.desk.slug) if self.desk.slug in boats else (0 if boats else None)

    @property
    def to_confirm(self) -> bool:
        """True while nobody has said today that the date is right."""
        return self.desk.date_said != self.desk.now().date()

    def standings(self) -> tuple[Standing, ...]:
        """Every boat, in order."""
        return tuple(standing(self, slug) for slug in self.desk.boats)

    def draw(self, layout: Layout) -> Page:
        """The list; each boat with up to two reasons under her."""
        a_page = A_SCREEN if layout.gauge is not None else 3
        if layout.height > 30:
            a_page = 8
        entries = []
        row = 0
        standings = self.standings()
        stopped = any(one.words in (STOPPED, OVERRULED) for one in standings)
        chosen = list(enumerate(standings))[self.top : self.top + a_page]
        for index, one in chosen:
            entry = rows.Entry(
                one.name, one.words, one.pack, one.status, number=str(index + 1 - self.top), under=one.reasons[:2],
                strong=True, loud=one.loud,
            )  # fmt: skip
            block = one.status is Status.OUTSIDE and not any(
                o.status is Status.OUTSIDE for _, o in chosen[: index - self.top]
            )
            entries.append(rows.entry(layout, row, entry, focused=index == self.focus, block=block))
            row += 2 + len(one.reasons[:2])
        left = len(self.desk.boats) - self.top - a_page
        blocks = [Block(joined(entries), row=4 if len(entries) < A_SCREEN else 3, rank=KEPT)]
        if not self.desk.boats:
            text = f"No boat yet in {self.desk.session.home.boats}. Press + for a new one: ten questions, five minutes."
            blocks = [Block(answers.sentence(layout, 0, shown(text)), row=4, rank=KEPT)]
        elif left > 0:
            blocks.append(Block(answers.sentence(layout, 0, f"and {left} more: page down"), row=19, rank=3))
        if self.desk.read_only:
            blocks.append(
                Block(
                    answers.note(layout, 0, "Read only", shown(self.desk.read_only), loud=True),
                    row=20,
                    rank=8,
                )
            )
        elif self.to_confirm:
            blocks.append(
                Block(
                    answers.sentence(layout, 0, "Is the date right? Enter says yes, once a day."),
                    row=20,
                    rank=7,
                )
            )
        faults = self.desk.session.shelf.faults
        if faults and not self.to_confirm:
            words = shown(faults[0].sentence())
            blocks.append(Block(answers.note(layout, 0, "Fault", words), row=20, rank=6))
        return framed(
            self, layout, blocks, boat="Boats", place=_site_name(self), what=_water_words(self), year=True,
            first=BOATS_FIRST[:4], second=(*BOATS_SECOND[:3], DEFECTS if stopped else FILES),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit takes a boat; Enter says the date is right."""
        boats = self.desk.boats
        if key == "enter":
            if self.to_confirm:
                self.desk.date_said = self.desk.now().date()
            elif self.focus is not None and boats:
                self._take(boats[self.focus])
            return True
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < len(boats):
                self._take(boats[index])
            return True
        if key in ("down", "up") and boats:
            step = 1 if key == "down" else -1
            self.focus = min(max((self.focus or 0) + step, 0), len(boats) - 1)
            self.top = (
                min(self.top, self.focus)
                if self.focus < self.top
                else max(self.top, self.focus - A_SCREEN + 1)
            )
            return True
        if key == "pagedown" and self.top + A_SCREEN < len(boats):
            self.top += A_SCREEN
            return True
        if key == "pageup":
            self.top = max(0, self.top - A_SCREEN)
            return True
        if key == "+":
            self.shell.below("new boat")
            return True
        if key == "f":
            self.shell.below("files")
            return True
        if key == "h":
            self.shell.below("hand over")
            return True
        if key == "g":
            self.shell.below("log of all")
            return True
        if key == "k":
            self.shell.below("upkeep of all")
            return True
        if key == "x":
            return self._defects()
        return key in ("a",)

    def _defects(self) -> bool:
        """Open the defects of the boat in focus, or of the first that may not launch."""
        boats = self.desk.boats
        ahead = boats[self.focus :] + boats[: self.focus] if self.focus is not None else boats
        slug = next(
            (one for one in ahead if not self.desk.document(one).faults and self.desk.proofs(one).defects),
            None,
        )
        if slug is None:
            return False
        self.shell.change_boat(slug)
        self.shell.below("defects")
        return True

    def _take(self, slug: str) -> None:
        self.shell.change_boat(slug)
        if self.desk.document(slug).faults:
            self.shell.below("faults")
        else:
            self.shell.go(Place.LIMITS)


def standing(spot: Spot, slug: str) -> Standing:
    """Where a boat stands: not to launch, paused, to prove, or nothing open."""
    desk = spot.desk
    document = desk.document(slug)
    name = desk.name(slug)
    if document.faults:
        fault = document.faults[0]
        words = f"line {fault.line}: {fault.path or 'the file'}"
        return Standing(
            slug,
            name,
            Status.OUTSIDE,
            "FAULT IN HER FILE",
            "",
            (shown(words), shown(f"found {fault.found}")),
            True,
        )
    report = desk.proofs(slug)
    pack = pack_words(spot, slug, report)
    run = launched(spot, slug)
    if run is not None:
        return Standing(slug, name, Status.TO_PROVE, "A RUN IS ON", pack, (run, "Run, or 4 in places"), True)
    if report.defects:
        return _stopped(spot, slug, name, report, pack)
    open_count = sum(
        1 for p in report.proofs if p.required and p.state in (State.TO_PROVE, State.NEVER, State.CLAIMED)
    )
    paused = paused_words(desk.session.log(slug).events, desk.now())
    if paused:
        return Standing(
            slug,
            name,
            Status.TO_PROVE,
            shown(paused[0]),
            pack,
            (f"{open_count} to prove before launch", *paused[1:]),
        )
    if open_count == 0:
        return Standing(slug, name, Status.WITHIN, "nothing to prove", pack, ())
    return Standing(
        slug,
        name,
        Status.TO_PROVE,
        state_words(report),
        pack,
        (f"{open_count} to prove before launch", newest_cause(report)),
    )


def _stopped(spot: Spot, slug: str, name: str, report: ProofReport, pack: str) -> Standing:
    """A boat with a defect that stops her: not to launch, or overruled for the next launch, and why."""
    said = spot.desk.overruled(slug)
    words = [f"{d.what}, {day_month(d.since)}" for d in report.defects]
    if all(d.event in said for d in report.defects):
        reasons = (words[0], f"overruled: {said[report.defects[0].event]}")
        return Standing(slug, name, Status.OUTSIDE, OVERRULED, pack, tuple(shown(r) for r in reasons), True)
    return Standing(slug, name, Status.OUTSIDE, STOPPED, pack, tuple(shown(r) for r in words[:2]), True)


def state_words(report: ProofReport) -> str:
    """What of her stands: closed up, dry test done …"""
    found = []
    if report.get("closed").stands:
        found.append("closed up")
    if report.get("dry_short").stands or report.get("dry_long").stands:
        found.append("dry test done")
    if report.dry_depth is not None and not found:
        found.append(f"dry at {report.dry_depth:.1f} m")
    return ", ".join(found) or "to be proved"


def newest_cause(report: ProofReport) -> str:
    """The newest thing that was undone, in plain words."""
    spent = [p for p in report.proofs if p.state is State.TO_PROVE and p.since is not None and p.because]
    if not spent:
        return ""
    newest = max(spent, key=lambda p: p.since or datetime.min)
    return shown(f"to prove again: {newest.because}")


def pack_words(spot: Spot, slug: str, report: ProofReport) -> str:
    """The pack in use and how it stands."""
    sheet = spot.desk.sheet(slug)
    pack = spot.desk.pack(slug)
    if not pack:
        return ""
    if pack in sheet.observed.charged_full:
        return shown(f"{pack} charged")
    return shown(f"{pack} proved" if report.get(f"pack:{pack}").stands else f"{pack} to charge")


def launched(spot: Spot, slug: str) -> str | None:
    """Since when a run is on, in words."""
    out = spot.shell.watch.out(slug)
    return None if out is None else f"launched {clock_words(out.start.local)}"


def _site_name(spot: Spot) -> str:
    desk = spot.desk
    slug = desk.slug or (desk.boats[0] if desk.boats else None)
    if slug is None:
        return ""
    return shown(desk.site(slug).text_at("name")) if desk.day_is_open(slug) else "no day yet"


def _water_words(spot: Spot) -> str:
    desk = spot.desk
    slug = desk.slug or (desk.boats[0] if desk.boats else None)
    if slug is None or not desk.day_is_open(slug):
        return ""
    sheet = desk.sheet(slug)
    temperature = sheet.maybe("today.water.temperature")
    kind = (sheet.word("site.water") or "").replace("_", " ")
    return f"{kind}, {temperature.si - 273.15:.0f} degC" if temperature is not None else kind
