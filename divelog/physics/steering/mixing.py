"""From the two sticks to the surfaces: a cross, an X of four servos, an X of two linked pairs.

Commands: turn T, +1 full to starboard; pitch P, +1 full bow up. Limits: -1 to 1.
Pair A joins upper port with lower starboard, pair B upper starboard with lower port; on one shaft both
trailing edges go the same way in space. Both pairs alike turn her, against each other they pitch her;
a pair can neither roll her nor mend a list.
Traps: with *neighbours* linked instead she can turn or pitch, never both, and rolls. Both servos
reversed: turns and pitches backwards. One reversed: turn and pitch change places.
Source: geometry; ways of mixing, common practice, no source.
"""

import math
from dataclasses import dataclass
from typing import Literal

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio

Saturation = Literal["clip", "proportional", "depth first"]
"""What becomes of too much stick on an X: each output cut by itself, both shrunk alike, or pitch kept."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """Deflections of the pairs, + to starboard: A then also goes up, B down."""

    a: Ratio
    b: Ratio


@dataclass(frozen=True, slots=True)
class Sticks:
    """Commands or what is left of them: turn to starboard and bow up."""

    turn: Ratio
    pitch: Ratio


def cross_deflections(turn: Ratio, pitch: Ratio) -> tuple[Ratio, Ratio, Ratio, Ratio]:
    """Deflections of top, starboard, bottom, port for T and P: (T, -P, -T, P)."""
    t, p = _command(turn), _command(pitch)
    return t, -p, -t, p


def x_deflections(turn: Ratio, pitch: Ratio) -> tuple[Ratio, Ratio, Ratio, Ratio]:
    """Deflections of upper starboard, lower starboard, lower port, upper port, each cut at full throw.

    (T - P, -T - P, -T + P, T + P).
    """
    t, p = _command(turn), _command(pitch)
    return _cut(t - p), _cut(-t - p), _cut(-t + p), _cut(t + p)


def mix_pairs(turn: Ratio, pitch: Ratio) -> Pairs:
    """Pairs for T and P, before any cut: a = T + P, b = T - P."""
    t, p = _command(turn), _command(pitch)
    return Pairs(t + p, t - p)


def cut_pairs(pairs: Pairs) -> Pairs:
    """Both pairs cut at full throw."""
    return Pairs(_cut(pairs.a), _cut(pairs.b))


def unmix_pairs(pairs: Pairs) -> Sticks:
    """What the pairs amount to: T = (a + b) / 2, P = (a - b) / 2."""
    return Sticks((pairs.a + pairs.b) / 2.0, (pairs.a - pairs.b) / 2.0)


def pair_deflections(pairs: Pairs) -> tuple[Ratio, Ratio, Ratio, Ratio]:
    """Deflections of upper starboard, lower starboard, lower port, upper port: (b, -a, -b, a)."""
    return pairs.b, -pairs.a, -pairs.b, pairs.a


def saturate(turn: Ratio, pitch: Ratio, way: Saturation) -> Sticks:
    """What an X makes of both sticks together, as a share of each axis' own full effect.

    All three leave |T| + |P| <= 1 alone. Full turn and half pitch: cut gives 3/4 and 1/4, shrunk 2/3 and
    1/3, depth first 1/2 and 1/2. Depth first is the one to want when she has to come up.
    """
    t, p = _command(turn), _command(pitch)
    if way == "clip":
        return unmix_pairs(cut_pairs(mix_pairs(t, p)))
    if way == "proportional":
        shrink = max(1.0, abs(t) + abs(p))
        return Sticks(t / shrink, p / shrink)
    return Sticks(math.copysign(min(abs(t), 1.0 - abs(p)), t), p)


def _command(value: Ratio) -> Ratio:
    if not -1.0 <= value <= 1.0:
        raise OutOfRangeError(f"A stick command lies from -1 to 1, not {value:g}.")
    return value


def _cut(value: Ratio) -> Ratio:
    return max(-1.0, min(1.0, value))
