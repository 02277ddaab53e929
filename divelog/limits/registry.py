"""How a subject puts a key into the catalogue: a decorator with everything ``explain`` and ``keys`` must say."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from divelog.limits.model import Input, KeyInfo, Limit, Verdict, worst_basis
from divelog.limits.rounding import judge
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis

Work = Callable[[Sheet], "Limit | Iterable[Limit]"]


class Key:
    """One key: what it is, and how it is worked out."""

    def __init__(self, info: KeyInfo, work: Work) -> None:
        self.info = info
        self.work = work
        self._blank: dict[str, Limit] = {}

    def __call__(self, sheet: Sheet) -> tuple[Limit, ...]:
        """Every result of this key on a sheet; a missing figure or a refusal becomes a result in words."""
        found, inputs = sheet.tried(self._run)
        if isinstance(found, OutOfRangeError):
            return (self._empty(Verdict.UNKNOWN, str(found), (), inputs),)
        if isinstance(found, UnknownError):
            return (self._empty(Verdict.UNKNOWN, found.because, found.missing, inputs),)
        if isinstance(found, NotFittedError):
            return (self._empty(Verdict.NOT_FITTED, found.because, (), inputs),)
        return tuple(self._finish(one, inputs) for one in found)

    def _run(self, sheet: Sheet) -> tuple[Limit, ...]:
        result = self.work(sheet)
        return (result,) if isinstance(result, Limit) else tuple(result)

    def new(self, item: str = "") -> Limit:
        """An empty result of this key, to fill with ``but``."""
        found = self._blank.get(item)
        if found is None:
            info = self.info
            found = Limit(info.key, item, info.kind, info.title, info.unit, source=info.sources)
            self._blank[item] = found
        return found

    def _empty(
        self, verdict: Verdict, because: str, missing: tuple[str, ...], inputs: tuple[Input, ...]
    ) -> Limit:
        shown = "not fitted" if verdict is Verdict.NOT_FITTED else "unknown"
        actions = tuple(f"write down {path}" for path in missing)
        return self.new().but(shown=shown, remark=because, verdict=verdict, missing=missing, inputs=inputs,
            basis=Basis.MISSING if verdict is Verdict.UNKNOWN else Basis.STATED, why=(because,) if because else (),
            actions=actions,
        )  # fmt: skip

    def _finish(self, limit: Limit, inputs: tuple[Input, ...]) -> Limit:
        own = limit.inputs or inputs
        basis = limit.basis
        if basis is Basis.STATED and not limit.inputs:
            basis = worst_basis(own)
        verdict = limit.verdict
        if verdict is Verdict.NO_READING and limit.kind == "limit":
            verdict = judge(limit.reading, limit.shown_low, limit.shown_high)
        elif verdict is Verdict.NO_READING:
            verdict = Verdict.NONE
        return limit.but(inputs=own, basis=basis, verdict=verdict)


KEYS: dict[str, Key] = {}
"""Every key by name, in the order subjects were imported; ``catalogue`` fixes the order shown."""


def key(
    name: str, title: str, *, kind: str, sense: str, unit: str, display: str, step: str, where: str,
    needs: tuple[str, ...] = (), items: str = "", formula: tuple[str, ...] = (), valid: str = "",
    sources: tuple[str, ...] = (), reads: str = "", reading_unit: str = "",
) -> Callable[[Work], Key]:  # fmt: skip
    """Register a function of a sheet as a key of the catalogue."""
    info = KeyInfo(name, title, kind, sense, unit, display, step, where, needs, items, formula, valid, sources, reads,
                   reading_unit)  # fmt: skip

    def register(work: Work) -> Key:
        if name in KEYS:
            raise ValueError(f"the key {name} is registered twice")
        made = Key(info, work)
        KEYS[name] = made
        return made

    return register
