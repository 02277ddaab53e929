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
    "plan": _plan,
    "keys": _keys,
    "leave": _leave,
    "faults": _faults,
    "every limit": _every_limit,
}
