"""Water that moves with the hull: added mass of a spheroid of the same length over diameter."""

import math
from dataclasses import dataclass

from divelog.physics.motion._guard import between
from divelog.physics.si import Ratio


@dataclass(frozen=True, slots=True)
class AddedMass:
    """Added mass over displaced mass (`ahead`, `broadside`) and added over displaced inertia (`pitch`)."""

    ahead: Ratio
    broadside: Ratio
    pitch: Ratio


_SPHERE = AddedMass(0.5, 0.5, 0.0)


def added_mass(slenderness: Ratio) -> AddedMass:
    """Return the added-mass factors of a prolate spheroid.

    With e = sqrt(1 - (D/L)^2) and Lambda = ln((1 + e) / (1 - e)):
    alpha = 2 (1 - e^2) / e^3 (Lambda / 2 - e); beta = 1 / e^2 - (1 - e^2) / (2 e^3) Lambda;
    k1 = alpha / (2 - alpha); k2 = beta / (2 - beta);
    k' = e^4 (beta - alpha) / ((2 - e^2) (2 e^2 - (2 - e^2) (beta - alpha))).
    Times rho and the outside form volume these give kg.

    slenderness: L/D, 1 to 1e4; at 1 the sphere's 1/2, 1/2, 0. Deep water, more than a diameter from
    surface and bottom; nearer, k2 rises up to twofold.
    Trap: e is the *root*; without it k1 at L/D 7 comes out 66 % high.
    Source: Lamb, Hydrodynamics (1932), articles 114 and 115; Imlay 1961, DTMB report 1528.
    """
    between("Length over diameter", slenderness, 1.0, 1e4)
    if slenderness < 1.001:  # the differences below cancel; the limit is closer than rounding
        return _SPHERE
    flat = 1.0 / slenderness**2  # 1 - e^2
    e2 = 1.0 - flat
    e = math.sqrt(e2)
    half_log = math.log((1.0 + e) * slenderness)  # Lambda / 2, written so that 1 - e never cancels
    alpha = 2.0 * flat / (e * e2) * (half_log - e)
    beta = 1.0 / e2 - flat / (e * e2) * half_log
    difference = beta - alpha
    return AddedMass(
        ahead=alpha / (2.0 - alpha),
        broadside=beta / (2.0 - beta),
        pitch=e2 * e2 * difference / ((2.0 - e2) * (2.0 * e2 - (2.0 - e2) * difference)),
    )
