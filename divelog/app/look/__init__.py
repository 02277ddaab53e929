"""The visual language: pages as plain data, drawn by pure functions, painted by one widget.

A screen builds a `page.Page` out of parts (`frame`, `rows`, `answers`, `figures`, `plate`, `gauge`, `charts`)
and hands it to `canvas.Canvas`. Nothing in here knows boats, limits or checks.
"""
