"""A log and files in which any value may be any other: everything that is made of them is still made, without a fault of ours.

Lines of the sample logbook and of the sample files, some of their values put in the place of others or of odd ones. What the
readers let pass is then used as a person would: limits, proofs, upkeep, pages, papers, exports.
"""

from __future__ import annotations

import copy
import json
import random
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from fault_disks import MemoryDisk
from using import BOAT, HOME, empty_home, use

from divelog.files import Form
from divelog.home import data_folder

SAMPLES = data_folder("sample_boats")
ODD: list[Any] = [
    None, True, False, 0, -1, 1, 0.0, -0.0, 1e-308, 1e308, -1e308, 5e-324, 2**63, -(2**64), 10**30, 3.5, "", " ", "x",
    "unknown", "not fitted", "\u00b2", "\u0663", "9" * 400, "-5 m", "1e400 m", "nan", [], {}, [[]], [None], ["x", 1, {}],
    {"si": None}, {"si": 1e308, "u95": 1e308}, {"si": -1e300, "u95": -1.0}, {"si": 0.0, "u95": 0.0},
    {"si": 3, "state": "unknown"}, {"state": "skipped"}, "2032-05-04T08:11:00+01:00", "2032-13-45", "0001-01-01", "tansy",
    "\x1b[2J",
]  # fmt: skip
TIMES = ["1970-01-01T00:00:00Z", "1900-01-01T00:00:00+14:00", "2038-01-19T03:14:08Z", "8999-12-31T23:59:59-11:00",
         "2032-03-28T01:30:00+00:00", "2032-10-31T01:30:00+01:00"]  # fmt: skip
Place = tuple[Any, Any]


def places(value: Any) -> list[Place]:
    """Every place in a value at which another could stand: what holds it, and its key there."""
    found: list[Place] = []
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in items:
        found.append((value, key))
        found += places(one)
    return found


def swap(pick: random.Random, tables: list[Any], odd: list[Any]) -> None:
    """One value becomes an odd one, or one from elsewhere; or a key goes, or another kind of value stands there."""
    holder, key = pick.choice(places(tables))
    way = pick.random()
    if way < 0.6:
        holder[key] = copy.deepcopy(pick.choice(odd))
    elif way < 0.85:
        other, there = pick.choice(places(tables))
        holder[key] = json.loads(json.dumps(other[there], default=str))
    elif isinstance(holder, dict):
        del holder[key]
    else:
        holder[key] = {"si": holder[key]}


def strange_lines(pick: random.Random, name: str) -> bytes:
    lines = [
        json.loads(one) for one in (SAMPLES / "logbook" / name / "laptop.jsonl").read_bytes().splitlines()
    ]
    begin = pick.randrange(max(len(lines) - 80, 1))
    lines = [*lines[begin : begin + 60], *lines[-20:]]
    for line in lines:
        line.pop("prev", None)
    datas = [line["data"] for line in lines]
    for _ in range(pick.randint(1, 12)):
        swap(pick, datas, ODD)
    for line, data in zip(lines, datas, strict=True):
        line["data"] = data
    for _ in range(pick.randint(0, 2)):
        line = pick.choice(lines)
        key = pick.choice(["when", "happened", "up", "run", "by", "v", "what", "boat", "id"])
        line[key] = pick.choice(TIMES) if key in ("when", "happened") else pick.choice(ODD)
    if pick.random() < 0.3:
        pick.shuffle(lines)
    return b"".join(json.dumps(line).encode() + b"\n" for line in lines)


def strange_file(pick: random.Random, path: Path) -> bytes:
    """A file of the samples with a value or two changed, such that it is still a TOML file."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    for _ in range(pick.randint(0, 2)):
        swap(pick, [table], [one for one in ODD if one is not None and not isinstance(one, dict)])
    try:
        return tomli_w.dumps(table).encode()
    except (TypeError, ValueError, UnicodeEncodeError):
        return path.read_bytes()


def strange_home(seed: int) -> MemoryDisk:
    pick = random.Random(seed)
    disk = empty_home()
    boats = (
        [BOAT, "bulrush", "juniper", "bramble"]
        if pick.random() < 0.5
        else [pick.choice(["bulrush", "juniper", "bramble"])]
    )
    for number, name in enumerate(boats):  # whoever she is, she is called Tansy here, so that her log is read
        slug = BOAT if number == 0 else name
        disk.put(
            HOME.boats / f"{slug}.toml", Form.FILE, strange_file(pick, SAMPLES / "boats" / f"{name}.toml")
        )
    for path in sorted((SAMPLES / "sites").iterdir()):
        disk.put(HOME.sites / path.name, Form.FILE, strange_file(pick, path))
    disk.put(HOME.kit, Form.FILE, strange_file(pick, SAMPLES / "kit.toml"))
    disk.put(HOME.settings, Form.FILE, strange_file(pick, SAMPLES / "settings.toml"))
    log = strange_lines(pick, pick.choice(["tansy", "bulrush", "juniper", "bramble"]))
    for name in ("bulrush", "juniper", "bramble"):
        log = log.replace(f'"boat": "{name}"'.encode(), f'"boat": "{BOAT}"'.encode())
    disk.put(HOME.journal_folder(BOAT) / "laptop.jsonl", Form.FILE, log)
    disk.put(HOME.journal_folder(None) / "laptop.jsonl", Form.FILE, strange_lines(pick, "_kit"))
    return disk


@pytest.mark.parametrize("seed", range(4))
def test_whatever_stands_in_it_everything_is_made(seed: int) -> None:
    use(strange_home(seed), seed)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(4, 400))
def test_whatever_else_stands_in_it(seed: int) -> None:
    use(strange_home(seed), seed)
