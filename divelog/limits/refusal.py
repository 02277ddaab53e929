"""A formula's refusal as a missing figure, so that one term out of range does not hide the others."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from divelog.limits.sheet import UnknownError
from divelog.physics.errors import OutOfRangeError

P = ParamSpec("P")
T = TypeVar("T")


def in_words(work: Callable[P, T]) -> Callable[P, T]:
    """The same work, an OutOfRangeError raised as an UnknownError that says why."""

    @wraps(work)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> T:
        try:
            return work(*args, **kwargs)
        except OutOfRangeError as error:
            raise UnknownError(because=str(error)) from error

    return guarded
