"""Refusing a number that lies outside what a formula holds for, always in the same words."""

import math

from divelog.physics.errors import OutOfRangeError


def need_within(name: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Refuse `value` unless low <= value <= high; a number that is not one is refused too."""
    if not low <= value <= high:
        tail = f" {unit}" if unit else ""
        raise OutOfRangeError(f"The {name} is {value:g}{tail}; this holds from {low:g} to {high:g}{tail}.")


def need_positive(name: str, value: float, unit: str = "") -> None:
    """Refuse `value` unless it is finite and above zero."""
    if not (value > 0.0 and math.isfinite(value)):
        tail = f" {unit}" if unit else ""
        raise OutOfRangeError(f"The {name} is {value:g}{tail}; it must be above zero.")


def need_not_negative(name: str, value: float, unit: str = "") -> None:
    """Refuse `value` unless it is finite and zero or above."""
    if not (value >= 0.0 and math.isfinite(value)):
        tail = f" {unit}" if unit else ""
        raise OutOfRangeError(f"The {name} is {value:g}{tail}; it must not be negative.")
