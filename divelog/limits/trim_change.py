"""Lead to add or take off since the last trim, inside or in the water, or the advice to leave it alone."""

from __future__ import annotations

from divelog.limits import water
from divelog.limits.balance import Change, change, dived_balance
from divelog.limits.buoyancy import ARCHIMEDES, Wished, band, grams, note_growth, surface_band
from divelog.limits.model import Limit, Move
from divelog.limits.registry import key
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics import buoyancy_change, buoyancy_lead

LEAVE_SHARE = 0.10
"""Of the width of the band: a change smaller than this is left alone (common practice, no source)."""

LEAD_CAUTION = (
    "Lead: wash your hands, make no dust, keep it from children; follow local rules on lead in waters."
)


def _wanted_change(s: Sheet, since: Change, wished: Wished) -> tuple[float, float, str]:
    """Lead to add (+) or take off (-) inside, kg, its u95, and why."""
    record = s.num("boat.dived_balance")
    low, high = wished.shown_least, wished.shown_most
    if low <= record.si <= high or low > high:
        lighter = "lighter" if since.total >= 0 else "heavier"
        words = f"{abs(since.total) * 1e3:.0f} g {lighter} than at the last trim, give or take {since.u95 * 1e3:.0f}"
        return since.total, since.u95, words
    today = s.of(dived_balance)
    middle = (low + high) / 2
    goal = min(low + today.u95, middle) if record.si < low else max(high - today.u95, middle)
    side = "under" if record.si < low else "over"
    words = (
        f"The last trim, {grams(record.si)}, is {side} today's band of {low * 1e3:.0f} to {high * 1e3:.0f} g: "
        f"for {grams(goal)}"
    )
    return today.si - goal, today.u95, words


@key(
    "buoyancy.trim_change",
    "Trim",
    kind="advice",
    sense="advice",
    unit="kg",
    display="g",
    step="0.1 g",
    where="pond",
    needs=("boat.dived_balance", "boat.trimmed_at.temperature", "today.water.temperature"),
    formula=(
        "lead to add (+) or take off (-): the change of balance inside; that / (1 - rho/11340) in the water",
        "left alone up to the greatest of its own ±, a tenth of the band, and 1 g",
    ),
    valid="as the dived balance",
    sources=(ARCHIMEDES, "density of lead: handbook value, from memory"),
)
def trim_change(s: Sheet) -> Limit:
    """Lead to move since the last trim, inside or in the water, or none."""
    note_growth(s)
    s.of(dived_balance)  # names what is missing
    since, rho = s.of(change), s.of(water.density)
    try:
        wished = s.of(band)
    except UnknownError:
        wished = s.of(surface_band)
    amount, u95, words = _wanted_change(s, since, wished)
    leave = max(u95, LEAVE_SHARE * (wished.most - wished.least), buoyancy_change.NOTICED)
    wet = buoyancy_lead.piece_for(amount, rho.si)
    blank = trim_change.new()
    if abs(amount) <= leave:
        return blank.but(
            value=amount,
            u95=u95,
            shown="leave the lead alone",
            remark=words,
            why=(words, f"Under {leave * 1e3:.0f} g: leave the lead alone"),
        )
    verb = "add" if amount > 0 else "take off"
    inside, outside = (f"{abs(m) * 1e3:.1f} g" for m in (amount, wet))
    place = "at the middle of the cylinder's length"
    moves = tuple(
        Move(what, abs(mass), abs(u95 * mass / amount), *(("", place) if amount > 0 else (place, "")))
        for what, mass in (("lead inside", amount), ("lead in the water", wet))
    )
    return blank.but(
        value=amount,
        u95=u95,
        shown=f"{verb} {inside} inside or {outside} in the water",
        remark=words,
        moves=moves,
        why=(words, f"{verb.capitalize()} {inside} of lead inside, or {outside} in the water, {place}"),
        cautions=(LEAD_CAUTION,),
        actions=(f"{verb} the lead and count the coins again",),
    )
