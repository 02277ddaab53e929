"""Squeeze, stretch and fill of each ring in its groove, from dimensions a calliper gives."""

from __future__ import annotations

from dataclasses import dataclass

from divelog.limits.by_item import each_item
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import nearest, text, worst
from divelog.limits.seal_care import age_caution, grease_caution
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import seals as physics
from divelog.physics.seals import Band, Gland, SqueezeRange, Use
from divelog.profiles.document import Basis, Num

RINGS = ("piston_ring", "face")
DEPTH_U95 = {"turned": 0.05e-3, "printed": 0.15e-3}
"""95 % of a groove's depth by how it was made: common practice, no source."""

OFFSET_ASSUMED = 0.10e-3
"""How far a cap may hang off the middle where nobody measured it: common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Seat:
    """A ring in its groove with what may be off: use, gland, free section, reach of squeeze, and whose guess."""

    use: Use
    gland: Gland
    inside: float
    section: float
    reach: SqueezeRange
    guessed_offset: bool


def _seat(s: Sheet, item: str) -> _Seat:
    here = f"seal[{item}]"
    kind = s.need_word(f"{here}.kind")
    wanted = _wanted(s, here, kind)
    missing = [s.facts.canonical(path) for path in wanted if s.maybe(path) is None]
    if missing:
        raise UnknownError(*missing)
    inside, section = s.si(f"{here}.ring.inside"), s.si(f"{here}.ring.section")
    width = s.si(f"{here}.groove.width")
    offset, guessed = 0.0, False
    if kind == "face":
        inner = s.maybe(f"{here}.groove.diameter")
        use = Use.FACE
        gland = physics.face_gland(
            inside, section, s.si(f"{here}.groove.depth"), width, inner.si if inner is not None else None
        )
    elif s.fact(f"{here}.groove.shaft") is not None:
        use = Use.TURNING if s.stated(f"{here}.shaft.turns") is not None else Use.MOVING
        gland = physics.rod_gland(
            inside, section, s.si(f"{here}.groove.shaft"), s.si(f"{here}.groove.diameter"), width
        )
        offset, guessed = _offset(s, item, None)
    else:
        use = Use.MOVING if s.flag(f"{here}.moves") else Use.RADIAL
        bore = s.si(f"{here}.groove.bore")
        gland = physics.piston_gland(inside, section, s.si(f"{here}.groove.diameter"), bore, width)
        offset, guessed = _offset(s, item, bore)
    made = s.word(f"{here}.groove.made") or "printed"
    reach = physics.squeeze_range(gland, section, physics.section_tolerance(section), DEPTH_U95[made], offset)
    return _Seat(use, gland, inside, section, reach, guessed)


def _wanted(s: Sheet, here: str, kind: str) -> tuple[str, ...]:
    common = (f"{here}.ring.inside", f"{here}.ring.section", f"{here}.groove.width")
    if kind == "face":
        return (*common, f"{here}.groove.depth")
    other = "shaft" if s.fact(f"{here}.groove.shaft") is not None else "bore"
    return (*common, f"{here}.groove.diameter", f"{here}.groove.{other}")


def _offset(s: Sheet, item: str, bore: float | None) -> tuple[float, bool]:
    cap = s.maybe(f"seal[{item}].groove.cap") if bore is not None else None
    if cap is not None and bore is not None:
        return max(0.0, (bore - cap.si) / 2.0), False
    note = "off the middle by 0.10 mm, until the cap is measured"
    guess = s.assume(f"boat.seal[{item}].off_centre", OFFSET_ASSUMED, 0.0, "m", note, star=True)
    return guess.si, True


def _squeeze_verdict(seat: _Seat, band: Band) -> Verdict:
    low, high = band.squeeze
    least, most = band.worst
    if not low <= seat.gland.squeeze <= high:
        return Verdict.OUTSIDE
    if seat.reach.least < least or seat.reach.most > most:
        return Verdict.TOO_CLOSE
    return Verdict.WITHIN


def _stretch_verdict(seat: _Seat, band: Band) -> Verdict:
    low, high = band.stretch
    within = low - 1e-12 <= seat.gland.stretch <= high + 1e-12
    return Verdict.WITHIN if within else Verdict.OUTSIDE


def _fill_verdict(seat: _Seat, band: Band) -> Verdict:
    _, usual, refused = band.fill
    if seat.gland.fill > refused:
        return Verdict.OUTSIDE
    return Verdict.TOO_CLOSE if seat.gland.fill > usual else Verdict.WITHIN


def _remark(seat: _Seat, band: Band) -> str:
    notes = []
    low, high = band.usual
    if seat.use is not Use.FACE and not low <= seat.gland.stretch <= high:
        more = "more" if seat.gland.stretch > high else "less"
        notes.append(f"stretched {more} than usual ({low * 100:.0f} to {high * 100:.0f} %)")
    if seat.gland.fill < band.fill[0]:
        notes.append("slack in its groove")
    return ", ".join(notes)


def _actions(seat: _Seat, band: Band, squeeze: Verdict, stretch: Verdict, fill: Verdict) -> tuple[str, ...]:
    todo = []
    if squeeze is Verdict.OUTSIDE:
        thin = seat.gland.squeeze < band.squeeze[0]
        todo.append("fit a thicker ring or a shallower groove" if thin else "fit a thinner ring")
    elif squeeze is Verdict.TOO_CLOSE:
        todo.append("measure the cap's diameter" if seat.guessed_offset else "measure ring and groove again")
    if stretch is Verdict.OUTSIDE:
        loose = seat.gland.stretch < band.stretch[0]
        todo.append(
            "fit a ring of smaller inside diameter" if loose else "fit a ring of larger inside diameter"
        )
    if fill is not Verdict.WITHIN:
        todo.append("fit a thinner ring or widen the groove")
    return tuple(todo)


def _line(item: str, seat: _Seat, band: Band) -> str:
    gland = seat.gland
    low, high = band.squeeze
    name = item[:1].upper() + item[1:]
    most = (
        f"at most {band.stretch[1] * 100:.0f}"
        if seat.use is not Use.TURNING
        else "never on a shaft that turns"
    )
    return (
        f"{name} ring {seat.inside * 1e3:g} x {seat.section * 1e3:g} in a {gland.depth * 1e3:.2f} mm groove: "
        f"squeezed {gland.squeeze * 100:.0f} % ({low * 100:.0f} to {high * 100:.0f}), "
        f"stretched {gland.stretch * 100:.1f} % ({most}), fills {gland.fill * 100:.0f} %."
    )


def _result(s: Sheet, item: str) -> Limit:
    seat = _seat(s, item)
    gland, band = seat.gland, physics.band(seat.use, seat.section)
    squeeze, stretch, fill = (
        _squeeze_verdict(seat, band),
        _stretch_verdict(seat, band),
        _fill_verdict(seat, band),
    )
    u95 = max(gland.squeeze - seat.reach.least, seat.reach.most - gland.squeeze)
    starred = seat.guessed_offset or s.basis_of(f"seal[{item}].groove.made") is Basis.ASSUMED
    shown = text(nearest(gland.squeeze, 0.01), "%", "share", 0.01)
    why = (
        _line(item, seat, band),
        f"With every tolerance the wrong way: {seat.reach.least * 100:.0f} to {seat.reach.most * 100:.0f} % "
        f"(at least {band.worst[0] * 100:.0f}, at most {band.worst[1] * 100:.0f}).",
        f"Stretching takes {gland.reduction * 100:.1f} % of its section: {gland.section * 1e3:.2f} mm are left.",
    )
    return seals_gland.new(item).but(
        low=band.squeeze[0],
        high=band.squeeze[1],
        value=gland.squeeze,
        u95=u95,
        shown_low=band.squeeze[0],
        shown_high=band.squeeze[1],
        shown=shown + ("*" if starred else ""),
        starred=starred,
        parts=(
            Part("squeeze", gland.squeeze, u95, shown),
            Part("stretch", gland.stretch, 0.0, text(nearest(gland.stretch, 0.001), "%", "share", 0.001)),
            Part("fill", gland.fill, 0.0, text(nearest(gland.fill, 0.01), "%", "share", 0.01)),
        ),
        reading=Num(gland.squeeze, u95),
        verdict=worst(squeeze, stretch, fill),
        why=why,
        remark=_remark(seat, band),
        actions=_actions(seat, band, squeeze, stretch, fill),
        cautions=(*grease_caution(s, item), *age_caution(s, item)),
    )


@key(
    "seals.gland",
    "Rings in their grooves",
    kind="limit",
    sense="band",
    unit="1",
    display="%",
    step="1 %",
    where="bench",
    items="each ring in a groove",
    needs=(
        "boat.seal.ring.inside",
        "boat.seal.ring.section",
        "boat.seal.groove.diameter",
        "boat.seal.groove.width",
        "boat.seal.groove.bore",
    ),
    formula=(
        "stretch X = (seat - inside)/inside; the section loses R(X) by stretching",
        "squeeze = (section - depth)/section, depth half of bore less groove",
        "fill = section of the ring over section of the groove",
        "judged at its nominal size; tolerances alone make it too close",
    ),
    valid="rings of 60 to 80 Shore A, sections 1 to 9 mm, under 1 MPa",
    sources=(
        "SAE AS4716, appendix A (loss of section by stretching)",
        "ISO 3601-1 (tolerances of sections)",
        "groove charts of seal guides (bands)",
    ),
)
def seals_gland(s: Sheet) -> tuple[Limit, ...]:
    """One result for each ring in a groove."""
    items = [item for item in s.ids("seal") if s.word(f"seal[{item}].kind") in RINGS]
    if not items:
        raise NotFittedError("no ring in a groove is written down")
    return each_item(s, seals_gland, items, _result)
