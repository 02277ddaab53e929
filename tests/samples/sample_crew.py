"""What the story must know of each boat: her file as the program ships it, and the limits she was held against.

The limits are those that the program showed for her at the pond in spring; the log keeps them as they were in force.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"


@dataclass(frozen=True)
class Against:
    """A limit as it was shown: its key and item, its edges in SI, and its words."""

    key: str
    item: str
    low: float | None
    high: float | None
    shown: str

    def data(self) -> dict[str, object]:
        """As a `check.answered` holds it."""
        return {"key": self.key, "item": self.item, "low": self.low, "high": self.high, "shown": self.shown}

    def of(self, item: str) -> Against:
        """The same limit for another item."""
        return replace(self, item=item)


@dataclass(frozen=True)
class Boat:
    """A boat of the story."""

    slug: str
    file: Mapping[str, Any]
    text: str
    limits: Mapping[str, Against]
    allowance: float
    """Water that may be sweat, m³."""

    def at(self, path: str, otherwise: Any = None) -> Any:
        """A value of her file."""
        here: Any = self.file
        for part in path.split("."):
            if not isinstance(here, Mapping) or part not in here:
                return otherwise
            here = here[part]
        return here

    @property
    def channels(self) -> list[str]:
        """What her failsafe sets when the signal is lost."""
        return list(self.file["failsafe"][0]["does"])

    @property
    def triggers(self) -> list[str]:
        """What sets it off."""
        return [each["trigger"] for each in self.file["failsafe"]]

    @property
    def has_pump(self) -> bool:
        """Whether she takes in ballast."""
        return bool(self.at("ballast.kind") != "none")


def _against(*rows: tuple[str, str, str, float | None, float | None, str]) -> dict[str, Against]:
    return {name: Against(key, item, low, high, shown) for name, key, item, low, high, shown in rows}


_LIMITS: dict[str, dict[str, Against]] = {
    "tansy": _against(
        ("pack-volts", "battery.rest_voltage", "D2", 8.25, None, "8.25 V"),
        ("tip", "antenna.tip_height", "", 0.030, None, "30 mm"),
        ("paces", "radio.check_distance", "", 44.0, None, "44 paces"),
        ("press", "cylinder.leak_down", "60 s", None, 500.0, "0.5 kPa in 60 s at 20 kPa"),
        ("hold", "cylinder.leak_down", "", None, 750.0, "0.75 kPa in 10 min at 20 kPa"),
        ("fill", "ballast.fill_time", "", None, 47.0, "at most 47 s"),
        ("empty", "ballast.empty_time", "", None, 44.0, "at most 44 s"),
        ("residual", "buoyancy.dived", "tower", 0.011, 0.034, "11 to 34 mm"),
        ("balance", "buoyancy.dived", "", 0.019, 0.061, "19 to 61 g"),
        ("water", "cylinder.water_found", "", 0.0, 1.7e-5, "0 to 17 mg"),
        ("keel", "depth.keel", "under control", None, 0.8, "0.8 m"),
        ("minutes", "battery.endurance", "D2", None, 2820.0, "47 min"),
        ("supply", "receiver.supply", "", 5.0, None, "5.0 V"),
        ("up", "recovery.time_to_surface", "", None, 60.0, "60 s"),
        ("load", "battery.load_voltage", "D2", 8.21, None, "8.21 V"),
    ),
    "bulrush": _against(
        ("pack-volts", "battery.rest_voltage", "P1", 6.33, None, "6.33 V"),
        ("tip", "antenna.tip_height", "", 0.060, None, "60 mm"),
        ("paces", "radio.check_distance", "", 30.0, None, "30 paces"),
        ("draw", "cylinder.leak_down", "60 s", None, 500.0, "0.5 kPa in 60 s at -10 kPa"),
        ("hold", "cylinder.leak_down", "", None, 850.0, "0.85 kPa in 20 min at -10 kPa"),
        ("fill", "ballast.fill_time", "", None, 57.0, "at most 57 s"),
        ("empty", "ballast.empty_time", "", None, 67.0, "at most 67 s"),
        ("residual", "buoyancy.dived", "tower", 0.036, 0.116, "36 to 116 mm"),
        ("balance", "buoyancy.dived", "", 0.032, 0.104, "32 to 104 g"),
        ("water", "cylinder.water_found", "", 0.0, 6e-6, "0 to 6 mg"),
        ("keel", "depth.keel", "failsafe proved", None, 0.6, "0.6 m"),
        ("minutes", "battery.endurance", "P1", None, 4080.0, "68 min"),
        ("supply", "receiver.supply", "", 4.2, None, "4.2 V"),
        ("up", "recovery.time_to_surface", "", None, 60.0, "60 s"),
        ("load", "battery.load_voltage", "P1", 6.24, None, "6.24 V"),
        ("mast-clear", "antenna.clear_length", "", 0.032, None, "32 mm"),
    ),
    "bramble": _against(
        ("pack-volts", "battery.rest_voltage", "D5", None, None, "charged full, at least 1.4 A h"),
        ("tip", "antenna.tip_height", "", 0.060, None, "60 mm"),
        ("paces", "radio.check_distance", "", 31.0, None, "31 paces"),
        ("balance", "buoyancy.dived", "", 0.004, 0.013, "4 to 13 g"),
        ("water", "cylinder.water_found", "", 0.0, 1e-6, "0 to 1 mg"),
        ("keel", "depth.keel", "failsafe proved", None, 0.5, "0.5 m"),
        ("minutes", "battery.endurance", "D5", None, 2460.0, "41 min"),
        ("supply", "receiver.supply", "", 4.1, None, "4.1 V"),
        ("up", "recovery.time_to_surface", "", None, 30.0, "30 s"),
        ("load", "battery.load_voltage", "D5", None, None, "fall at most 0.23 V"),
    ),
    "juniper": _against(
        ("pack-volts", "battery.rest_voltage", "D1", None, None, "charged full, at least 10.2 A h"),
        ("tip", "antenna.tip_height", "", 0.030, None, "30 mm"),
        ("paces", "radio.check_distance", "", 50.0, None, "50 paces"),
        ("press", "cylinder.leak_down", "60 s", None, 500.0, "0.5 kPa in 60 s at 5 kPa"),
        ("hold", "cylinder.leak_down", "", None, 2050.0, "2.05 kPa in 60 min at 5 kPa"),
        ("fill", "ballast.fill_time", "", None, 30.0, "at most 30 s"),
        ("empty", "ballast.empty_time", "", None, 11.0, "at most 11 s"),
        ("residual", "buoyancy.dived", "tower", 0.021, 0.069, "21 to 69 mm"),
        ("balance", "buoyancy.dived", "", 0.055, 0.175, "55 to 175 g"),
        ("water", "cylinder.water_found", "", 0.0, 1.75e-4, "0 to 175 mg"),
        ("keel", "depth.keel", "under control", None, 0.8, "0.8 m"),
        ("minutes", "battery.endurance", "D1", None, 3000.0, "50 min"),
        ("supply", "receiver.supply", "", 5.0, None, "5.0 V"),
        ("up", "recovery.time_to_surface", "", None, 120.0, "120 s"),
        ("load", "battery.load_voltage", "D1", None, None, "fall at most 0.18 V"),
    ),
}
_ALLOWED = {"tansy": 1.7e-8, "bulrush": 6e-9, "bramble": 1e-9, "juniper": 1.75e-7}


def boat(slug: str) -> Boat:
    """A boat of the story, from her shipped file."""
    text = (SAMPLES / "boats" / f"{slug}.toml").read_text(encoding="utf-8")
    return Boat(slug, tomllib.loads(text), text, _LIMITS[slug], _ALLOWED[slug])
