"""Water and plan, one prompt a field; and her limits, one a line."""

from __future__ import annotations

from divelog.app.shell import Shell
from divelog.app.spots.day import Asks, Day
from divelog.app.typed import Typed
from divelog.commands.plain_talk import Talk
from divelog.limits.model import Limit
from divelog.papers.sheets.figures import limit_row, pond_limits
from divelog.profiles.document import State
from divelog.text import shown

_BACK, _UNKNOWN = ("b", "back"), ("u", "unknown")


def ask_day(shell: Shell, talk: Talk, only_plan: bool = False) -> None:
    """Every field of the day and of her plan; each is on disk before the next is asked."""
    page = Day(shell, only_plan)
    shell.push(page)
    talk.say(
        "", "Her plan" if only_plan else "The day, once for all boats; then her plan", "Words: unknown, back."
    )
    while page.at < len(page.fields):
        _ask_field(page, talk, page.fields[page.at])
    if shell.front is page:
        shell.pop()


def _ask_field(page: Day, talk: Talk, field: Asks) -> None:
    options = field.choices(page)[:9] if field.choices is not None else ()
    talk.choices([words for words, _ in options])
    unit = f", {field.unit}" if field.unit else ""
    note = f", {field.note}" if field.note and "Enter" not in field.note else ""
    held = _held(page, field)
    leave = "; Enter leaves it" if not field.need and not held else ""
    text = talk.ask(f"{field.title}{unit}{note}{held}{leave}: ").strip()
    folded = text.casefold()
    if folded in _BACK or folded in _UNKNOWN:
        page.press(folded[0])
        return
    if options and text:
        number = next(
            (n for n, (words, _) in enumerate(options, 1) if folded in (str(n), words.casefold())), None
        )
        if number is None:
            talk.say(f"Not taken: {shown(text, 40)} is none of these; a number, or the words")
            return
        page.press(str(number))
        return
    page.typed = Typed(text) if text else Typed()
    page.press("enter")
    if page.fault:
        talk.say(f"Not taken: {page.fault}")
        page.typed = Typed()


def _held(page: Day, field: Asks) -> str:
    """What stands there now, and of which day: Enter keeps it where it may be kept."""
    desk = page.desk
    path = field.path
    if path.startswith("plan."):
        path = f"plan[{desk.facts().plan_id()}].{path.removeprefix('plan.')}"
    fact = desk.day().facts.get(path)
    if fact is None or fact.state is not State.KNOWN:
        return ""
    old = f" of {fact.on}" if fact.on not in ("", desk.now().date().isoformat()) else ""
    return (
        f" (now {shown(fact.typed, 40)}{old}; Enter keeps it)"
        if not old
        else f" (was {shown(fact.typed, 40)}{old})"
    )


def say_limits(shell: Shell, talk: Talk, everything: bool = False) -> None:
    """Her limits of the water, or all of them; sign word first."""
    limits = shell.desk.limits()
    talk.say("", f"Limits of {shell.desk.name()}")
    for one in limits if everything else pond_limits(limits):
        talk.say(limit_line(one))


def limit_line(limit: Limit) -> str:
    """One limit as a line to be read aloud."""
    row = limit_row(limit)
    words = ", ".join(part for part in (row.reading, row.limit) if part)
    sign = f"{row.sign}  " if row.sign else ""
    return f"{sign}{row.name}: {words}{'  <<<' if row.loud else ''}"
