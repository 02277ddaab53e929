"""Facts -> TOML -> the same facts, for any field; the hand of a file kept where it can be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog import units
from divelog.profiles import writing
from divelog.profiles.document import Document, Fact, Num, State
from divelog.profiles.facts import empty_document
from divelog.profiles.fields import Field, Kind
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
FILES = [
    *sorted((SAMPLES / "boats").glob("*.toml")),
    *sorted((SAMPLES / "sites").glob("*.toml")),
    SAMPLES / "kit.toml",
]


def root_of(path: Path) -> str:
    return {"boats": "boat", "sites": "site"}.get(path.parent.name, "kit")


def read(text: str, root: str = "boat", file: str = "x.toml") -> Document:
    return read_document(text.encode(), file, SCHEMAS[root])


def said(document: Document) -> dict[str, tuple[object, ...]]:
    return {path: (f.value, f.state, f.said) for path, f in document.facts.items()}


# -- round trip -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_sample_file_reads_back_the_same(path):
    document = read_document(path.read_bytes(), path.name, SCHEMAS[root_of(path)])
    assert document.faults == ()
    text = writing.text_of(document)
    again = read(text, document.root)
    assert again.faults == ()
    assert said(again) == said(document)
    assert again.entries == document.entries
    assert writing.text_of(again) == text  # written twice it stays as it is


# Letters that break careless writers of TOML: quotes, backslashes, brackets, dots, signs, wide and combining ones.
words = st.text(
    st.sampled_from("ab Z09\"'\\#=.[]{},\t\n\u00e9\u0301\u4e2d\U0001f6a4-"), min_size=1, max_size=24
).filter(lambda s: bool(s.strip()) and s.strip() not in ("unknown", "not fitted", "true", "false"))
names = st.text(st.sampled_from("abcdefz019 -"), min_size=1, max_size=14).filter(lambda s: bool(s.strip()))


def quantities(field: Field) -> st.SearchStrategy[Fact]:
    symbols = [s for s in units.allowed(field.dimension) if s != "C"]

    def made(args: tuple[float, str, int]) -> Fact | None:
        share, symbol, spread = args
        low = -10.0 if field.low is None else field.low
        high = 1000.0 if field.high is None else field.high
        unit = units.find(symbol, field.dimension)
        number = f"{(low + share * (high - low) - unit.offset) / unit.factor:.5g}"
        width = (
            ""
            if spread == 0
            else " ± 3 %"
            if spread == 1 and field.dimension not in ("share", "salinity")
            else " ± 0.5"
        )
        text = f"{number} {symbol}{width}"
        one = read_document(b"x = 1", "x", replace(SCHEMAS["boat"], fields=(field,), entries=()))
        assert one.faults
        try:
            from divelog.profiles.reading import read_value

            value, typed, gave = read_value(field, text)
        except units.UnitFaultError:
            return None
        return Fact(value, typed=typed, said=gave)

    return (
        st.tuples(st.floats(0.01, 0.99), st.sampled_from(symbols), st.integers(0, 2)).map(made).filter(bool)
    )


def facts_of(field: Field) -> st.SearchStrategy[Fact]:
    """Any fact a field can hold."""
    if field.kind is Kind.QUANTITY:
        known = quantities(field)
    elif field.kind is Kind.CHOICE:
        known = st.sampled_from(field.choices).map(Fact)
    elif field.kind is Kind.FLAG:
        known = st.booleans().map(Fact)
    elif field.kind is Kind.COUNT:
        low, high = int(field.low or 0), int(field.high or 100)
        known = (st.floats(1.0, 1.6) if field.path == "rate_exponent" else st.integers(low, high)).map(
            lambda n: Fact(float(n))
        )
    elif field.kind is Kind.DATE:
        known = st.dates(date(2001, 1, 1), date(2099, 12, 31)).map(Fact)
    elif field.kind is Kind.TEXTS:
        known = st.lists(words, max_size=4).map(lambda v: Fact(tuple(v)))
    elif field.kind is Kind.CHOICES:
        known = st.lists(st.sampled_from(field.choices), max_size=3).map(lambda v: Fact(tuple(v)))
    elif field.kind is Kind.COUNTS:
        known = st.lists(st.integers(1, 12), max_size=4).map(lambda v: Fact(tuple(f"{n}" for n in v)))
    elif field.kind is Kind.WORDS:
        known = st.dictionaries(names, words, min_size=1, max_size=4).map(lambda d: Fact(tuple(d.items())))
    else:
        known = words.map(Fact)
    unknown = st.just(Fact(None, State.UNKNOWN, typed="unknown"))
    return (
        known
        if field.kind is Kind.CHOICE and "unknown" in field.choices
        else st.one_of(known, known, known, unknown)
    )


@st.composite
def documents(draw: st.DrawFn, root: str) -> Document:
    """A whole document: every field that must stand, some of the others, some entries."""
    schema = SCHEMAS[root]
    facts: dict[str, Fact] = {"format": Fact(1.0, typed="1")}
    entries: dict[str, tuple[str, ...]] = {}
    chosen = [f for f in schema.fields if f.path != "format" and f.kind is not Kind.QUANTITIES]
    for field in draw(st.lists(st.sampled_from(chosen), unique=True, max_size=14)) if chosen else ():
        facts[field.path] = draw(facts_of(field))
    for one in schema.entries:
        if one.path == "line":
            entries[one.path] = ()
            continue
        ids = draw(st.lists(names, unique=True, max_size=2))
        if one.key in ("trigger",):
            key = next(f for f in one.fields if f.path == one.key)
            ids = draw(st.lists(st.sampled_from(key.choices), unique=True, min_size=1, max_size=2))
        entries[one.path] = tuple(ids)
        for entry in ids:
            facts[f"{one.path}[{entry}].{one.key}"] = Fact(entry)
            others = [f for f in one.fields if f.path != one.key]
            for field in draw(st.lists(st.sampled_from(others), unique=True, max_size=5)):
                facts[f"{one.path}[{entry}].{field.path}"] = draw(facts_of(field))
    return Document(root, "x.toml", MappingProxyType(facts), MappingProxyType(entries))


def missing_only(document: Document) -> bool:
    """A random document lacks required fields; everything else about it is sound."""
    return all(fault.found in ("nothing", "none") or "against" in fault.found for fault in document.faults)


@pytest.mark.parametrize("root", ["boat", "kit", "site", "settings"])
def test_any_facts_read_back_as_they_were(root):
    @settings(max_examples=120)
    @given(documents(root))
    def holds(document: Document) -> None:
        again = read(writing.render(document), root)
        assert missing_only(again), again.faults
        assert said(again) == said(document)
        assert {k: v for k, v in again.entries.items() if v} == {
            k: v for k, v in document.entries.items() if v
        }

    holds()


@given(st.sampled_from(sorted(writing._USUAL)), st.floats(1e-6, 1e3), st.floats(0.0, 1e2))
def test_a_number_of_the_program_is_written_in_a_usual_unit(dimension, si, u95):
    field = Field("x", Kind.QUANTITY, SCHEMAS["boat"].fields[0].mark, dimension)
    text = writing.quantity_text(field, Num(si, u95))
    again = units.parse(text, dimension)
    assert again.si == pytest.approx(si, rel=6e-9, abs=1e-6 if "temperature" in dimension else 0.0)
    assert again.u95 == pytest.approx(u95, rel=1e-5)


def test_a_decimal_comma_is_written_as_a_point():
    field = next(f for f in SCHEMAS["boat"].fields if f.path == "mass")
    assert writing.quantity_text(field, Num(7.62), "7,62 kg") == "7.62 kg"


def test_a_number_that_is_known_without_doubt_stays_so():
    field = next(f for f in SCHEMAS["boat"].fields if f.path == "motion.time_up")
    assert field.u95 == 1.0
    assert writing.quantity_text(field, Num(14.0, 0.0), said=True) == "14 s ± 0 s"
    assert writing.quantity_text(field, Num(14.0, 1.0), said=False) == "14 s"


# -- texts that no line holds ---------------------------------------------------------------------------------------


def test_a_text_longer_than_a_line_may_be_reads_back(tmp_path):
    long = ("Old paint, new hatch; the fore ring sits proud.  Twice. " * 70)[:3900].strip()
    document = replace(
        empty_document("settings"), root="site",
        facts=MappingProxyType({"name": Fact("Pond"), "notes": Fact((("history", long), ("b", "x" * 2500)))}),
    )  # fmt: skip
    text = writing.render(document)
    assert max(len(line) for line in text.split("\n")) < 2000
    assert dict(read(text, "site").value("notes")) == {"history": long, "b": "x" * 2500}


def test_many_texts_go_on_lines_of_their_own():
    document = replace(
        empty_document("site"),
        facts=MappingProxyType({"rules": Fact(tuple("r" * 90 + str(n) for n in range(60)))}),
    )
    again = read(writing.render(document), "site")
    assert again.value("rules") == document.value("rules")


def test_what_would_not_read_back_is_refused_in_words():
    bad = replace(empty_document("boat"), facts=MappingProxyType({"name": Fact("[" * 20)}))
    with pytest.raises(writing.WritingError, match=r"brackets|wanted"):
        writing.text_of(bad)


# -- changes --------------------------------------------------------------------------------------------------------

HAND = """\
format = 1   # the first
# my pond
name = "Old # Pond"   # as on the sign
kind = "pond"
water = "fresh"
bottom = "2.2 m"      # by string
wading = "no"
second_person = true
rules = [
  "quiet",
]
"""


def site(text: str) -> Document:
    document = read(text, "site")
    assert document.faults == ()
    return document


def test_a_changed_value_stays_on_its_line_with_its_comment():
    before = site(HAND)
    after = writing.with_facts(before, {"bottom": Fact(Num(1.9, 0.05), typed="1.9 m ± 5 cm", said=True)})
    text, kept = writing.amended(before, after)
    assert kept
    assert text == HAND.replace('"2.2 m"', '"1.9 m ± 5 cm"')
    assert writing.changed_paths(before, after) == ("site.bottom",)


def test_a_new_value_comes_under_its_table_and_a_lost_one_goes():
    before = site(HAND)
    after = writing.with_facts(
        before, {"fetch": Fact(Num(140.0), typed="140 m"), "wading": None, "name": Fact("Weir")}
    )
    with pytest.raises(writing.WritingError):  # wading must stand
        writing.amended(before, after)
    after = writing.with_facts(before, {"fetch": Fact(Num(140.0), typed="140 m"), "name": Fact("Weir")})
    text, kept = writing.amended(before, after)
    assert kept
    assert 'second_person = true\nfetch = "140 m"\n' in text
    assert 'name = "Weir"   # as on the sign' in text
    assert "# my pond" in text


def test_a_value_over_several_lines_has_the_file_written_anew():
    before = site(HAND)
    after = writing.with_facts(before, {"rules": Fact(("loud",))})
    text, kept = writing.amended(before, after)
    assert not kept
    assert "# my pond" not in text
    assert site(text).texts_at("rules") == ("loud",)


def test_a_new_entry_is_added_at_the_end_and_nothing_else_moves():
    path = SAMPLES / "kit.toml"
    before = read_document(path.read_bytes(), "kit.toml", SCHEMAS["kit"])
    new = {
        "pack[N1].id": Fact("N1"), "pack[N1].chemistry": Fact("nickel cadmium"), "pack[N1].cells": Fact(6.0),
        "pack[N1].capacity": Fact(Num(7200.0), typed="2 A h"),
    }  # fmt: skip
    after = writing.with_facts(before, new)
    assert after.entries["pack"][-1] == "N1"
    text, kept = writing.amended(before, after)
    assert kept
    assert text.startswith(before.text.rstrip("\n"))
    assert text.endswith('[[pack]]\nid = "N1"\nchemistry = "nickel cadmium"\ncells = 6\ncapacity = "2 A h"\n')


def test_the_first_entry_of_a_kit_makes_the_file():
    text, kept = writing.amended(empty_document("kit"), writing.with_facts(empty_document("kit"), {
        "transmitter[tx-a].id": Fact("tx-a"), "transmitter[tx-a].band": Fact("40 MHz")}))  # fmt: skip
    assert kept
    assert text == 'format = 1\n\n[[transmitter]]\nid = "tx-a"\nband = "40 MHz"\n'


def test_an_entry_that_loses_all_its_facts_goes():
    before = read(
        'format = 1\n[[transmitter]]\nid = "a"\nband = "40 MHz"\n[[transmitter]]\nid = "b"\nband = "27 MHz"\n',
        "kit",
    )
    after = writing.with_facts(before, {"transmitter[a].id": None, "transmitter[a].band": None})
    assert after.entries["transmitter"] == ("b",)
    text, _ = writing.amended(before, after)
    assert read(text, "kit").entries["transmitter"] == ("b",)


def test_an_entry_is_taken_out_and_the_hand_of_the_rest_stays():
    path = SAMPLES / "boats" / "tansy.toml"
    before = read("# my boat\n" + path.read_text(encoding="utf-8"))
    gone = {p: None for p in before.facts if p.startswith("cap[fore cap].")}
    text, kept = writing.amended(before, writing.with_facts(before, gone))
    assert kept
    assert text.startswith("# my boat\n")
    assert read(text).entries["cap"] == ("aft cap",)
    assert len(before.text.split("\n")) - len(text.split("\n")) == len(gone) + 1


def test_a_table_that_is_new_comes_at_the_end():
    before = site(HAND)
    banks = {"banks.north": Fact(Num(40.0), typed="40 m"), "banks.east": Fact(Num(120.0), typed="120 m")}
    text, kept = writing.amended(before, writing.with_facts(before, banks))
    assert kept
    assert text.endswith('\n[banks]\nnorth = "40 m"\neast = "120 m"\n')


def test_one_value_of_an_inline_table_has_the_file_written_anew():
    before = read((SAMPLES / "boats" / "tansy.toml").read_text(encoding="utf-8"))
    after = writing.with_facts(before, {"ballast.tank.bottom": Fact(Num(0.04), typed="40 mm")})
    text, kept = writing.amended(before, after)
    assert not kept
    assert read(text).value("ballast.tank.bottom").si == pytest.approx(0.04)


@given(st.data())
def test_any_change_of_a_sample_boat_reads_back_as_changed(data):
    path = data.draw(st.sampled_from([p for p in FILES if root_of(p) == "boat"]))
    before = read_document(path.read_bytes(), path.name, SCHEMAS["boat"])
    optional = [
        f for f in SCHEMAS["boat"].fields if f.mark is not f.mark.REQUIRED and f.kind is not Kind.QUANTITIES
    ]
    changes: dict[str, Fact | None] = {}
    for field in data.draw(st.lists(st.sampled_from(optional), unique=True, min_size=1, max_size=4)):
        changes[field.path] = data.draw(st.one_of(st.none(), facts_of(field)))
    after = writing.with_facts(before, changes)
    try:
        text, _ = writing.amended(before, after)
    except writing.WritingError:
        return  # two figures that cannot both be right
    assert said(read(text)) == said(after)


def test_writing_makes_the_file_in_one_step(tmp_path):
    document = read((SAMPLES / "boats" / "tansy.toml").read_text(encoding="utf-8"))
    path = tmp_path / "boats" / "tansy.toml"
    text = writing.write_file(path, document)
    assert path.read_text(encoding="utf-8") == text
    assert [p.name for p in path.parent.iterdir()] == ["tansy.toml"]


def test_equal_facts_are_no_change():
    document = read((SAMPLES / "boats" / "tansy.toml").read_text(encoding="utf-8"))
    spaced = read("# note\n\n" + document.text)
    assert writing.changed_paths(document, spaced) == ()
    assert writing.same_facts(document, spaced)
    assert not writing.same_facts(document, writing.with_facts(document, {"mass": None}))
    assert not writing.same_facts(document, writing.with_facts(document, {"mass": Fact(None, State.UNKNOWN)}))
