"""Motion: the keys failsafe.*, recovery.* and plan.*, and what it gives to the deepest keel."""

from divelog.limits.failsafe import bottom_term, excursion, failsafe_excursion
from divelog.limits.failsafe_delay import failsafe_delay
from divelog.limits.plan import plan_dive_angle, plan_speed_dived, plan_speed_surfaced
from divelog.limits.recovery import recovery_time

__all__ = [
    "bottom_term",
    "excursion",
    "failsafe_delay",
    "failsafe_excursion",
    "plan_dive_angle",
    "plan_speed_dived",
    "plan_speed_surfaced",
    "recovery_time",
]
