"""Whether a home can be written, found out by writing: modes and mounts tell less."""

from __future__ import annotations

from divelog.files import DISK, Disk, remove_quietly, write_atomic
from divelog.home import Home

_TRIAL = ".trial"


def check_writable(home: Home, disk: Disk = DISK) -> None:
    """Write and remove a small file; raises StorageError where that fails."""
    trial = home.root / _TRIAL
    write_atomic(trial, b"", disk)
    remove_quietly(trial, disk)
