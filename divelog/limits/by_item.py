"""Keys with a result for each seal, joint or direction: one unknown item never hides the others."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from divelog.limits.model import Input, Limit, Verdict, worst_basis
from divelog.limits.registry import Key
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis


def each_item(
    s: Sheet, key: Key, items: Iterable[str], work: Callable[[Sheet, str], Limit]
) -> tuple[Limit, ...]:
    """One result an item, with its own inputs; what is missing or refused is said in that item's result."""
    return tuple(_one(s, key, item, work) for item in items)


def _one(s: Sheet, key: Key, item: str, work: Callable[[Sheet, str], Limit]) -> Limit:
    found, inputs = s.tried(lambda sheet: work(sheet, item))
    if isinstance(found, OutOfRangeError):
        return _without(key, item, Verdict.UNKNOWN, str(found), (), inputs)
    if isinstance(found, UnknownError):
        return _without(key, item, Verdict.UNKNOWN, found.because, found.missing, inputs)
    if isinstance(found, NotFittedError):
        return _without(key, item, Verdict.NOT_FITTED, found.because, (), inputs)
    whole = (*found.inputs, *inputs)
    basis = found.basis if found.basis is not Basis.STATED else worst_basis(whole)
    return found.but(inputs=whole, basis=basis)


def _without(
    key: Key, item: str, verdict: Verdict, because: str, missing: tuple[str, ...], inputs: tuple[Input, ...]
) -> Limit:
    unknown = verdict is Verdict.UNKNOWN
    return key.new(item).but(
        shown="unknown" if unknown else "not fitted",
        remark=because,
        verdict=verdict,
        missing=missing,
        inputs=inputs,
        basis=Basis.MISSING if unknown else Basis.STATED,
        why=(because,) if because else (),
        actions=tuple(f"write down {path}" for path in missing),
    )
