"""Words: statuses, cutting and wrapping in columns."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from divelog.app.look.words import Status, cut, cut_name, cut_names, head, tail, wrap

foreign = st.text(st.one_of(st.characters(), st.sampled_from("\x1b\u202e船🚢e\u0301 \n")), max_size=80)


def test_nine_statuses_each_with_its_own_ascii_sign() -> None:
    assert [f"{s.sign} {s.word}" for s in Status] == [
        "+ within",
        "X OUTSIDE",
        "~ too close",
        ". no reading",
        "? unknown",
        "! to prove",
        "= done",
        "- skipped",
        "/ not fitted",
    ]
    assert len({s.sign for s in Status}) == 9
    assert {s for s in Status if s.bold} == {Status.OUTSIDE, Status.TOO_CLOSE, Status.TO_PROVE}
    assert max(len(s.word) for s in Status) == 10


def test_a_cut_name_keeps_its_beginning_and_its_end() -> None:
    assert cut_name("TANSY") == "TANSY"
    assert cut_name("PRINCESS ROYAL IV") == "PRINCESS..L IV"
    assert cell_len(cut_name("船" * 40)) <= 14


def test_sisters_get_their_number() -> None:
    assert cut_names(["TANSY", "LADY OF THE FAR LAKE", "LADY OF THE OLD LAKE", "BRAMBLE"]) == (
        "TANSY",
        "2 LADY O..LAKE",
        "3 LADY O..LAKE",
        "BRAMBLE",
    )


@settings(max_examples=100, deadline=None)
@given(text=foreign, cells=st.integers(0, 70))
def test_a_cut_never_runs_over(text: str, cells: int) -> None:
    for piece in (cut(text, cells), head(text, cells), tail(text, cells)):
        assert cell_len(piece) <= cells
    if cells >= 8:
        assert cell_len(cut_name(text, cells)) <= cells


@settings(max_examples=100, deadline=None)
@given(text=foreign, cells=st.integers(2, 70))
def test_wrapping_loses_nothing_and_never_runs_over(text: str, cells: int) -> None:
    from divelog.text import shown

    lines = wrap(text, cells)
    assert all(cell_len(line) <= cells for line in lines)
    assert all(line == line.strip() and line for line in lines)
    assert "".join("".join(lines).split()) == "".join(shown(text).split())


def test_wrapping_breaks_at_words() -> None:
    text = "Wear is worked out from six like readings up; it starts afresh at every change of part."
    assert wrap(text, 62) == (
        "Wear is worked out from six like readings up; it starts afresh",
        "at every change of part.",
    )
    assert wrap("", 62) == ()
    assert wrap("a" * 10, 4) == ("aaaa", "aaaa", "aa")
