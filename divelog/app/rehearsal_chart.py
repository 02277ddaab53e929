"""A rehearsal as a chart: depth downwards over seconds, the bed, and where the aerial goes."""

from __future__ import annotations

import math

from divelog.app.look.charts import Path, path_chart, path_rows
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, at
from divelog.limits.rehearsal import Rehearsal

AERIAL = "aerial goes"
ABOVE = 0.999
"""The band is cut a hair over the bed, so that it is never drawn in it."""

ROUND = 5.0
"""The time scale ends on a multiple of this, s."""


def path_of(found: Rehearsal) -> Path:
    """The path with its band on the deep side; one that ends down goes on lying there to the end of the scale."""
    bed = found.bottom
    last = found.path[-1]
    end = last.time
    if found.surfaced is not None and math.isfinite(found.surfaced.u95):
        end = min(found.surfaced.si + found.surfaced.u95, 2.0 * end)
    until = ROUND * max(1.0, math.ceil(max(end, last.time) / ROUND + 1e-9))
    points = [(m.time, m.depth) for m in found.path]
    widths = [m.u95 if bed is None else max(0.0, min(m.u95, ABOVE * (bed - m.depth))) for m in found.path]
    if found.surfaced is None and until > last.time:
        points.append((until, last.depth))
        widths.append(widths[-1])
    line = found.aerial if found.aerial is not None and 0.0 < found.aerial < (bed or math.inf) else None
    return Path(tuple(points), tuple(widths), bed, line, AERIAL if line is not None else "", until)


def chart_rows(layout: Layout) -> int:
    """Most rows the chart takes: the word *keel*, the plot, the seconds."""
    return path_rows(layout) + 2


def rehearsal_chart(layout: Layout, row: int, found: Rehearsal) -> Part:
    """The chart under the word *keel*: depths are of the keel."""
    return at(row, layout.sign, "keel", kind=Kind.CHART) + path_chart(layout, row + 1, path_of(found))
