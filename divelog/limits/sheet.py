"""The working sheet for one boat on one day: every figure a limit asks for, with a record of what was asked.

Limits are pure functions of a sheet. Figures that several limits share (density today, the dived balance, the cold
cylinder) are functions of the sheet too, worked out once by ``of``; what they asked counts for everyone who uses them.
So the inputs of a result, their basis and their share of its ± come from the record and are written nowhere twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, TypeVar

from divelog.limits.model import Input, Observed, ProofView, Series
from divelog.profiles.document import Basis, Fact, Num, State
from divelog.profiles.facts import Facts, assumption, field_at, plain_value
from divelog.profiles.fields import Kind
from divelog.units import DIMENSIONS

T = TypeVar("T")
_NOTHING = Observed()


class UnknownError(Exception):
    """A figure that nobody has written down and no rule assumes: the limit is unknown, and names it."""

    def __init__(self, *missing: str, because: str = "") -> None:
        super().__init__(", ".join(missing) or because)
        self.missing = missing
        self.because = because


class NotFittedError(Exception):
    """The limit does not apply to this boat, pack or site."""

    def __init__(self, because: str) -> None:
        super().__init__(because)
        self.because = because


@dataclass(slots=True)
class _Record:
    inputs: dict[str, Input] = field(default_factory=dict)


class Sheet:
    """Figures of one boat on one day. Not shared between threads; throw it away when a fact changes."""

    def __init__(
        self,
        facts: Facts,
        observed: Observed = _NOTHING,
        readings: Mapping[tuple[str, str], Num] | None = None,
        at: datetime | None = None,
        answers: Mapping[tuple[str, str], str] | None = None,
        nudges: Mapping[str, float] | None = None,
        spreads: Mapping[str, float] | None = None,
    ) -> None:
        self.facts = facts
        self.observed = observed
        self.readings: Mapping[tuple[str, str], Num] = MappingProxyType(dict(readings or {}))
        self.answers: Mapping[tuple[str, str], str] = MappingProxyType(dict(answers or {}))
        """Readings that were words ("a drop"), by key and item."""
        self.nudges: Mapping[str, float] = nudges or {}
        """Added to figures by path: how a result moves when one input moves."""
        self.spreads: Mapping[str, float] = spreads or {}
        """Taken instead of the ± of figures by path: what a better measurement would buy."""
        self._at = at
        self._memo: dict[Any, tuple[Any, dict[str, Input]]] = {}
        self._records: list[_Record] = [_Record()]
        self._quiet = _Asking(self)

    def varied(self, nudges: Mapping[str, float] | None = None, spreads: Mapping[str, float] | None = None) -> Sheet:
        """The same boat and day with some inputs moved, or known better."""
        return Sheet(self.facts, self.observed, self.readings, self._at, self.answers, nudges, spreads)

    # -- the record ---------------------------------------------------------------------------------------------

    def of(self, work: Callable[..., T], *args: Any) -> T:
        """Work out a shared figure once; its inputs count for the caller. Exceptions are remembered too."""
        token = (work, args)
        if token not in self._memo:
            record = _Record()
            self._records.append(record)
            result: Any
            try:
                result = work(self, *args)
            except (UnknownError, NotFittedError) as error:
                result = error
            finally:
                self._records.pop()
            self._memo[token] = (result, record.inputs)
        result, inputs = self._memo[token]
        self._records[-1].inputs.update(inputs)
        if isinstance(result, UnknownError | NotFittedError):
            raise result
        return result  # type: ignore[no-any-return]

    def recorded(
        self, work: Callable[[Sheet], T]
    ) -> tuple[T | UnknownError | NotFittedError, tuple[Input, ...]]:
        """Work something out on a record of its own: the result (or why there is none) and its inputs."""
        record = _Record()
        self._records.append(record)
        try:
            return work(self), tuple(record.inputs.values())
        except (UnknownError, NotFittedError) as error:
            return error, tuple(record.inputs.values())
        finally:
            self._records.pop()

    def _note(self, entry: Input) -> None:
        self._records[-1].inputs[entry.path] = entry

    def assume(
        self, name: str, si: float, u95: float = 0.0, unit: str = "", note: str = "", star: bool = False
    ) -> Num:
        """A figure of the method itself that no field holds (a humidity, a lag): recorded as assumed."""
        si += self.nudges.get(name, 0.0)
        u95 = self.spreads.get(name, u95)
        self._note(Input(name, si, u95, unit, Basis.ASSUMED, said=note, starred=star))
        return Num(si, u95, Basis.ASSUMED)

    # -- facts --------------------------------------------------------------------------------------------------

    def fact(self, path: str) -> Fact | None:
        """The fact of a short or whole path, stated or measured; None where nobody has said anything."""
        return self.facts.get(self.facts.canonical(path))

    def _resolve(self, path: str) -> tuple[str, Fact | None]:
        """Canonical path with the fact, stated or assumed; recorded."""
        whole = self.facts.canonical(path)
        found = self.facts.get(whole)
        if found is None or (found.state is State.UNKNOWN):
            found = self._assumed(whole)
        item = field_at(whole)
        unit = DIMENSIONS[item.dimension].si if item is not None and item.dimension else ""
        if found is None or found.state is not State.KNOWN:
            self._note(Input(whole, None, 0.0, unit, Basis.MISSING))
            return whole, None
        found = self._varied(whole, found)
        value = found.value
        number = value if isinstance(value, Num) else None
        si = number.si if number else float(value) if isinstance(value, float | bool) else None
        u95 = number.u95 if number else 0.0
        said = found.typed or plain_value(value)
        rule = assumption(whole) if found.basis is Basis.ASSUMED else None
        starred = rule is not None and rule.star
        self._note(Input(whole, si, u95, unit, found.basis, found.on, said, starred))
        return whole, found

    def _varied(self, whole: str, found: Fact) -> Fact:
        if not self.nudges and not self.spreads:
            return found
        value = found.value
        if isinstance(value, Num):
            si = value.si + self.nudges.get(whole, 0.0)
            return replace(found, value=replace(value, si=si, u95=self.spreads.get(whole, value.u95)))
        if isinstance(value, float) and not isinstance(value, bool) and whole in self.nudges:
            return replace(found, value=value + self.nudges[whole])
        return found

    def _assumed(self, whole: str) -> Fact | None:
        rule = assumption(whole)
        if rule is None:
            return None
        value = rule.rule(self._quiet)
        if value is None:
            return None
        if isinstance(value, Num):
            value = replace(value, basis=Basis.ASSUMED)
        return Fact(value, basis=Basis.ASSUMED, typed="", origin=rule.note)

    def maybe(self, path: str) -> Num | None:
        """The quantity at a path (stated, measured or assumed), or None where it is missing or not fitted."""
        _, found = self._resolve(path)
        if found is None:
            return None
        if isinstance(found.value, Num):
            return replace(found.value, basis=found.basis)
        if isinstance(found.value, float) and not isinstance(found.value, bool):
            return Num(found.value, 0.0, found.basis)
        return None

    def num(self, path: str) -> Num:
        """The quantity at a path; raises UnknownError naming the path where it is missing."""
        found = self.maybe(path)
        if found is None:
            raise UnknownError(self.facts.canonical(path))
        return found

    def si(self, path: str) -> float:
        """The SI value at a path; raises UnknownError."""
        return self.num(path).si

    def stated(self, path: str) -> Num | None:
        """The quantity somebody has stated or measured, never an assumed one."""
        whole = self.facts.canonical(path)
        found = self.facts.get(whole)
        if found is None or not isinstance(found.value, Num | float) or found.state is not State.KNOWN:
            return None
        return self.maybe(path)

    def word(self, path: str) -> str | None:
        """A choice or text (flags as ``true``/``false``), stated or assumed; None where missing."""
        _, found = self._resolve(path)
        return None if found is None else plain_value(found.value) or None

    def need_word(self, path: str) -> str:
        """A choice or text; raises UnknownError."""
        found = self.word(path)
        if found is None:
            raise UnknownError(self.facts.canonical(path))
        return found

    def flag(self, path: str) -> bool | None:
        """True, false, or None where missing."""
        found = self.word(path)
        return None if found is None else found == "true"

    def texts(self, path: str) -> tuple[str, ...]:
        """A list of texts; empty where missing."""
        _, found = self._resolve(path)
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()

    def words(self, path: str) -> tuple[tuple[str, str], ...]:
        """A table of name and text; empty where missing."""
        item = field_at(self.facts.canonical(path))
        if item is None or item.kind is not Kind.WORDS:
            return ()
        _, found = self._resolve(path)
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, tuple)) if isinstance(value, tuple) else ()

    def day_of(self, path: str) -> date | None:
        """A date; None where missing."""
        _, found = self._resolve(path)
        value = found.value if found is not None else None
        return value if isinstance(value, date) else None

    def ids(self, path: str) -> tuple[str, ...]:
        """Ids of a list of tables: ``cap``, ``seal``, ``failsafe``, ``lead`` of the boat, or ``kit.pack``."""
        return self.facts.ids(path if "." in path else f"boat.{path}")

    def basis_of(self, path: str) -> Basis:
        """The basis of what stands at a path."""
        _, found = self._resolve(path)
        return Basis.MISSING if found is None else found.basis

    @property
    def size(self) -> str:
        """S under 0.6 m, M to 1.3 m, L above; M where no length is known."""
        return self._quiet.size

    @property
    def at(self) -> datetime | None:
        """The moment the limits are for."""
        if self._at is not None:
            return self._at
        found = self.facts.get("today.at")
        return found.value if found is not None and isinstance(found.value, datetime) else None

    # -- readings, proofs, the log ------------------------------------------------------------------------------

    def reading(self, key: str, item: str = "") -> Num | None:
        """Today's reading of a key, with its own ±."""
        return self.readings.get((key, item), self.readings.get((key, ""), None) if item else None)

    def answer(self, key: str, item: str = "") -> str | None:
        """Today's reading of a key where it was a word."""
        return self.answers.get((key, item), self.answers.get((key, ""), None) if item else None)

    def proof(self, name: str) -> ProofView:
        """How a proof stands; one that nobody gave does not stand."""
        return self.observed.proofs.get(name, ProofView(False, "never"))

    def series(self, kind: str, item: str = "") -> Series | None:
        """A series of the log: ``no_load`` by direction, ``times`` by fill and empty."""
        table: Mapping[str, Series] = getattr(self.observed, kind)
        return table.get(item)


class _Asking:
    """What rules of assumption may ask: unrecorded, so that a guess does not name its own ground twice."""

    def __init__(self, sheet: Sheet) -> None:
        self._sheet = sheet

    def _fact(self, path: str) -> Fact | None:
        facts = self._sheet.facts
        whole = facts.canonical(path)
        found = facts.get(whole)
        if found is None or found.state is State.UNKNOWN:
            found = self._sheet._assumed(whole)
        return None if found is None else self._sheet._varied(whole, found)

    @property
    def size(self) -> str:
        length = self.si("boat.length")
        return "M" if length is None else "S" if length < 0.6 else "M" if length <= 1.3 else "L"

    def si(self, path: str) -> float | None:
        found = self._fact(path)
        if found is None:
            return None
        return (
            found.value.si
            if isinstance(found.value, Num)
            else found.value
            if isinstance(found.value, float)
            else None
        )

    def word(self, path: str) -> str | None:
        found = self._fact(path)
        return None if found is None else plain_value(found.value) or None

    def words(self, path: str) -> tuple[str, ...]:
        found = self._fact(path)
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()
