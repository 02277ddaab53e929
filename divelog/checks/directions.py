"""What must be seen at each movement of a stick, for the boat's own tail and planes.

The words come out of the geometry (``physics.steering``); which of them are gone through at the water's edge is said by
her file, where it names the results somebody has seen. A mixer is linear: one turn and one rise show both ways of both.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from divelog.checks.around import Around
from divelog.physics.errors import OutOfRangeError
from divelog.physics.steering import BowPlanes, Direction, SailPlanes, Tail, directions

_ENDINGS: Mapping[str, str] = {
    "rudder_left": "-left", "rudder_right": "-right", "planes_rise": "-rise", "planes_dive": "-dive",
    "sail_rise": "sail-", "sail_dive": "sail-", "sail_planes": "sail-", "bow_rise": "bow", "bow_dive": "bow",
    "bow_planes": "bow",
}  # fmt: skip
"""Name of a result in a boat's file -> how the name of its line begins or ends."""


def all_directions(around: Around) -> tuple[Direction, ...]:
    """Every result of her tail and planes, in the order to look at them."""
    tail = around.word("boat.controls.tail") or "other"
    servos = around.fact("boat.controls.tail_servos")
    count = int(servos.value) if servos is not None and isinstance(servos.value, float) else None
    sail, bow = around.word("boat.controls.sail_planes"), around.word("boat.controls.bow_planes")
    try:
        return directions(
            cast(Tail, tail),
            count if count in (2, 4) else None,
            cast("SailPlanes | None", sail),
            cast("BowPlanes | None", bow),
        )
    except OutOfRangeError:
        return directions("other")


def own_results(around: Around) -> tuple[tuple[str, str], ...]:
    """Results that her file names: name and words."""
    fact = around.fact("boat.controls.directions")
    value = fact.value if fact is not None else None
    if not isinstance(value, tuple):
        return ()
    return tuple(one for one in value if isinstance(one, tuple))


def asked_directions(around: Around) -> tuple[tuple[str, str], ...]:
    """Name and words of each result to be seen before a dive.

    Those her file names, in the words of her own tail; her sail and bow planes too. All of them where it names none.
    """
    every = all_directions(around)
    own = own_results(around)
    if not own:
        return tuple((one.line, sentence(one)) for one in every)
    found: list[tuple[str, str]] = []
    used: set[str] = set()
    for name, words in own:
        ending = _ENDINGS.get(name, "")
        match = next((d for d in every if ending and _fits(d.line, ending)), None)
        if match is None:
            found.append((name, f"{name.replace('_', ' ').capitalize()}: {words}"))
        elif match.line not in used:
            used.add(match.line)
            found.append((name, sentence(match)))
    for one in every:
        if one.line.startswith(("sail-", "bow")) and one.line not in used:
            found.append((one.line, sentence(one)))
    return tuple(found)


def _fits(line: str, ending: str) -> bool:
    return line.endswith(ending) if ending.startswith("-") else line.startswith(ending)


def sentence(direction: Direction) -> str:
    """What to do and what must be seen: "Rudder stick left: both rudders' trailing edges go to port"."""
    return f"{direction.command}: {direction.result}"
