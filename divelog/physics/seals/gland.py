"""Squeeze, stretch and fill of a ring in its groove, in the three ways a groove can lie.

Symbols: ring d1 by d2 (inside diameter, section), stretch X, section when stretched d2', groove
depth h, groove width b. All lengths in metres, all shares as ratios (0.17 is 17 %).
"""

from dataclasses import dataclass
from enum import Enum
from math import exp, pi, sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.seals.rings import check_ring
from divelog.physics.si import KelvinDifference, Metres, PerKelvin, Ratio

MOST_STRETCH: Ratio = 0.25
"""Stretch to which the section reduction is known (SAE AS4716, appendix A)."""


@dataclass(frozen=True, slots=True)
class Gland:
    """A ring in its groove.

    stretch X and squeeze s are ratios, section is d2' in metres, depth h in metres; fill is the ring's
    section over the groove's; crush is how much the ring's outside is pressed in by the groove (rod
    glands, else 0); reduction is R(X), kept for the worst case.
    """

    section: Metres
    depth: Metres
    stretch: Ratio
    reduction: Ratio
    squeeze: Ratio
    fill: Ratio
    crush: Ratio = 0.0


@dataclass(frozen=True, slots=True)
class SqueezeRange:
    """Least and most squeeze when every tolerance falls the wrong way."""

    least: Ratio
    most: Ratio


class Use(Enum):
    """What a ring does in its groove; the words are those of groove charts."""

    FACE = "static face"
    RADIAL = "static radial"
    MOVING = "moving"
    TURNING = "turning shaft"


@dataclass(frozen=True, slots=True)
class Band:
    """What a gland should keep to.

    squeeze: nominal, low and high. worst: with tolerances. stretch: low and high allowed;
    usual: the stretch usually aimed at, low and high. fill: usual least, most, refused above.
    """

    squeeze: tuple[Ratio, Ratio]
    worst: tuple[Ratio, Ratio]
    stretch: tuple[Ratio, Ratio]
    usual: tuple[Ratio, Ratio]
    fill: tuple[Ratio, Ratio, Ratio]


_BANDS = {
    Use.FACE: Band((0.20, 0.30), (0.12, 0.36), (0.0, 0.05), (0.0, 0.05), (0.65, 0.85, 0.90)),
    Use.RADIAL: Band((0.15, 0.25), (0.10, 0.30), (0.0, 0.05), (0.01, 0.03), (0.65, 0.85, 0.90)),
    Use.MOVING: Band((0.10, 0.18), (0.06, 0.22), (0.0, 0.05), (0.01, 0.03), (0.65, 0.85, 0.90)),
    Use.TURNING: Band((0.03, 0.08), (0.0, 0.10), (-0.05, 0.0), (-0.05, -0.02), (0.65, 0.85, 0.90)),
}

THIN_SECTION: Metres = 1.8e-3
"""Rings to this section are meant to be squeezed more: fixed tolerances are a larger share of them."""

THIN_MOST: Ratio = 0.32


def stretch(inside: Metres, seat: Metres) -> Ratio:
    """Stretch X = (seat - d1)/d1 of a ring of inside diameter d1 over a seat, both in metres.

    Negative: the ring is larger than what it lies on.
    """
    return (seat - inside) / inside


def constant_volume_reduction(stretch: Ratio) -> Ratio:
    """Loss of section if rubber only kept its volume: 1 - 1/sqrt(1 + X), at most 0 for X <= 0.

    About half of what rings really lose; it stands here to be compared, never for a limit.
    """
    if stretch <= 0.0:
        return 0.0
    return 1.0 - 1.0 / sqrt(1.0 + stretch)


def section_reduction(stretch: Ratio, inside: Metres, section: Metres) -> Ratio:
    """Share R of the section lost by stretching a ring, R(X), for X up to 25 %.

    In per cent, as printed: 0.01 + 1.06 X - 0.1 X^2 to 3 %, 0.56 + 0.59 X - 0.0046 X^2 above, for
    d1/d2 over 2.95; X/(315 exp(-d1/d2) + 165 + X) for thicker rings. The two branches meet at 3 % within
    0.002 points, which tells that the first constant is 0.01 % (copies that turn the formula into
    ratios and write 0.001 leave a step of 0.09 points). R is 0 without stretch.

    Source: SAE AS4716, appendix A, as reproduced in a public source file and from memory.

    Raises:
        OutOfRangeError: X over 25 %, or an impossible ring.
    """
    check_ring(inside, section)
    if stretch <= 0.0:
        return 0.0
    if stretch > MOST_STRETCH:
        raise OutOfRangeError(f"The ring is stretched by {stretch * 100:.3g} %; known up to 25 %.")
    if inside / section <= 2.95:
        return stretch * 100.0 / (315.0 * exp(-inside / section) + 165.0 + stretch * 100.0)
    if stretch <= 0.03:
        return 0.0001 + 1.06 * stretch - 10.0 * stretch**2
    return 0.0056 + 0.59 * stretch - 0.46 * stretch**2


def squeeze_of(section: Metres, depth: Metres) -> Ratio:
    """Squeeze s = (d2' - h)/d2' of a section d2' in a gap h; negative when the ring does not touch."""
    if section <= 0.0 or depth <= 0.0:
        raise OutOfRangeError("Section and groove depth must be greater than nothing.")
    return (section - depth) / section


def _gland(section: Metres, depth: Metres, width: Metres, x: Ratio, loss: Ratio, crush: Ratio = 0.0) -> Gland:
    if width <= 0.0:
        raise OutOfRangeError("The groove's width must be greater than nothing.")
    seated = section * (1.0 - loss)
    return Gland(
        section=seated,
        depth=depth,
        stretch=x,
        reduction=loss,
        squeeze=squeeze_of(seated, depth),
        fill=pi * seated**2 / (4.0 * depth * width),
        crush=crush,
    )


def piston_gland(inside: Metres, section: Metres, groove: Metres, bore: Metres, width: Metres) -> Gland:
    """A ring in a groove round a cap, sealing the bore outside it.

    groove is the diameter of the groove's root G, bore the diameter B it seals against, both metres:
    X = (G - d1)/d1, h = (B - G)/2, s = (d2' - h)/d2', fill = pi d2'^2/(4 h b). Bore less cap diameter is
    clearance, not squeeze. Holds for rings of 60 to 80 Shore A and under 1 MPa.

    Raises:
        OutOfRangeError: an impossible ring, a bore not larger than the groove, or a stretch over 25 %.
    """
    if bore <= groove:
        raise OutOfRangeError("The bore must be larger than the groove's diameter.")
    x = stretch(inside, groove)
    return _gland(section, (bore - groove) / 2.0, width, x, section_reduction(x, inside, section))


def rod_gland(inside: Metres, section: Metres, shaft: Metres, groove: Metres, width: Metres) -> Gland:
    """A ring in a groove inside a housing, sealing the shaft within it.

    shaft is its diameter S, groove the diameter of the groove's root H, both metres: X = (S - d1)/d1,
    h = (H - S)/2. crush = (d1 + 2 d2 - H)/(d1 + 2 d2) is how much the groove presses the ring's outside in.

    Raises:
        OutOfRangeError: an impossible ring, a groove not larger than the shaft, or a stretch over 25 %.
    """
    if groove <= shaft:
        raise OutOfRangeError("The groove's diameter must be larger than the shaft.")
    x = stretch(inside, shaft)
    outside = inside + 2.0 * section
    return _gland(
        section,
        (groove - shaft) / 2.0,
        width,
        x,
        section_reduction(x, inside, section),
        (outside - groove) / outside,
    )


def face_gland(
    inside: Metres, section: Metres, depth: Metres, width: Metres, inner: Metres | None = None
) -> Gland:
    """A ring in a groove cut into a face; depth h and width b in metres.

    inner is the diameter of the groove's inner wall: with water outside, the ring should sit on it, 0 to
    5 % stretched. Missing: stretch is taken as nothing. The section is not reduced (s = (d2 - h)/d2).

    Raises:
        OutOfRangeError: an impossible ring, or no depth or width.
    """
    check_ring(inside, section)
    x = 0.0 if inner is None else stretch(inside, inner)
    return _gland(section, depth, width, x, 0.0)


def whole_fill(inside: Metres, section: Metres, groove: Metres, bore: Metres, width: Metres) -> Ratio:
    """Fill of a piston groove by whole volumes: ring over groove, by Pappus' theorem.

    (pi^2/4)(d1 + d2) d2^2 / ((pi/4)(B^2 - G^2) b). It keeps the free ring's volume, so it stands a little
    over the fill by sections where R takes more than constant volume would.
    """
    check_ring(inside, section)
    if bore <= groove or width <= 0.0:
        raise OutOfRangeError("The bore must be larger than the groove, and the groove must have a width.")
    ring = pi**2 / 4.0 * (inside + section) * section**2
    return ring / (pi / 4.0 * (bore**2 - groove**2) * width)


def squeeze_range(
    gland: Gland, free_section: Metres, tolerance: Metres, depth_tolerance: Metres, offset: Metres = 0.0
) -> SqueezeRange:
    """Least and most squeeze with the section off by its tolerance, the depth by its own, the cap by offset.

    Least: d2 - tolerance in h + depth_tolerance + offset; most the other way. The reduction by stretch is
    kept at the nominal stretch. A gap closed altogether counts as squeezed to nothing (1).
    All in metres; offset is half the clearance between bore and cap (0 for a face or a housing).
    """
    kept = 1.0 - gland.reduction
    small = (free_section - tolerance) * kept
    large = (free_section + tolerance) * kept
    if small <= 0.0:
        raise OutOfRangeError("The tolerance is larger than the ring's section.")
    deep = gland.depth + depth_tolerance + offset
    shallow = max(0.0, gland.depth - depth_tolerance - offset)
    return SqueezeRange((small - deep) / small, (large - shallow) / large)


def band(use: Use, section: Metres) -> Band:
    """What a gland of this use should keep to; thin rings (to 1.8 mm) may be squeezed up to 32 %.

    Source: groove charts and a seal design guide's gland tables (face 20 to 30 %, radial 15 to 25 %,
    moving 10 to 18 %, turning 3 to 8 %; worst case 10 to 30 %; stretch 1 to 3, at most 5 %; fill at most
    85, refused over 90 %). Where guides disagree on fill (85 to 90) the smaller is taken: plastics and a
    season in water need room. On a turning shaft the ring is larger than the shaft and pressed in from
    outside, because stretched rubber shrinks when it warms and would grab the shaft (from memory).
    """
    found = _BANDS[use]
    if section <= THIN_SECTION and use in (Use.FACE, Use.RADIAL):
        low, high = found.squeeze
        least, most = found.worst
        return Band(
            (low, max(high, THIN_MOST)), (least, max(most, THIN_MOST)), found.stretch, found.usual, found.fill
        )
    return found


def section_when_warmed(section: Metres, expansion: PerKelvin, warming: KelvinDifference) -> Metres:
    """Section of a free ring after a change of temperature, d2 (1 + alpha dT), in metres."""
    return section * (1.0 + expansion * warming)


def piston_depth_when_warmed(
    groove: Metres,
    bore: Metres,
    cap_expansion: PerKelvin,
    tube_expansion: PerKelvin,
    warming: KelvinDifference,
) -> Metres:
    """Depth h of a piston groove when tube and cap have changed temperature together, in metres.

    h = (B (1 + alpha_tube dT) - G (1 + alpha_cap dT))/2: in cold water an acrylic tube closes onto an
    aluminium cap. Good to 30 % of the change.
    """
    return (bore * (1.0 + tube_expansion * warming) - groove * (1.0 + cap_expansion * warming)) / 2.0


def fill_when_warmed(fill: Ratio, expansion: PerKelvin, warming: KelvinDifference, swell: Ratio) -> Ratio:
    """Fill of a groove with the ring warmed and swollen: f (1 + 3 alpha dT)(1 + swell); groove unchanged."""
    return fill * (1.0 + 3.0 * expansion * warming) * (1.0 + swell)
