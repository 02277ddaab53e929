"""What must be seen at each movement of a stick: results in words, seen from astern, for any tail.

The words come out of the geometry: the way of a trailing edge is (cos, -sin) of its clock angle times
its deflection, put as port, starboard, up, down, or a diagonal with left for port. To rise, stern
planes' trailing edges go *up* and bow or sail planes' go *down*: most reversed planes begin there.
The rudder stick's left means turn to port; which way the depth stick moves for rise is the owner's fact,
so its command is put as "planes to rise".
Source: geometry; sense of bow and sail planes, common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio
from divelog.physics.steering.geometry import CROSS, Surface, X
from divelog.physics.steering.mixing import (
    cross_deflections,
    mix_pairs,
    pair_deflections,
    x_deflections,
)

Tail = Literal["cross", "x", "other"]
SailPlanes = Literal["switch", "stick", "not fitted"]
BowPlanes = Literal["fitted", "not fitted"]


@dataclass(frozen=True, slots=True)
class Move:
    """Way of one trailing edge, seen from astern: `starboard` and `up`, each in throws, -1 to 1."""

    part: str
    starboard: Ratio
    up: Ratio


@dataclass(frozen=True, slots=True)
class Direction:
    """One line to look at: what to do, what must be seen, and the trailing edges behind the words.

    line: short name of the line. moves: for the first thing the command names.
    """

    line: str
    command: str
    result: str
    moves: tuple[Move, ...]


_STICKS: tuple[tuple[str, str, Ratio, Ratio], ...] = (
    ("left", "Rudder stick left", -1.0, 0.0),
    ("right", "Rudder stick right", 1.0, 0.0),
    ("rise", "Planes to rise", 0.0, 1.0),
    ("dive", "Planes to dive", 0.0, -1.0),
)


def directions(
    tail: Tail,
    servos: int | None = None,
    sail: SailPlanes | None = None,
    bow: BowPlanes | None = None,
) -> tuple[Direction, ...]:
    """Return the lines for a boat's own tail and planes, in the order to look at them; at most eight.

    tail: "cross", "x" or "other". servos: of an X, 4, 2 (linked pairs), or None where nobody said: then
    the wording blade by blade, which is true of both. Any other tail gets what holds for every tail:
    the trailing edges move towards the turn, and up to rise. sail, bow: None and "not fitted" give no
    line.
    Raises `OutOfRangeError` for a word or number it does not know.
    """
    if servos not in (None, 2, 4):
        raise OutOfRangeError(f"An X tail has 4 servos or 2 linked pairs, not {servos}.")
    if tail == "cross":
        lines = _cross()
    elif tail == "x":
        lines = _linked_x() if servos == 2 else _four_blade_x(four_servos=servos == 4)
    elif tail == "other":
        lines = _any_tail()
    else:
        raise OutOfRangeError(f"A tail is cross, x or other, not {tail}.")
    return (*lines, *_sail(sail), *_bow(bow))


def edge_way(starboard: Ratio, up: Ratio) -> str:
    """Words for the way of a trailing edge seen from astern, "in line" where it does not move.

    Alone: to port, to starboard, up, down. Both: up-and-left and the like, left being port.
    """
    sideways = "" if starboard == 0.0 else ("right" if starboard > 0.0 else "left")
    upright = "" if up == 0.0 else ("up" if up > 0.0 else "down")
    if sideways and upright:
        return f"{upright}-and-{sideways}"
    if sideways:
        return "to starboard" if starboard > 0.0 else "to port"
    return upright or "in line"


def edge_moves(surfaces: Sequence[Surface], deflections: Sequence[Ratio]) -> tuple[Move, ...]:
    """Way of every trailing edge for its deflection (-1 to 1)."""
    return tuple(Move(s.name, s.starboard * d, s.up * d) for s, d in zip(surfaces, deflections, strict=True))


def _ways(moves: Sequence[Move]) -> dict[str, str]:
    return {move.part: edge_way(move.starboard, move.up) for move in moves}


def _toward(turn: Ratio, pitch: Ratio) -> str:
    """Way all trailing edges share for one stick: the command's own side."""
    return edge_way(turn, pitch)


def _cross() -> list[Direction]:
    lines = []
    for name, command, turn, pitch in _STICKS:
        moves = edge_moves(CROSS, cross_deflections(turn, pitch))
        moved = tuple(m for m in moves if m.starboard or m.up)
        pair = "both rudders'" if turn else "both stern planes'"
        ways = _ways(moved)
        (way,) = set(ways.values())  # the two of a pair never part
        lines.append(Direction(f"cross-{name}", command, f"{pair} trailing edges go {way}", moved))
    return lines


def _four_blade_x(*, four_servos: bool) -> list[Direction]:
    lines = []
    for name, command, turn, pitch in _STICKS:
        moves = edge_moves(X, x_deflections(turn, pitch))
        way = _ways(moves)
        lines.append(
            Direction(
                f"x4-{name}",
                f"{command}, seen from astern",
                f"all four trailing edges move {_toward(turn, pitch)}: "
                f"upper port and lower starboard {way['upper port']}, "
                f"upper starboard and lower port {way['upper starboard']}",
                moves,
            )
        )
    if four_servos:
        moves = edge_moves(X, x_deflections(-1.0, 1.0))
        lines.append(Direction("x4-both", "Rise and left together", "no blade runs into its stop", moves))
    return lines


def _linked_x() -> list[Direction]:
    lines = []
    for name, command, turn, pitch in _STICKS:
        moves = edge_moves(X, pair_deflections(mix_pairs(turn, pitch)))
        way = _ways(moves)
        lines.append(
            Direction(
                f"x2-{name}",
                f"{command}, seen from astern",
                f"the pair upper port with lower starboard goes {way['upper port']}, "
                f"the other pair {way['upper starboard']}",
                moves,
            )
        )
    return lines


def _any_tail() -> list[Direction]:
    # A surface that answers the stick moves by the sign of its own share, so its trailing edge always
    # has a part towards the command: (cos^2 T) to starboard, (sin^2 P) up.
    return [
        Direction(
            f"any-{name}",
            f"{command}, seen from astern",
            f"every trailing edge that moves goes {_toward(turn, pitch)}, some of them sideways too"
            if pitch
            else f"every trailing edge that moves goes {_toward(turn, pitch)}, some of them up or down too",
            (Move("trailing edges", turn, pitch),),
        )
        for name, command, turn, pitch in _STICKS
    ]


def _sail(sail: SailPlanes | None) -> list[Direction]:
    moves = (Move("sail planes", 0.0, -1.0),)
    if sail == "switch":
        return [
            Direction(
                "sail-switch",
                "Sail plane switch up, middle, down",
                "up: trailing edges down, nose of the plane up, she rises; middle: level; "
                "down: trailing edges up, nose of the plane down, she dives",
                moves,
            )
        ]
    if sail == "stick":
        return [Direction("sail-stick", "Sail planes to rise, then to dive", _FORWARD_PLANES, moves)]
    if sail in (None, "not fitted"):
        return []
    raise OutOfRangeError(f"Sail planes are on a switch, on a stick or not fitted, not {sail}.")


def _bow(bow: BowPlanes | None) -> list[Direction]:
    if bow == "fitted":
        moves = (Move("bow planes", 0.0, -1.0),)
        return [Direction("bow", "Bow planes to rise, then to dive", _FORWARD_PLANES, moves)]
    if bow in (None, "not fitted"):
        return []
    raise OutOfRangeError(f"Bow planes are fitted or not fitted, not {bow}.")


_FORWARD_PLANES = "rise: leading edges up, trailing edges down; dive: leading edges down, trailing edges up"


def rise_position(
    tail: Tail, sail: SailPlanes | None = None, bow: BowPlanes | None = None
) -> tuple[Move, ...]:
    """Where every trailing edge must stand when the failsafe has acted, going ahead or coasting ahead.

    Stern surfaces up (an X: all four), rudders in line, sail and bow planes down. Prove it on the
    *output* channels: full rise with rudder trim left in cuts the rise of an X.
    Any other tail: the one move that holds for all of them.
    """
    if tail == "cross":
        moves = edge_moves(CROSS, cross_deflections(0.0, 1.0))
    elif tail == "x":
        moves = edge_moves(X, x_deflections(0.0, 1.0))
    else:
        moves = _any_tail()[2].moves
    return (*moves, *(m for line in (*_sail(sail), *_bow(bow)) for m in line.moves))
