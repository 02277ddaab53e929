"""Refusals the formulas of motion share: each names the input, its value and the range."""

import math

from divelog.physics.errors import OutOfRangeError


def positive(what: str, value: float) -> float:
    """Return `value` if it is finite and above zero, else refuse."""
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfRangeError(f"{what} must be above zero, not {value:g}.")
    return value


def not_negative(what: str, value: float) -> float:
    """Return `value` if it is finite and not below zero, else refuse."""
    if not (math.isfinite(value) and value >= 0.0):
        raise OutOfRangeError(f"{what} must not be below zero, not {value:g}.")
    return value


def between(what: str, value: float, low: float, high: float) -> float:
    """Return `value` if it lies from `low` to `high`, both allowed, else refuse."""
    if not (math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(f"{what} must lie from {low:g} to {high:g}, not {value:g}.")
    return value


def slope(what: str, angle: float, most_degrees: float) -> float:
    """Return `angle` (rad) if it lies from 0 to `most_degrees`, else refuse in degrees."""
    if not (math.isfinite(angle) and 0.0 <= angle <= math.radians(most_degrees) + 1e-12):
        raise OutOfRangeError(
            f"{what} must lie from 0 to {most_degrees:g} degrees, not {math.degrees(angle):g}."
        )
    return angle
