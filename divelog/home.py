"""Where things are: the person's home folder, and the lists and sample boats that come with the program."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

KIT = "_kit"
"""Folder of the events of no boat; no boat can have this name."""


@dataclass(frozen=True, slots=True)
class Home:
    """The one folder that holds a person's boats and logbook. Nothing is made until something is written."""

    root: Path

    @property
    def boats(self) -> Path:
        """Folder of the boats' profiles, one `.toml` each."""
        return self.root / "boats"

    @property
    def sites(self) -> Path:
        """Folder of the sites, one `.toml` each."""
        return self.root / "sites"

    @property
    def kit(self) -> Path:
        """File of packs, bottles, transmitters and meters."""
        return self.root / "kit.toml"

    @property
    def checklists(self) -> Path:
        """Folder of the person's own lists, laid over the shipped ones."""
        return self.root / "checklists"

    @property
    def logbook(self) -> Path:
        """Folder of the journals, one folder a boat."""
        return self.root / "logbook"

    @property
    def settings(self) -> Path:
        """File of the person's settings."""
        return self.root / "settings.toml"

    def boat_file(self, boat: str) -> Path:
        """File of one boat's profile; `boat` is a slug."""
        return self.boats / f"{boat}.toml"

    def site_file(self, site: str) -> Path:
        """File of one site; `site` is a slug."""
        return self.sites / f"{site}.toml"

    def journal_folder(self, boat: str | None) -> Path:
        """Folder of one boat's journals, or of the events of no boat."""
        return self.logbook / (KIT if boat is None else boat)


def find_home(given: str | Path | None = None, environ: Mapping[str, str] | None = None) -> Home:
    """The home folder: `given` (the `--home` option), else DIVELOG_HOME, else the platform's data folder.

    The folder itself may be a link, since people keep it in a synced folder; nothing inside it may be.
    """
    environ = os.environ if environ is None else environ
    chosen = given or environ.get("DIVELOG_HOME") or None
    if chosen is None:
        from platformdirs import user_data_path  # deferred: most calls name a home or never need one

        chosen = user_data_path("divelog", appauthor=False)
    return Home(Path(os.path.realpath(os.path.expanduser(chosen))))


def data_folder(name: str) -> Path:
    """Folder of what comes with the program: `checklists` or `sample_boats`.

    In a wheel it stands inside the package (`divelog/_data`); in a checkout and in an editable install,
    where the package is the source tree, beside it.
    """
    package = Path(__file__).resolve().parent
    inside = package / "_data" / name
    return inside if inside.is_dir() else package.parent / name
