"""Which page stands at which place, and the pages that lie below one."""

from __future__ import annotations

from divelog.app.look.layout import Place
from divelog.app.shell import Maker, Shell
from divelog.app.spot import Spot


def _boats(shell: Shell) -> Spot:
    from divelog.app.spots.boats import Boats

    return Boats(shell)


def _limits(shell: Shell) -> Spot:
    from divelog.app.spots.limits import Limits

    return Limits(shell)


def _checks(shell: Shell) -> Spot:
    from divelog.app.spots.checks import Checks

    return Checks(shell)


def _run(shell: Shell) -> Spot:
    from divelog.app.spots.run import Run

    return Run(shell)


def _log(shell: Shell) -> Spot:
    from divelog.app.spots.log import Log

    return Log(shell)


def _upkeep(shell: Shell) -> Spot:
    from divelog.app.spots.upkeep import Upkeep

    return Upkeep(shell)


def _day(shell: Shell) -> Spot:
    from divelog.app.spots.day import day

    return day(shell)


def _plan(shell: Shell) -> Spot:
    from divelog.app.spots.day import plan

    return plan(shell)


def _keys(shell: Shell) -> Spot:
    from divelog.app.spots.small import Keys

    return Keys(shell)


def _leave(shell: Shell) -> Spot:
    from divelog.app.spots.small import Leave

    return Leave(shell)


def _faults(shell: Shell) -> Spot:
    from divelog.app.spots.small import Faults

    return Faults(shell)


def _every_limit(shell: Shell) -> Spot:
    from divelog.app.spots.every_limit import EveryLimit

    return EveryLimit(shell)


def _log_of_all(shell: Shell) -> Spot:
    from divelog.app.spots.log import Log

    return Log(shell, everybody=True)


def _upkeep_of_all(shell: Shell) -> Spot:
    from divelog.app.spots.upkeep import EveryBoat

    return EveryBoat(shell)


def _signal_lost(shell: Shell) -> Spot:
    from divelog.app.spots.signal_lost import SignalLost

    return SignalLost(shell)


def _trouble(shell: Shell) -> Spot:
    from divelog.app.spots.trouble import Trouble

    return Trouble(shell)


def _note(shell: Shell) -> Spot:
    from divelog.app.spots.happened import WhatHappened

    return WhatHappened(shell)


def _defects(shell: Shell) -> Spot:
    from divelog.app.spots.defects import Defects

    return Defects(shell)


def _measure(shell: Shell) -> Spot:
    from divelog.app.spots.measure_list import MeasureList

    return MeasureList(shell)


def _rehearsal(shell: Shell) -> Spot:
    from divelog.app.spots.rehearsal import RehearsalPage

    return RehearsalPage(shell)


def _new_boat(shell: Shell) -> Spot:
    from divelog.app.spots.new_boat import NewBoat

    return NewBoat(shell)


def _launch(shell: Shell) -> Spot:
    from divelog.app.spots.launch import Launch

    return Launch(shell)


def _files(shell: Shell) -> Spot:
    from divelog.app.spots.edit import Files

    return Files(shell)


def _her_file(shell: Shell) -> Spot:
    from divelog.app import editing
    from divelog.app.spots.edit import Files, Parts

    if shell.desk.slug is None:
        return Files(shell)
    return Parts(shell, editing.draft_of(shell.desk, "boat", shell.desk.slug))


def _hand_over(shell: Shell) -> Spot:
    from divelog.app.spots.share import HandOver

    return HandOver(shell)


MAKERS: dict[Place, Maker] = {
    Place.BOATS: _boats,
    Place.LIMITS: _limits,
    Place.CHECKS: _checks,
    Place.RUN: _run,
    Place.LOG: _log,
    Place.UPKEEP: _upkeep,
}

EXTRAS: dict[str, Maker] = {
    "day": _day,
    "launch": _launch,
    "plan": _plan,
    "keys": _keys,
    "leave": _leave,
    "faults": _faults,
    "every limit": _every_limit,
    "measure": _measure,
    "files": _files,
    "her file": _her_file,
    "new boat": _new_boat,
    "log of all": _log_of_all,
    "upkeep of all": _upkeep_of_all,
    "signal lost": _signal_lost,
    "trouble": _trouble,
    "note": _note,
    "defects": _defects,
    "rehearsal": _rehearsal,
    "hand over": _hand_over,
}
