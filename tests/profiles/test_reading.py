"""Profiles from files: every fault with its line, and nothing that raises."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.home import data_folder
from divelog.profiles.document import Num, State
from divelog.profiles.positions import key_lines, line_of
from divelog.profiles.reading import read_document
from divelog.profiles.schema import BOAT, KIT, SCHEMAS, SITE
from divelog.profiles.toml import MOST_BYTES, parse_toml

SAMPLES = data_folder("sample_boats")
TANSY = (SAMPLES / "boats" / "tansy.toml").read_text(encoding="utf-8")
FOLDERS = {"boats": "boat", "sites": "site", "days": "today"}


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*/*.toml")), ids=lambda p: f"{p.parent.name}/{p.name}")
def test_every_shipped_file_is_without_fault(path):
    document = read_document(path.read_bytes(), path.name, SCHEMAS[FOLDERS[path.parent.name]])
    assert [f.sentence() for f in document.faults] == []


def test_the_shipped_kit_is_without_fault():
    document = read_document((SAMPLES / "kit.toml").read_bytes(), "kit.toml", KIT)
    assert [f.sentence() for f in document.faults] == []
    assert "D2" in document.entries["pack"]


def faults_of(text: str):
    return read_document(text.encode(), "tansy.toml", BOAT).faults


def line_number(text: str, part: str) -> int:
    return next(n for n, row in enumerate(text.split("\n"), 1) if part in row)


@pytest.mark.parametrize(
    ("old", "new", "path", "found", "wanted"),
    [
        ('length = "920 mm"', "length = 920", "boat.length", "920, a bare number", '"920 mm"'),
        ('length = "920 mm"', 'length = "920 kg"', "boat.length", "unit of", "a length"),
        ('length = "920 mm"', 'length = "1e400 m"', "boat.length", "out of all bounds", "a length"),
        ('mass = "5.76 kg ± 10 g"', 'mass = "-5 kg"', "boat.mass", '"-5 kg"', "a mass from"),
        ('hull = "flooding"', 'hull = "floding"', "boat.hull", '"floding"', 'did you mean "flooding"'),
        ('beam = "112 mm"', 'baem = "112 mm"', "boat.baem", 'the key "baem"', 'did you mean "beam"'),
        ("owner_inside = true", 'owner_inside = "yes"', "boat.owner_inside", '"yes"', "true or false"),
        ('kind = "piston"\n', "kind = 3\n", "boat.ballast.kind", "3", "one of"),
        ('draught = "118 mm"', 'draught = "218 mm"', "boat.draught", "against", "at most the height"),
    ],
)
def test_a_fault_names_file_line_path_found_and_wanted(old, new, path, found, wanted):
    text = TANSY.replace(old, new, 1)
    assert text != TANSY
    [fault] = faults_of(text)
    assert (fault.file, fault.line, fault.path) == ("tansy.toml", line_number(text, new.strip()), path)
    assert found in fault.found
    assert wanted in fault.wanted


def test_all_faults_are_collected_in_order_of_lines():
    text = TANSY.replace('length = "920 mm"', "length = 920").replace('band = "40 MHz"', 'band = "41 MHz"')
    faults = faults_of(text.replace('wall = "4 mm"', 'wall = "4"'))
    assert [f.path for f in faults] == ["boat.length", "boat.cylinder.wall", "boat.radio.band"]
    assert [f.line for f in faults] == sorted(f.line for f in faults)


def test_a_missing_required_key_says_what_to_write():
    faults = faults_of(TANSY.replace('name = "Tansy"\n', "", 1))
    assert [(f.path, f.found) for f in faults] == [("boat.name", "nothing")]


def test_unknown_is_legal_anywhere_a_value_is():
    document = read_document(
        TANSY.replace('length = "920 mm"', 'length = "unknown"').encode(), "t.toml", BOAT
    )
    assert document.faults == ()
    assert document.facts["length"].state is State.UNKNOWN
    site = (
        (SAMPLES / "sites" / "withy-pond.toml").read_text().replace('bottom = "2.2 m"', 'bottom = "unknown"')
    )
    assert read_document(site.encode(), "s.toml", SITE).faults == ()


def test_a_plus_minus_of_the_person_wins_over_the_usual_one():
    document = read_document(TANSY.encode(), "t.toml", BOAT)
    assert document.facts["mass"].value == Num(5.76, 0.01)
    assert document.facts["radio.failsafe_delay"].value == Num(1.5, 0.3)


@pytest.mark.parametrize(
    "raw",
    [
        b"", b"   \n", b"\xff\xfe\x00garbage", b"\x00" * 40, b"format = 1\n[boat\n", b"= 3", b'name = "unclosed',
        b"a" * (MOST_BYTES + 1), b"a." * 5000 + b"b = 1", b"x = " + b"[" * 5000, b"x = " + b"{a=" * 3000,
        b"format = " + b"9" * 5000, b"format = nan", b"[[boat]]\nname = 3", b"boat = 3", b"cap = 3\nformat = 1",
        b"[boat]\ncap = [1, 2]", b"format = 1\n[[cap]]\nid = 3\n[[cap]]\nid = 3",
    ],
    ids=range(18),
)  # fmt: skip
def test_hostile_bytes_become_faults(raw):
    document = read_document(raw, "x.toml", BOAT)
    assert document.faults
    assert all(f.found and f.wanted for f in document.faults)


@given(st.binary(max_size=600))
def test_any_bytes_become_a_model_or_faults(raw):
    for schema in SCHEMAS.values():
        read_document(raw, "x.toml", schema)


_KEYS = st.sampled_from(
    ["name", "length", "cylinder", "cap", "seal", "ballast", "upkeep", "notes", "x y", "é"]
)
_VALUES = st.recursive(
    st.one_of(
        st.integers(),
        st.booleans(),
        st.floats(allow_nan=True),
        st.text(max_size=20),
        st.sampled_from(["5 mm", "unknown"]),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(_KEYS, inner, max_size=3)),
    max_leaves=8,
)


@given(st.dictionaries(_KEYS, _VALUES, max_size=6))
def test_any_toml_becomes_a_model_or_faults(table):
    import tomli_w

    try:
        text = tomli_w.dumps(table)
    except (ValueError, TypeError):
        return
    document = read_document(text.encode("utf-8", "replace"), "x.toml", BOAT)
    assert document.faults  # no random table is a whole boat


def test_every_leaf_has_the_line_it_stands_on():
    lines = key_lines(TANSY)
    rows = TANSY.split("\n")
    table = tomllib.loads(TANSY)

    def walk(value, path):
        if isinstance(value, dict):
            for key, inner in value.items():
                yield from walk(inner, f"{path}.{key}" if path else key)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for index, inner in enumerate(value):
                yield from walk(inner, f"{path}[{index}]")
        else:
            yield path

    for path in walk(table, ""):
        line = line_of(lines, path)
        parts = [p.split("[")[0] for p in path.split(".")]
        assert line, path
        assert any(part in rows[line - 1] for part in parts[-2:]), (path, rows[line - 1])


def test_positions_step_over_texts_and_lists_of_many_lines():
    text = 'a = """\nb = 1\n"""\nc = [\n  "d = 2",\n]\n[e.f]\ng = 1\n[[h]]\ni = 1\n[[h]]\ni = 2\n'
    lines = key_lines(text)
    assert lines == {"a": 1, "c": 4, "e.f": 7, "e.f.g": 8, "h[0]": 9, "h[0].i": 10, "h[1]": 11, "h[1].i": 12}


def test_a_syntax_fault_names_its_line():
    _, _, [fault] = parse_toml(b'format = 1\n[boat]\nname = Tansy"\n', "t.toml")
    assert fault.line == 3
    assert "name = Tansy" in fault.found
