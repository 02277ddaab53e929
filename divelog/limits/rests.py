"""A result whose basis is that of some of its inputs only.

The worst input sets the basis of a result, unless the recipe says which inputs carry it: a table figure that moves the
reserve by a gram does not make a weighed reserve an assumed one. All inputs are still listed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from divelog.limits.model import Limit, worst_basis
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.profiles.document import Basis


def rests_on(s: Sheet, work: Callable[[Sheet], Limit | Iterable[Limit]], *paths: str) -> tuple[Limit, ...]:
    """Results of `work` with all its inputs, their basis the worst of those at `paths` (short or whole)."""

    def several(sheet: Sheet) -> tuple[Limit, ...]:
        found = work(sheet)
        return (found,) if isinstance(found, Limit) else tuple(found)

    found, inputs = s.recorded(several)
    if isinstance(found, UnknownError | NotFittedError):
        return several(s)  # raises the same again, on the caller's own record
    carrying = {s.facts.canonical(path) for path in paths}
    basis = worst_basis(one for one in inputs if one.path in carrying)
    return tuple(one.but(inputs=inputs, basis=Basis.MISSING if one.missing else basis) for one in found)
