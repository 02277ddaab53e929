"""``--plain``: a whole outing line by line, for screen readers and for terminals that cannot draw.

Choose a boat; then Enter takes the next step of the outing, and a number or a word takes any other: day and plan, limits,
the list before the dive, the run, the list after it, the log. Every answer is on disk before the next prompt, and the end
of the input is no fault: what was answered is kept, and the walk goes on from there.
"""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable

from divelog.app.look.layout import Place
from divelog.app.shell import Shell
from divelog.app.spots.boats import Boats
from divelog.app.spots.checks import AFTER, BEFORE, ORDER, Checks
from divelog.app.start import open_shell
from divelog.checks.after import run_to_close
from divelog.checks.shipped import title_of
from divelog.commands.plain_day import ask_day, say_limits
from divelog.commands.plain_pages import pages
from divelog.commands.plain_run import begin_run, in_run
from divelog.commands.plain_talk import EndedError, Talk
from divelog.commands.plain_walk import Lines
from divelog.exits import Exit
from divelog.files import StorageError
from divelog.history.folding import fold
from divelog.papers.sheets.figures import day_words
from divelog.session.session import ReadOnlyError
from divelog.text import shown

_STEPS = (
    "day and plan", "limits", "checks before the dive", "run", "list after the run", "other lists", "log",
    "another boat", "every page", "all limits",
)  # fmt: skip
_RUNS = 10


class _LeaveError(Exception):
    """The person wants to stop."""


def run_plain(words: Namespace) -> int:
    """The outing, line by line, until ``quit`` or the end of the input."""
    shell, journal = open_shell(words.where, words.clock)
    talk = Talk()
    try:
        _boats(shell, talk)
    except (EndedError, _LeaveError):
        pass
    except (StorageError, ReadOnlyError) as error:
        talk.say(f"X NOT KEPT  {shown(str(error), 300)}  <<<", "Everything before this answer is kept.")
        return Exit.NOT_WRITTEN
    finally:
        if journal is not None:
            journal.close()
    talk.say("Everything answered is kept.")
    return Exit.DONE


def _boats(shell: Shell, talk: Talk) -> None:
    """Where each boat stands, and which is taken in hand; for ever, until somebody leaves."""
    talk.say("Line by line: type a number or a word, then Enter. quit leaves.")
    while True:
        page = shell.spot(Place.BOATS)
        assert isinstance(page, Boats)
        now = shell.desk.now()
        talk.say("", f"Boats, {day_words(now)}, {now:%H:%M}")
        if shell.desk.read_only:
            talk.say(f"Read only: {shown(shell.desk.read_only, 300)}")
        for notice in shell.desk.session.notices:
            talk.say(shown(notice, 300))
        found = page.standings()
        for number, one in enumerate(found, 1):
            told = ", ".join(part for part in (one.words, one.pack, *one.reasons) if part)
            talk.say(f"{number} {' '.join(one.status.value)}  {shown(one.name)}: {told}")
        if not found:
            talk.say("No boat yet; pages makes one.")
        text = talk.ask("Which boat? A number or a name; pages; quit: ").strip().casefold()
        if text in ("quit", "q"):
            raise _LeaveError
        if text == "pages":
            pages(shell, talk)
            continue
        slug = next(
            (one.slug for n, one in enumerate(found, 1) if text in (str(n), one.slug, one.name.casefold())),
            None,
        )
        if slug is None:
            talk.say("Not taken: that is no boat here.")
            continue
        shell.change_boat(slug)
        if shell.desk.document().faults:
            talk.say(*(shown(fault.sentence(), 300) for fault in shell.desk.document().faults))
            continue
        _one_boat(shell, talk)


def _one_boat(shell: Shell, talk: Talk) -> None:
    """The steps of her outing, the next one first, until another boat is wanted."""
    talk.choices(_STEPS)
    while True:
        number = _next(shell)
        talk.say(
            "", f"{shell.desk.name()}. What next? Enter: {_STEPS[number]}; or a number or words; ? says them."
        )
        text = talk.ask(": ").strip().casefold()
        if text in ("?", "help"):
            talk.choices(_STEPS)
            continue
        if text in ("quit", "q"):
            raise _LeaveError
        if text:
            chosen = next((n for n, words in enumerate(_STEPS) if text in (str(n + 1), words)), None)
            if chosen is None:
                talk.say("Not taken: a number or the words of a step; quit leaves.")
                continue
            number = chosen
        if _STEPS[number] == "another boat":
            return
        _DO[_STEPS[number]](shell, talk)


def _next(shell: Shell) -> int:
    """The step that comes next in her outing."""
    desk = shell.desk
    events = desk.session.log(desk.slug or "").events
    out = shell.watch.out(desk.slug or "")
    if out is not None:
        return _STEPS.index("run")
    if run_to_close(events, desk.slug or "") is not None:
        return _STEPS.index("list after the run")
    plan = desk.last_of("plan.set")
    today = desk.now().date()
    if not desk.day_is_open() or plan is None or plan.local.date() != today:
        return _STEPS.index("day and plan")
    launch = shell.watch.before(desk.slug or "").launch
    if launch is not None and launch.local.date() == today:
        return _STEPS.index("run")
    return _STEPS.index("checks before the dive")


# -- the steps --------------------------------------------------------------------------------------------------------


def _day(shell: Shell, talk: Talk) -> None:
    only_plan = False
    if shell.desk.day_is_open():
        only_plan = (
            talk.ask("The day is open. Enter: her plan only; day: the water again: ").strip().casefold()
            != "day"
        )
    ask_day(shell, talk, only_plan)
    say_limits(shell, talk)


def _lines(shell: Shell, talk: Talk) -> Lines:
    checks = shell.spot(Place.CHECKS)
    assert isinstance(checks, Checks)
    return Lines(checks, talk)


def _before(shell: Shell, talk: Talk) -> None:
    desk = shell.desk
    if run_to_close(desk.session.log(desk.slug or "").events, desk.slug or "") is not None:
        talk.say("Not yet: the list after the run is open.")
        return
    lines = _lines(shell, talk)
    if lines.open(BEFORE) and lines.ask_all() and lines.launch():
        _run(shell, talk)


def _run(shell: Shell, talk: Talk) -> None:
    if begin_run(shell, talk) and in_run(shell, talk):
        _after(shell, talk)


def _after(shell: Shell, talk: Talk) -> None:
    desk = shell.desk
    run = run_to_close(desk.session.log(desk.slug or "").events, desk.slug or "")
    if run is None:
        talk.say("Every run of hers is answered.")
        return
    lines = _lines(shell, talk)
    if lines.open(AFTER, run) and lines.ask_all():
        talk.say("", "After the run: every line is answered.")
        _log(shell, talk)


def _others(shell: Shell, talk: Talk) -> None:
    names = [name for name in ORDER if name not in (BEFORE, AFTER)]
    talk.choices([title_of(name) for name in names])
    text = talk.ask("Which list? ").strip()
    if not (text.isascii() and text.isdecimal() and 1 <= int(text) <= len(names)):
        talk.say("Not taken: a number of these.")
        return
    lines = _lines(shell, talk)
    if lines.open(names[int(text) - 1]) and lines.ask_all():
        talk.say("Every line is answered.")


def _log(shell: Shell, talk: Talk) -> None:
    from divelog.commands.runs import runs_table

    desk = shell.desk
    slug = desk.slug or ""
    runs = [run for run in fold(desk.session.log(slug).events, desk.now()).runs if run.boat == slug]
    names = {each: doc.text_at("name") for each, doc in desk.session.shelf.boats.items()}
    sites = {each: doc.text_at("name") for each, doc in desk.session.shelf.sites.items()}
    talk.say("", f"Runs of {desk.name()}, newest first" if runs else "No run yet")
    for run in reversed(runs[-_RUNS:]):
        talk.say(*(" ".join(row.split()) for row in runs_table([(run, None)], names, sites)))


_DO: dict[str, Callable[[Shell, Talk], None]] = {
    "day and plan": _day,
    "limits": say_limits,
    "checks before the dive": _before,
    "run": _run,
    "list after the run": _after,
    "other lists": _others,
    "log": _log,
    "every page": lambda shell, talk: pages(shell, talk),
    "all limits": lambda shell, talk: say_limits(shell, talk, everything=True),
}
