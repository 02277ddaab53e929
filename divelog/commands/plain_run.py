"""A run, line by line: minutes left when asked for, marks, the lost signal, the end. Nothing is said unasked."""

from __future__ import annotations

from divelog.app.look.layout import Place
from divelog.app.running import Out, minutes
from divelog.app.shell import Shell
from divelog.app.spots.run import Run, end_run, lose_signal
from divelog.app.spots.signal_lost import SignalLost
from divelog.commands.plain_talk import Talk
from divelog.text import shown

_HELP = "mark: this moment; lost: SIGNAL LOST or out of sight; end: the run is over; Enter: minutes left; menu: to the menu"


def begin_run(shell: Shell, talk: Talk) -> bool:
    """What rules, and the start; True where a run is on."""
    run = _page(shell)
    if run.out is not None:
        return True
    refused = run.refused()
    if refused:
        talk.say(f"Not yet: {shown(refused, 300)}")
        return False
    limits = run.limits_in_force()
    back = (
        f"{limits['minutes']:.0f} minutes" if limits["minutes"] is not None else "how many minutes is unknown"
    )
    keel = f"keel at most {limits['keel']:.1f} m" if limits["keel"] is not None else "how deep is unknown"
    talk.say("", f"{shell.desk.name()}: {back}, {keel}.")
    still = run.open_now()
    talk.say(f"Open {len(still)}: {', '.join(still)}" if still else "NOTHING OPEN")
    if talk.ask("Enter starts the run; anything else waits: ").strip():
        return False
    run.press("enter")
    return run.out is not None


def in_run(shell: Shell, talk: Talk) -> bool:
    """Until the person says that it has ended; False where they went to the menu."""
    run = _page(shell)
    talk.say("The run is on. " + _HELP)
    while run.out is not None:
        word = talk.ask(": ").strip().casefold()
        match word:
            case "mark" | "m":
                run.press("space")
                talk.say(f"Marked, {run.out.marks if run.out is not None else 0}.")
            case "lost" | "l":
                _lost(shell, talk, run.out)
            case "end" | "e":
                end_run(shell)
                return True
            case "menu":
                return False
            case "":
                talk.say(_left(shell, run.out))
            case _:
                talk.say(_HELP)
    return False


def _page(shell: Shell) -> Run:
    found = shell.spot(Place.RUN)
    assert isinstance(found, Run)
    return found


def _left(shell: Shell, out: Out) -> str:
    now = minutes(shell.desk, out)
    if now.over is not None:
        return f"X OVER  by {now.over} min. Bring her in.  <<<"
    if now.left is None:
        return f"{now.elapsed} min out; how long she may run is unknown."
    by = f", back by {now.back_by:%H:%M}" if now.back_by is not None else ""
    return (
        f"{now.left} min left{by}; keel at most {out.keel:.1f} m."
        if out.keel
        else f"{now.left} min left{by}."
    )


def _lost(shell: Shell, talk: Talk, out: Out) -> None:
    """The moment is on disk first; then the steps, one at a time."""
    lose_signal(shell, out)
    page = shell.front
    if not isinstance(page, SignalLost):
        return
    talk.say("SIGNAL LOST. Enter: done, the next step; seen: she is seen again; mark; menu: back to the run.")
    if page.fault:
        talk.say(f"X NOT KEPT  {shown(page.fault)} The steps go on.")
    if page.walk.steps.caution:
        talk.say(f"Caution: {shown(page.walk.steps.caution)}")
    while shell.front is page:
        steps = page.walk.steps.steps
        present = page.walk.present(page.seconds)
        if present < len(steps):
            at = steps[present].at
            talk.say(f"{f'From {at:.0f} s: ' if at else ''}{shown(steps[present].words, 300)}")
        else:
            talk.say("All steps are done.")
        word = talk.ask(f"{page.seconds:.0f} s since it went: ").strip().casefold()
        match word:
            case "seen" | "v":
                page.press("v")
            case "mark" | "m":
                page.press("space")
            case "menu" | "end":
                shell.pop()
                if word == "end":
                    talk.say("Say end once more to end the run.")
            case _:
                page.press("enter")
