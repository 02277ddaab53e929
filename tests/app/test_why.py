"""Why, in full: of every number of the sample boats everything is said, in whole words, at every size."""

from __future__ import annotations

import dataclasses

import pytest

from divelog.app.display import in_display, plain
from divelog.app.look.layout import LAYOUTS, STANDARD, WIDE
from divelog.app.look.words import size
from divelog.app.names import LONGEST, short_title, title_of, value_text
from divelog.app.reasons import because, lines, reasons
from divelog.app.spots.why import Why
from divelog.journal.loading import load
from divelog.limits import catalogue, sensitivity
from divelog.limits.model import Input
from divelog.limits.sensitivity import number_of
from divelog.profiles.document import Basis
from divelog.text import shown

BOATS = ("tansy", "bulrush")


@pytest.fixture(params=BOATS)
def every(request, worked, shell):
    """A page of why for every number of a boat."""
    shell.change_boat(request.param)
    return [Why(shell, one.key, one.item) for one in shell.desk.limits()]


def said(spot: Why, layout) -> list[str]:
    """The rows of a page, header and keys aside."""
    return spot.draw(layout).text().split("\n")[3 : layout.keys[0]]


def words_of(limit, rests, advice) -> str:
    """Every word that may stand on the page."""
    info = catalogue.info(limit.key)
    rows = lines(reasons(limit, info, rests, advice), 500)
    more = " ".join(f"{title_of(i.path)} {short_title(i.path)} {i.said} {i.on}" for i in limit.inputs)
    words = f"{limit.title} {limit.shown} {limit.remark} {info.step} {more}"
    return " ".join(row.words for row in rows) + " " + words


def test_every_part_stands_in_full_and_nothing_is_cut_inside_a_word(every):
    assert {spot.key for spot in every} == set(catalogue.ORDER)
    for spot in every:
        spot.view = "in full"
        limit, rests, _ = spot._now()
        info = catalogue.info(spot.key)
        rows, seen = [], -1
        while True:  # turned to the end, row by row
            drawn = said(spot, STANDARD)
            rows.append([line.rstrip() for line in drawn])
            if spot.top == seen:
                break
            seen = spot.top
            spot.press("down")
        text = " ".join(" ".join(line for line in page) for page in rows)
        for heading in ("Because", "Formula", "Holds for", "Source"):
            assert heading in text, (spot.key, heading)
        assert ("Rests on" in text) == bool(rests), spot.key
        assert ("Caution" in text) == bool(limit.cautions), spot.key
        together = " ".join(
            " ".join(row.words for row in lines(reasons(limit, info, rests, spot._advice()), 62)).split()
        )
        for sentence in (*because(limit).pieces, *info.formula, info.valid, *limit.source, *limit.cautions):
            assert " ".join(shown(sentence).split()) in together
        for row in rests:  # each with how it is known, its day and its share
            (line,) = [p for r in reasons(limit, info, rests) if r.heading == "Rests on" for p in r.pieces
                       if p.startswith(f"{title_of(row.input.path)}: ")][:1]  # fmt: skip
            assert {"measured", "stated", "assumed*", "missing"} & set(
                line.replace(",", " ").replace(";", " ").split()
            )
            if row.input.on:
                assert row.input.on[:4] in line
            if row.input.u95 > 0 and row.share >= 0.005:
                assert f"{100 * row.share:.0f} % of the +/-" in line
        for page in rows:
            for line in page:
                assert ">" not in line[16:], (spot.key, line)


def test_the_page_at_first_cuts_between_words_and_names_apart(every, look):
    for spot in every:
        limit, rests, _ = spot._now()
        allowed = set(words_of(limit, rests, spot._advice()).replace(";", " ").split())
        for _ in range(max(1, len(rests))):
            drawn = said(spot, STANDARD)
            spot.press("down")
            for line in drawn:
                assert ">" not in line[1:], (spot.key, line)
                head, dots, _ = line.partition(" ..")
                if dots:
                    last = head.split()[-1]
                    assert (
                        any(word.strip(",;:().") == last.strip(",;:().") for word in allowed)
                        or last[0].isdigit()
                    ), (spot.key, line)
        names = {title_of(row.input.path): short_title(row.input.path) for row in rests}
        assert all(size(name) <= LONGEST for name in names.values()), names
        assert len(set(names.values())) == len(names), names


def test_every_page_is_sound_at_every_size_in_every_view(every, look):
    for spot in every[::3]:
        for view in ("list", "chart", "in full"):
            spot.view = view
            for layout in LAYOUTS:
                assert look.problems(spot.draw(layout)) == [], (spot.key, view, layout.name)


def test_a_wide_page_has_words_left_and_inputs_and_chart_right(every):
    for spot in every:
        _, rests, _ = spot._now()
        text = spot.draw(WIDE).text().split("\n")
        left, right = "\n".join(r[:80] for r in text), "\n".join(r[83:] for r in text)
        whole = lines(reasons(spot.limit(), catalogue.info(spot.key), (), spot._advice()), 62)
        if spot.longer:  # a few have more words than rows: v, then the arrows turn them
            assert " .." in left
            for key in ("v", *["down"] * 9):
                spot.press(key)
            left += "\n".join(r[:80] for r in spot.draw(WIDE).text().split("\n"))
            spot.press("v")
        assert whole[-1].words in left, spot.key
        assert "Because" in left, spot.key
        assert "Source" in left, spot.key
        assert ("Rests on" in right) == ("share of the +/-" in right)
        if rests:
            assert "Rests on" in right
            assert "Rests on" not in left
        if rests and rests[0].share > 0:
            assert "How it moves with" in right, spot.key
            assert " now" in right, spot.key


def test_the_one_in_focus_is_always_on_the_wide_page(every):
    for spot in every[::6]:
        for n, row in enumerate(spot._now()[1]):
            spot.focus = n
            right = [line[84:] for line in spot.draw(WIDE).text().split("\n")]
            (mark,) = [line for line in right if line.startswith(">")]
            assert title_of(row.input.path)[:20].rstrip() in mark


def test_the_spread_stands_beside_the_number_it_belongs_to(every):
    """A band has two edges and one value: the ± is the value's."""
    for spot in every:
        limit, info = spot.limit(), catalogue.info(spot.key)
        number = number_of(limit)
        if number is None or limit.u95 == 0.0 or not info.display:
            continue
        (line,) = [row for row in said(spot, STANDARD) if "give or take" in row][:1]
        assert f"{plain(in_display(number, info))} {info.display}, give or take" in line, spot.key


def test_what_if_steps_the_input_moves_the_chart_and_saves_nothing(worked, shell, press):
    spot = Why(shell, "buoyancy.reserve", "")
    shell.push(spot)
    events = len(load(shell.desk.session.home, "tansy").events)
    entry = spot._now()[1][0].input
    before = number_of(spot.limit())
    press("v", "+", "+")
    assert spot.nudges == {entry.path: pytest.approx(entry.u95)}
    (moved,) = [i for i in spot.limit().inputs if i.path == entry.path]
    assert moved.si == pytest.approx(entry.si + entry.u95)
    after = number_of(spot.limit())
    assert after != pytest.approx(before, rel=1e-6)
    # the chart passes through what stands now, and through what stood before
    at = sorted(spot._points(moved))
    assert any(x == pytest.approx(moved.si) and y == pytest.approx(after) for x, y in at)
    assert any(x == pytest.approx(entry.si) and y == pytest.approx(before) for x, y in at)
    text = spot.draw(STANDARD).text()
    assert "trying: not saved" in text
    assert f"as it stands: {shell.desk.limit('buoyancy.reserve').shown}" in text
    assert len(load(shell.desk.session.home, "tansy").events) == events
    press("0")
    assert number_of(spot.limit()) == before
    assert "as it stands" not in spot.draw(STANDARD).text()


def test_a_chart_stays_where_the_input_can_be(worked, shell):
    sheet = shell.desk.sheet()
    one = shell.desk.limit("battery.endurance", "D2")
    (draw,) = [entry for entry in one.inputs if entry.path == "pack[D2].charge_per_minute"]
    draw = dataclasses.replace(draw, u95=0.9 * draw.si)
    points = sensitivity.response(sheet, one, draw, steps=8)
    assert len(points) > 8
    assert all(x > 0.0 for x, _ in points)
    clarity = Input("humidity at closing", 0.6, 0.4, "1", Basis.ASSUMED)
    assert all(
        x > 0.0 for x, _ in sensitivity.response(sheet, shell.desk.limit("cylinder.pressure"), clarity)
    )


def test_values_in_the_unit_the_person_wrote_and_else_the_usual():
    depth = Input("site.bottom", 2.2, 0.1, "m", Basis.STATED, said="2.2 m ± 0.1 m")
    assert value_text(depth) == "2.2 m, +/- 0.1"
    assert value_text(dataclasses.replace(depth, said="220 cm")) == "220 cm, +/- 10"
    assert value_text(dataclasses.replace(depth, si=0.4, said="")) == "400 mm, +/- 100"
    assert value_text(Input("barometer", 101325.0, 3000.0, "Pa", Basis.ASSUMED)) == "101 kPa, +/- 3"
    assert value_text(Input("humidity at closing", 0.6, 0.2, "1", Basis.ASSUMED)) == "0.6, +/- 0.2"
    assert value_text(Input("boat.mass", None, 0.0, "kg", Basis.MISSING)) == "missing"
    assert short_title("health of pack R1") == "health"
    assert short_title("boat.some.very_long_name_for_a_field") == "for a field"
    assert title_of("today.closed.tansy") == "closed at"
