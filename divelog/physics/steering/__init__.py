"""Steering: where the surfaces stand, how sticks reach them, and what must be seen from astern.

One idea a file: `geometry`, `mixing`, `results`, `jams`, `travel`.
"""

from divelog.physics.steering.results import BowPlanes, Direction, Move, SailPlanes, Tail, directions

__all__ = ["BowPlanes", "Direction", "Move", "SailPlanes", "Tail", "directions"]
