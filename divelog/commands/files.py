"""``divelog examine`` and ``where``: the files of a home."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from divelog.commands.out import data, fault_data, say, tell_faults
from divelog.exits import Exit
from divelog.files import StorageError, read_capped
from divelog.profiles.document import Fault
from divelog.profiles.toml import MOST_BYTES, parse_toml
from divelog.session.shelf import read_file


def run_examine(words: Namespace) -> int:
    """Every fault of the named files: profiles, sites, kit, days, settings, checklists."""
    faults: list[Fault] = []
    for name in words.files:
        faults.extend(examine(Path(name), name))
    if words.json:
        data(
            {
                "schema": "divelog.faults/1",
                "files": list(words.files),
                "faults": [fault_data(f) for f in faults],
            }
        )
    elif not faults:
        for name in words.files:
            say(f"{name}: no fault")
    tell_faults(faults)
    return Exit.FAULT if faults else Exit.DONE


def examine(path: Path, name: str) -> tuple[Fault, ...]:
    """Faults of one file, whatever kind it is."""
    if path.suffix != ".toml":
        return (Fault(name, 0, "", f"a file called {path.name[:60]!r}", "a .toml file"),)
    try:
        raw = read_capped(path, MOST_BYTES)
    except StorageError as error:
        return (Fault(name, 0, "", str(error), "a file that can be read"),)
    table, _, faults = parse_toml(raw, name)
    if faults:
        return faults
    if "list" in table or "phase" in table:
        from divelog.checks.reading import read_list  # lists are read by the layer that knows them

        return tuple(read_list(raw, name).faults)
    root = kind_of(table)
    if root is None:
        return (Fault(name, 1, "", "no known kind of file", "a boat, site, kit, day, settings or checklist"),)
    return read_file(path, root, name).faults


def kind_of(table: dict[str, object]) -> str | None:
    """Which kind of file a table is, by what stands in it."""
    if "boat" in table or "cylinder" in table:
        return "boat"
    if any(k in table for k in ("pack", "bottle", "transmitter", "meter")):
        return "kit"
    if "plan" in table or "closed" in table or ("site" in table and isinstance(table["site"], str)):
        return "today"
    if "bottom" in table or "wading" in table or ("kind" in table and "water" in table):
        return "site"
    if any(k in table for k in ("theme", "own_pace", "season_start", "device")):
        return "settings"
    return None


def run_where(words: Namespace) -> int:
    """Folders in use."""
    from divelog.home import data_folder

    home = words.where
    folders = {
        "home": str(home.root), "boats": str(home.boats), "sites": str(home.sites), "kit": str(home.kit),
        "checklists": str(home.checklists), "logbook": str(home.logbook), "settings": str(home.settings),
        "shipped checklists": str(data_folder("checklists")), "sample boats": str(data_folder("sample_boats")),
    }  # fmt: skip
    if words.json:
        data({"schema": "divelog.where/1", **{k.replace(" ", "_"): v for k, v in folders.items()}})
        return Exit.DONE
    for name, folder in folders.items():
        say(f"{name:<20}{folder}")
    return Exit.DONE
