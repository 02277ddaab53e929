"""How a subject puts a key into the catalogue: a decorator with everything ``explain`` and ``keys`` must say."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from divelog.limits.model import Input, KeyInfo, Limit, Verdict
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
        """An empty result of this key, to fill with ``replace``."""
        return Limit(
            self.info.key, item, self.info.kind, self.info.title, self.info.unit, source=self.info.sources
        )

    def _empty(
        self, verdict: Verdict, because: str, missing: tuple[str, ...], inputs: tuple[Input, ...]
    ) -> Limit:
        shown = "not fitted" if verdict is Verdict.NOT_FITTED else "unknown"
        actions = tuple(f"write down {path}" for path in missing)
        return replace(
            self.new(), shown=shown, remark=because, verdict=verdict, missing=missing, inputs=inputs,
            basis=Basis.MISSING if verdict is Verdict.UNKNOWN else Basis.STATED, why=(because,) if because else (),
            actions=actions,
        )  # fmt: skip

    def _finish(self, limit: Limit, inputs: tuple[Input, ...]) -> Limit:
        own = limit.inputs or inputs
        worst = max(
            (i.basis for i in own if i.basis is not Basis.MISSING), key=lambda b: b.rank, default=Basis.STATED
        )
        basis = limit.basis if limit.basis is not Basis.STATED or limit.inputs else worst
        verdict = limit.verdict
        if verdict is Verdict.NO_READING and limit.kind == "limit":
            verdict = judge(limit.reading, limit.shown_low, limit.shown_high)
        elif verdict is Verdict.NO_READING:
            verdict = Verdict.NONE
        return replace(limit, inputs=own, basis=basis, verdict=verdict)


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
