"""Wear in one line, and the sentences under its chart."""

from __future__ import annotations

from math import floor, log10

from divelog.physics.statistics import Meeting, Trend, Voice
from divelog.upkeep.wear import Wear, too_few


def _places(value: float) -> int:
    """Decimals that show two significant figures of a value that is not nought; never more than six."""
    return min(6, max(0, 1 - floor(log10(abs(value)))))


def _counter(value: float) -> str:
    """A wear counter, roughly: whole numbers from five, else one decimal."""
    return f"{value:.0f}" if value >= 5.0 else f"{value:.1f}"


def _plain(value: float, decimals: int) -> str:
    """A number without trailing noughts: 47.0 is 47."""
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _value(found: Wear) -> str:
    quantity, newest = found.quantity, found.newest
    if newest is None:
        return f"{quantity.label}: no reading"
    text = f"{quantity.label} {newest.value:.{quantity.decimals}f} {quantity.unit}"
    if found.limit is None:
        return text
    how = "at most" if quantity.upper else "at least"
    return f"{text}, {how} {_plain(found.limit.shown, quantity.decimals)}"


def _way(found: Wear, trend: Trend) -> str:
    rises = trend.line.slope > 0.0
    return found.quantity.worse if rises == found.quantity.upper else found.quantity.better


def _between(trend: Trend) -> str:
    places = _places(trend.line.slope)
    ends = sorted(abs(end) for end in (trend.line.low, trend.line.high) if end is not None)
    return " to ".join(f"{end:.{places}f}" for end in ends)


def _slope(found: Wear, trend: Trend) -> str:
    size = abs(trend.line.slope)
    return (
        f"{size:.{_places(size)}f} {found.quantity.unit} {_way(found, trend)} {found.quantity.per} "
        f"({_between(trend)}, n {found.n})"
    )


def _trend(found: Wear) -> str:
    if found.trend is None or too_few(found):
        since = f" since {found.cut.why}" if found.cut is not None else ""
        points = "reading" if found.n == 1 else "readings"
        return f"{found.n} {points}{since}: too few to tell" if found.n else ""
    if found.voice is Voice.SPEAKS:
        return _slope(found, found.trend)
    if found.voice is Voice.PERHAPS:
        return f"perhaps {_way(found, found.trend)} (n {found.n})"
    return f"n {found.n}"


def _meets(found: Wear) -> str:
    met, limit = found.crossing, found.limit
    if met is None or limit is None or met.meeting is not Meeting.AHEAD or met.at is None:
        return ""
    value = _plain(limit.value, found.quantity.decimals)
    return f"{value} {found.quantity.unit} at about {_counter(met.at)} {found.quantity.counter}"


def line(found: Wear) -> str:
    """One line: reading and limit, the trend if it may be told, and where it would meet the limit."""
    return "; ".join(part for part in (_value(found), _trend(found), _meets(found)) if part) + "."


def _span(found: Wear) -> str:
    met = found.crossing
    if met is None or found.trend is None:
        return ""
    if met.soonest is not None and met.latest is not None:
        ends = f"{_counter(met.soonest)} and {_counter(met.latest)}"
        return f"It meets its limit between {ends} {found.quantity.counter}."
    if met.meeting is Meeting.FAR:
        ahead = _counter(found.trend.last - found.trend.first)
        return f"It does not meet its limit within the next {ahead} {found.quantity.counter}."
    return ""


def _unusual(found: Wear) -> str:
    if found.usual is None or not found.is_unusual:
        return ""
    places = found.quantity.decimals
    low, high = f"{found.usual.low:.{places}f}", f"{found.usual.high:.{places}f}"
    return f"Outside its usual run of {found.usual.n} readings ({low} to {high} {found.quantity.unit})."


def _changed(found: Wear) -> str:
    if found.change is None or found.cut is None:
        return ""
    places = found.quantity.decimals
    by = found.change.shift
    way = "more" if by > 0.0 else "less"
    text = f"Since {found.cut.why}: {abs(by):.{places}f} {found.quantity.unit} {way}"
    if found.change.low is None or found.change.high is None:
        return text + "."
    ends = sorted((abs(found.change.low), abs(found.change.high)))
    return f"{text} ({ends[0]:.{places}f} to {ends[1]:.{places}f})."


def details(found: Wear) -> tuple[str, ...]:
    """Sentences under the chart: what was compared, what is unusual, what to ask. Never more than is known."""
    sentences = []
    if found.trend is not None and not too_few(found):
        sentences.append(f"{found.n} like readings since {found.cut.why if found.cut else 'the first'}.")
    if found.unlike:
        count = len(found.unlike)
        verb = "was" if count == 1 else "were"
        readings = "reading" if count == 1 else "readings"
        sentences.append(f"{count} {readings} taken under other conditions {verb} left out.")
    if found.step is not None:
        after = found.step.after
        sentences.append(f"Did something change between readings {after} and {after + 1}?")
    sentences += [_changed(found), _unusual(found), _span(found)]
    return tuple(sentence for sentence in sentences if sentence)
