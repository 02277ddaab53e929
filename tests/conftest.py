"""What holds for every test: no deadline by the clock, a fixed place and language, no leftovers of a terminal."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "gate",
    deadline=None,  # time is never asserted
    derandomize=True,  # the gate says the same thing twice
    max_examples=100,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.register_profile("long", deadline=None, max_examples=5000, suppress_health_check=list(HealthCheck))
settings.load_profile(os.environ.get("DIVELOG_HYPOTHESIS", "gate"))

_CLEARED = ("NO_COLOR", "COLORTERM", "DIVELOG_HOME", "TEXTUAL_THEME", "FORCE_COLOR")


@pytest.fixture(autouse=True)
def plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same surroundings on every machine."""
    for name in _CLEARED:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TZ", "UTC")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Long forms and speed ratios run only when asked for: ``-m nightly``, ``-m bench``."""
    if config.getoption("-m"):
        return
    kept, left = [], []
    for item in items:
        (left if item.get_closest_marker("nightly") or item.get_closest_marker("bench") else kept).append(
            item
        )
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = kept
