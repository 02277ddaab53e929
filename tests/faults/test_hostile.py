"""Files that once broke something, or were made to: each must be a fault in plain words. The folder grows with every bug."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from using import BOAT, HOME, sample_home, use

from divelog.files import Form
from divelog.papers.telemetry.mapping import read_mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.papers.telemetry.reading import read
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.sharing.reading import look

FOLDER = Path(__file__).with_name("hostile")
NOW = datetime.fromisoformat("2032-05-04T20:00:00+01:00")
MAPPING = b'format = 1\n[time]\ncolumn = "t"\ncounts = "seconds"\n[[column]]\ngives = "depth"\ncolumn = "depth"\nunit = "m"\n'


def files(ending: str) -> list[str]:
    return sorted(path.name for path in FOLDER.iterdir() if path.suffix == ending)


def harmless(text: str) -> bool:
    return bool(text) and not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in text)


@pytest.mark.parametrize("name", files(".zip"))
def test_bundles(name):
    found = look((FOLDER / name).read_bytes(), name, NOW)
    assert found.faults
    assert not found.whole
    assert found.boat is None
    assert found.events == ()
    assert all(harmless(fault.found) and fault.wanted for fault in found.faults)


@pytest.mark.parametrize("name", files(".csv"))
def test_readings(name):
    mapping, _ = read_mapping(MAPPING, "m.toml")
    assert mapping is not None
    raw = (FOLDER / name).read_bytes()
    chunks = [raw[n : n + 5] for n in range(0, len(raw), 5)]
    with pytest.raises(TelemetryError) as told:
        read(chunks, mapping)
    assert harmless(str(told.value))


@pytest.mark.parametrize("name", files(".toml"))
def test_tables(name):
    raw = (FOLDER / name).read_bytes()
    found, faults = read_mapping(raw, name)
    assert found is None
    assert faults
    assert read_document(raw, name, SCHEMAS["boat"]).faults


@pytest.mark.parametrize("name", files(".jsonl"))
def test_logs(name):
    """Lines that are events, of things that cannot be: everything is still made of them."""
    disk = sample_home()
    disk.put(HOME.journal_folder(BOAT) / name, Form.FILE, (FOLDER / name).read_bytes())
    use(disk, 1)
