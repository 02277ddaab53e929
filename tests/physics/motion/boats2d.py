"""Boats for rehearsals, and the same motion written a second time for scipy.

The second writing shares no line with the program: strips by Gauss quadrature, masses as a matrix, forces by
vectors, integrated by scipy's DOP853.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.polynomial.legendre import leggauss
from scipy.integrate import solve_ivp

from divelog.physics.motion.hull import Hull, form_volume, plan_area
from divelog.physics.motion.rising import Blow
from divelog.physics.motion.vertical_plane import Boat2D, boat_of, stern_planes

RHO, NU, G = 999.6, 1.27e-6, 9.80665


def middle_boat(**other: object) -> Boat2D:
    """A boat of 0.92 m, invented."""
    hull = Hull.of_section(0.92, 0.112, 0.15)
    made = boat_of(
        hull,
        area=plan_area(0.92, 0.112),
        form_mass=9.7,
        dived_mass=6.2,
        righting=0.014,
        balance=0.018,
        tip=0.27,
        speed=0.6,
        density=RHO,
        viscosity=NU,
        planes=(stern_planes(0.92, hull.diameter),),
        air=30e-6,
        stiff_loss=0.0004,
    )
    return replace(made, **other)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Drawn:
    """A boat and a way of going, drawn at random."""

    boat: Boat2D
    length: float
    hull: Hull
    area: float
    speed: float
    angle: float
    delay: float
    plane_time: float
    depth: float
    blow: Blow | None


def drawn(seed: int) -> Drawn:
    """One plausible boat: 0.3 to 2.5 m, length over diameter 5 to 10, cruise 0.1 to 0.36 of root(g L),
    planes 0.7 to 1.5 of the usual, B above G half to twice the usual for her size, 0.15 to 1.2 % light.

    Ranges: common practice, no source.
    """
    draw = random.Random(seed)
    length = math.exp(draw.uniform(math.log(0.3), math.log(2.5)))
    wide, flat = length / draw.uniform(5, 10), draw.uniform(0.75, 1.3)
    beam, height = wide / math.sqrt(flat), wide * math.sqrt(flat)
    hull = Hull.of_section(length, beam, height)
    form = RHO * form_volume(length, beam, height)
    mass = form * draw.uniform(0.55, 1.0)
    size = 0 if length < 0.6 else 1 if length <= 1.3 else 2
    speed = draw.uniform(0.1, 0.36) * math.sqrt(G * length)
    delay = draw.uniform(0.3, 3.0)
    blow = Blow(mass * draw.uniform(0.03, 0.12), draw.uniform(15, 90), delay)
    boat = boat_of(
        hull,
        area=plan_area(length, beam),
        form_mass=form,
        dived_mass=mass,
        righting=(0.007, 0.012, 0.025)[size] * draw.uniform(0.5, 2.0),
        balance=mass * draw.uniform(0.0015, 0.012),
        tip=height * draw.uniform(1.2, 2.2),
        speed=speed,
        density=RHO,
        viscosity=NU,
        planes=(stern_planes(length, hull.diameter, draw.uniform(0.7, 1.5)),),
        appendages=draw.uniform(1.3, 2.5),
        air=(10e-6, 30e-6, 100e-6)[size] * draw.random(),
    )
    return Drawn(
        boat,
        length,
        hull,
        plan_area(length, beam),
        speed,
        math.radians(draw.uniform(2, 20)),
        delay,
        draw.uniform(0.2, 0.8),
        boat.tip + draw.uniform(0.0, 1.0),
        blow if draw.random() < 0.7 else None,
    )


Course = Callable[[float], float]
"""A quantity over time."""


def again(
    boat: Boat2D,
    start: tuple[float, ...],
    end: float,
    *,
    planes: Course,
    given: Course,
    thrust: Course,
    breaks: tuple[float, ...] = (),
    hold: Course = lambda t: 0.0,
) -> Callable[[float], np.ndarray]:
    """The motion by scipy: depth, pitch, ahead, down, turning at a time up to `end`."""
    half = boat.length / 2
    nodes, weights = leggauss(6)

    def strips(w: float, q: float) -> tuple[float, float]:
        edges = [-half, half]
        if q and abs(w / q) < half:
            edges.insert(1, w / q)
        force = lever = 0.0
        for a, b in itertools.pairwise(edges):
            x = (b - a) / 2 * nodes + (a + b) / 2
            s = w - q * x
            load = -boat.crossflow / boat.length * s * np.abs(s) * weights * (b - a) / 2
            force += load.sum()
            lever += (-x * load).sum()
        return force, lever

    def rates(t: float, y: np.ndarray) -> np.ndarray:
        z, pitch, u, w, q = y
        gauge = boat.density * G * max(z, 0.0)
        light = boat.balance + given(t) - boat.stiff_loss * max(z, 0.0)
        light -= boat.density * boat.air * gauge / (boat.barometer + gauge)
        force = np.array([-boat.drag * u * abs(u) + thrust(t), 0.0])
        # Up in the world is (sin, -cos) in the boat.
        force += G * light * np.array([math.sin(pitch), -math.cos(pitch)])
        moment = -boat.righting * math.sin(pitch) + hold(t)
        down, lever = strips(w, q)
        force[1] += down
        moment += lever
        centre = -0.15 * boat.length
        lift = -boat.hull_lift * abs(u) * (w - q * centre)
        force[1] += lift
        moment -= centre * lift
        for one in boat.planes:
            angle = one.throw * planes(t) * (1 if one.aft else -1)
            normal = np.array([-math.sin(angle), math.cos(angle)])
            flow = np.array([u, w - q * one.place])
            pressure = boat.density / 2 * one.area
            push = -pressure * one.slope * np.linalg.norm(flow) * (flow @ normal)
            push = np.clip(push, -pressure * one.stall * (flow @ flow), pressure * one.stall * (flow @ flow))
            force += push * normal
            moment -= one.place * push * normal[1]
        mass = np.diag([boat.mass_ahead, boat.mass_broadside])
        carried = mass @ [u, w]
        accel = np.linalg.solve(mass, force - q * np.array([carried[1], -carried[0]]))
        spin = (moment - (w * carried[0] - u * carried[1])) / boat.inertia
        return np.array([w * math.cos(pitch) - u * math.sin(pitch), q, *accel, spin])

    pieces = []
    state = np.array(start)
    edges = [0.0, *sorted(b for b in breaks if 0.0 < b < end), end]
    for a, b in itertools.pairwise(edges):
        flow = solve_ivp(
            rates, (a, b), state, method="DOP853", rtol=1e-11, atol=1e-12, dense_output=True, max_step=0.25
        )
        assert flow.success
        pieces.append((b, flow.sol))
        state = flow.y[:, -1]
    return lambda t: next(sol for b, sol in pieces if t <= b)(t)
