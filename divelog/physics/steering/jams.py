"""What a tail can still do with one surface stuck, going ahead (static: forces, not manoeuvres).

Behind it: with stern planes on one shaft, or an X of two pairs, one servo jammed at dive defeats
"planes to rise"; so a failsafe needs the motor off *and* buoyancy.
Source: geometry; corners of the linear programme "most pitch at a given turn".
"""

import math
from collections.abc import Sequence
from itertools import product

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio
from divelog.physics.steering.geometry import Surface, effect

_SLACK = 1e-9


def pitch_left(
    surfaces: Sequence[Surface], jammed: int, stuck_at: Ratio, turn: Ratio = 0.0
) -> tuple[Ratio, Ratio]:
    """Return least and most bow-up (in surfaces) the rest can give while the turn stays at `turn`.

    surfaces: each on its own servo, at most six. jammed: index of the stuck one. stuck_at: its deflection,
    -1 to 1. turn: wanted turn to starboard, in surfaces; 0 is straight on. Roll is let go.
    Raises `OutOfRangeError` if the rest cannot hold that turn, or an input lies outside.
    """
    if not 0 <= jammed < len(surfaces) <= 6:
        raise OutOfRangeError(f"There is no surface {jammed} among {len(surfaces)}; six at most.")
    if not -1.0 <= stuck_at <= 1.0:
        raise OutOfRangeError(f"A surface is stuck somewhere from -1 to 1, not {stuck_at:g}.")
    free = [i for i in range(len(surfaces)) if i != jammed]
    found: list[float] = []
    # In a corner all free surfaces but one stand at a stop; that one makes the turn come out.
    for pivot in free:
        others = [i for i in free if i != pivot]
        for stops in product((-1.0, 1.0), repeat=len(others)):
            deflections = [0.0] * len(surfaces)
            deflections[jammed] = stuck_at
            for i, stop in zip(others, stops, strict=True):
                deflections[i] = stop
            found.extend(_pitches(surfaces, deflections, pivot, turn))
    if not found:
        raise OutOfRangeError(f"With that surface stuck the rest cannot hold a turn of {turn:g}.")
    return min(found), max(found)


def _pitches(surfaces: Sequence[Surface], deflections: list[float], pivot: int, turn: Ratio) -> list[float]:
    missing = turn - effect(surfaces, deflections).turn
    share = surfaces[pivot].starboard
    if share == 0.0:
        candidates = [-1.0, 1.0] if abs(missing) <= _SLACK else []
    else:
        candidates = [missing / share] if abs(missing / share) <= 1.0 + _SLACK else []
    return [
        math.fsum((effect(surfaces, deflections).bow_up, surfaces[pivot].up * angle)) for angle in candidates
    ]
