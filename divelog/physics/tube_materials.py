"""What tubes and caps are made of: stiffness, lasting strength, creep and warmth for the sums of ``tube``.

Every figure is the low end of what its source gives, or lower: a sheet's own figure for the very tube beats
it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import ZERO_CELSIUS, Kelvin, Metres, Pascals, Ratio

Load: TypeAlias = Literal["days", "months"]
"""How long a load stays: a run or a test, or a tube left loaded in storage."""

Kind: TypeAlias = Literal["plastic", "metal", "glass fibre", "print"]

PerKelvin: TypeAlias = float

WARMTH_SLOPE: Final = 0.018
"""Stiffness a plastic loses a kelvin above 20 degC.

Windows at 90 degF were 10 to 20 % weaker than at 70 degF, 0.9 to 1.8 % a kelvin (Stachiw and McKay, NCEL
R-773, abstract); the larger.
"""

LEAST_WARMTH: Final[Ratio] = 0.3


@dataclass(frozen=True, slots=True)
class Material:
    """One material's row.

    ``modulus`` Young's, at 20 degC, Pa; ``poisson`` its ratio; ``design_stress`` for caps and thick tubes,
    lasting, already reduced (no factor follows), Pa; ``drilled_stress`` the same where it was machined,
    drilled or bonded; ``lasting_stress`` sustained compressive strength for collapse (a factor follows), Pa;
    ``creep_days`` and ``creep_months`` the share of the modulus left under such loads; ``expansion`` linear,
    1/K; ``hottest`` K, None where it does not bind; ``safety`` factor on collapse; ``source``.
    """

    name: str
    kind: Kind
    modulus: Pascals
    poisson: Ratio
    design_stress: Pascals
    drilled_stress: Pascals
    lasting_stress: Pascals
    creep_days: Ratio
    creep_months: Ratio
    expansion: PerKelvin
    hottest: Kelvin | None
    safety: Ratio
    source: str


def _row(
    name: str,
    kind: Kind,
    gigapascals: float,
    poisson: float,
    design: float,
    lasting: float,
    creep: tuple[float, float],
    expansion: float,
    hottest: float | None,
    safety: float,
    source: str,
    drilled: float | None = None,
) -> Material:
    """A row in the units of the handbooks: GPa, MPa, 1e-6/K, degC."""
    return Material(
        name=name,
        kind=kind,
        modulus=gigapascals * 1e9,
        poisson=poisson,
        design_stress=design * 1e6,
        drilled_stress=(design if drilled is None else drilled) * 1e6,
        lasting_stress=lasting * 1e6,
        creep_days=creep[0],
        creep_months=creep[1],
        expansion=expansion * 1e-6,
        hottest=None if hottest is None else ZERO_CELSIUS + hottest,
        safety=safety,
        source=source,
    )


_ACRYLIC: Final = (
    "continuous stress against crazing from a sheet maker's design note; modulus and expansion from a sheet "
    "maker's data page and Lange's Handbook of Chemistry, 15th ed., Table 10.2; ratio, creep and sustained "
    "strength from memory"
)
MATERIALS: Final[dict[str, Material]] = {
    row.name: row
    for row in (
        _row(
            "acrylic cast",
            "plastic",
            2.8,
            0.37,
            10.3,
            30.0,
            (0.75, 0.6),
            72.0,
            60.0,
            3.0,
            _ACRYLIC,
            drilled=5.2,
        ),
        _row("acrylic", "plastic", 2.8, 0.37, 5.2, 30.0, (0.7, 0.5), 72.0, 60.0, 3.0, _ACRYLIC),
        _row(
            "polycarbonate",
            "plastic",
            2.38,
            0.38,
            12.0,
            30.0,
            (0.9, 0.75),
            68.0,
            80.0,
            3.0,
            "modulus, ratio and expansion from a rod maker's data page; stresses and creep from memory",
        ),
        _row(
            "pvc",
            "plastic",
            2.76,
            0.40,
            10.0,
            20.0,
            (0.75, 0.45),
            70.0,
            45.0,
            3.0,
            "modulus 4e5 psi as quoted with ASTM F480 (pipe manuals 3.2 GPa: the lower is taken); ratio "
            "from a pipe manual; rest from memory",
        ),
        _row(
            "aluminium",
            "metal",
            69.0,
            0.33,
            100.0,
            200.0,
            (1.0, 1.0),
            23.0,
            None,
            2.5,
            "6000 series, T6: EN 755-2 and EN 1999-1-1, from memory",
        ),
        _row(
            "grp",
            "glass fibre",
            7.0,
            0.30,
            12.0,
            25.0,
            (0.8, 0.6),
            28.0,
            60.0,
            5.0,
            "hand-laid mat: from memory; factor 5 RTP-1 3A-310",
        ),
        _row(
            "printed",
            "print",
            1.0,
            0.38,
            5.0,
            10.0,
            (0.5, 0.25),
            70.0,
            45.0,
            4.0,
            "the weaker of polylactide and PETG prints in every figure, printed values half of solid (solid: "
            "Processes 2025, 13(9), 2733; halving common practice)",
            drilled=2.5,
        ),
    )
}
"""Rows by the word a profile uses. Acrylic without a further word is the extruded, weaker one.

Factors on collapse: metal 2.5, plastic 3, hand-laid glass fibre 5 (RTP-1 3A-310; ISO 14692 has 3), printed 4
(common practice; external-pressure vessel codes take 3, from memory).
"""


def stiffness_left(material: Material, *, temperature: Kelvin, load: Load = "days") -> Ratio:
    """Share of the 20 degC modulus that warmth and creep leave: k_T k_c.

    k_T = 1 - 0.018 (T - 20 degC) above 20 degC for all but metal, 1 below (no credit for cold), never under
    0.3; k_c the creep share of the material.
    ``temperature`` of the tube itself, K: a dark deck on a sunny bank may be 45 degC. Over 60 degC, or over
    the material's own limit, OutOfRangeError. Source: see ``WARMTH_SLOPE`` and the material's row.
    """
    hottest_allowed(material, temperature)
    celsius = temperature - ZERO_CELSIUS
    creep = creep_left(material, load=load)
    if material.kind == "metal":
        return creep
    return creep * max(LEAST_WARMTH, 1.0 - WARMTH_SLOPE * max(0.0, celsius - 20.0))


def creep_left(material: Material, *, load: Load = "days") -> Ratio:
    """Share of the modulus creep leaves under a load that stays; the material's own row."""
    return material.creep_days if load == "days" else material.creep_months


def hottest_allowed(material: Material, temperature: Kelvin) -> Kelvin:
    """Hottest the material may be loaded at, K (infinite for metal); OutOfRangeError where it is already over.

    60 degC for anything but metal, or the material's own limit where that is lower; colder than -20 degC is refused
    too. Source: the material's row.
    """
    celsius = temperature - ZERO_CELSIUS
    if not celsius >= -20.0:
        raise OutOfRangeError(
            f"A tube at {celsius:.0f} degC is colder than the -20 degC these figures cover."
        )
    if material.kind == "metal":
        return math.inf
    hottest = ZERO_CELSIUS + 60.0 if material.hottest is None else min(ZERO_CELSIUS + 60.0, material.hottest)
    if temperature > hottest:
        raise OutOfRangeError(
            f"{material.name} at {celsius:.0f} degC is over the {hottest - ZERO_CELSIUS:.0f} degC "
            "it may be loaded at."
        )
    return hottest


def assumed_out_of_round(material: Material, *, radius: Metres) -> Metres:
    """Greatest departure from a circle taken when nobody measured it, m.

    Drawn plastic 0.5 % of the radius + 0.1 mm; metal 0.25 %; glass fibre and prints 1 %. u95: all of itself.
    Source: common practice; 0.5 % is the vessel rule of 1 % of diameter (ASME VIII UG-80, from memory).
    """
    if radius <= 0.0:
        raise OutOfRangeError("The tube's radius must be above nothing.")
    if material.kind == "plastic":
        return 0.005 * radius + 0.0001
    if material.kind == "metal":
        return 0.0025 * radius
    return 0.01 * radius
