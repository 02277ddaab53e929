"""What her failsafe does when the signal is lost, out of the words of her file, and what of it is counted."""

from __future__ import annotations

from dataclasses import dataclass

from divelog.limits import water
from divelog.limits.ballast_model import PUMPS, SHUT, from_depth
from divelog.limits.recovery import SLOW_BLOW
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion.rehearsal import PlanesAfter
from divelog.physics.motion.rising import Blow

TRIGGER = "signal lost"
SLOW_AHEAD = 0.25
"""Thrust left at slow ahead, over that of cruise (half the speed: common practice, no source)."""

_STAY = ("hold", "stay", "keep", "last", "as they")
_MIDDLE = ("neutral", "middle", "centre", "center", "level")


@dataclass(frozen=True, slots=True)
class Acts:
    """What happens when the failsafe acts.

    motor: share of the thrust left. fore_planes: True where bow or sail planes go to rise as well.
    blow: ballast given out, its delay counted from the loss. cautions: why something is not counted.
    """

    motor: float
    planes: PlanesAfter
    fore_planes: bool = False
    blow: Blow | None = None
    cautions: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """All of it in a few words."""
        motor = {0.0: "motor stops", 1.0: "motor runs on"}.get(self.motor, "slow ahead")
        return (
            f"{motor}, {_PLANES[self.planes]}, {'ballast stays' if self.blow is None else 'ballast empties'}"
        )


_PLANES = {
    PlanesAfter.RISE: "planes rise",
    PlanesAfter.MIDDLE: "planes to the middle",
    PlanesAfter.HELD: "planes stay",
    PlanesAfter.NO_EFFECT: "planes not counted",
}

NOTHING = Acts(0.0, PlanesAfter.HELD)
"""No failsafe: the motor stops for want of a signal, all else stays (common practice, no source)."""

HOLDS_ON = Acts(1.0, PlanesAfter.HELD)
"""The receiver goes on with the last command."""


def acts(s: Sheet) -> Acts:
    """What her own failsafe does; `NOTHING` where her file has none for a lost signal."""
    if TRIGGER not in s.ids("failsafe"):
        return NOTHING
    does = dict(s.words(f"failsafe[{TRIGGER}].does"))
    cautions: list[str] = []
    motor = _motor(does.get("throttle", ""), cautions)
    tail = [word for channel, word in does.items() if _is_tail(channel)]
    fore = [word for channel, word in does.items() if "planes" in channel and not _is_tail(channel)]
    planes = _planes(tail, cautions)
    blow = _blow(s, does.get("ballast", ""), cautions)
    return Acts(motor, planes, any(word.startswith("rise") for word in fore), blow, tuple(cautions))


def _is_tail(channel: str) -> bool:
    return channel.startswith(("stern", "tail", "planes", "dive"))


def _motor(word: str, cautions: list[str]) -> float:
    if word.startswith(("stop", "off")):
        return 0.0
    if word.startswith("slow"):
        return SLOW_AHEAD
    if not word.startswith(_STAY):
        cautions.append("Her file does not say that the motor stops: it is taken to run on.")
    return 1.0


def _planes(words: list[str], cautions: list[str]) -> PlanesAfter:
    if words and all(word.startswith("rise") for word in words):
        return PlanesAfter.RISE
    if words and all(word.startswith(_MIDDLE) for word in words):
        return PlanesAfter.MIDDLE
    if not words or not all(word.startswith(_STAY) for word in words):
        cautions.append("Her file does not say that the planes rise: they are taken to stay as they were.")
    return PlanesAfter.HELD


def _blow(s: Sheet, word: str, cautions: list[str]) -> Blow | None:
    kind = s.word("ballast.kind")
    told = word.startswith(("empt", "blow", "pump")) and s.flag("ballast.empties_on_failsafe") is not False
    if kind in (None, "none") or not told:
        return None
    try:
        seconds = _seconds(s, kind or "")
        return Blow(
            s.of(water.density).si * s.num("ballast.volume").si, seconds, s.num("radio.failsafe_delay").si
        )
    except OutOfRangeError:
        cautions.append("At the planned depth her pump stalls: the ballast is not counted.")
    except UnknownError as error:
        why = error.because or "nobody has timed it"
        cautions.append(f"Her ballast is not counted: {why}.")
    except NotFittedError as error:
        cautions.append(f"Her ballast is not counted: {error.because}.")
    return None


def _seconds(s: Sheet, kind: str) -> float:
    """Seconds to empty her at the planned depth."""
    if kind == "gas":
        return SLOW_BLOW * s.num("ballast.empty_time").si
    if kind not in PUMPS:
        raise NotFittedError("dived, it cannot be emptied")
    vent = s.word("ballast.vent")
    if vent == SHUT:
        raise NotFittedError("dived, her tank has no air to let in")
    if vent is None:
        raise NotFittedError("nobody has written where the tank's air comes from")
    bottom = s.num("ballast.tank.bottom").si
    return s.of(from_depth, max(0.0, s.num("plan.depth").si - bottom))
