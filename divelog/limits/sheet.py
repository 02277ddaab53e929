"""The working sheet for one boat on one day: every figure a limit asks for, with a record of what was asked.

Limits are pure functions of a sheet. Figures that several limits share (density today, the dived balance, the cold
cylinder) are functions of the sheet too, worked out once by ``of``; what they asked counts for everyone who uses them.
So the inputs of a result, their basis and their share of its ± come from the record and are written nowhere twice.
The same record keeps everything a figure looked at (`Asked`), so that whoever holds results knows which of them a new
fact can touch at all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, TypeVar

from divelog.limits.model import Input, Observed, ProofView, Series
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Fact, Num, State
from divelog.profiles.facts import Facts, assumption, field_at, plain_value
from divelog.profiles.fields import Kind
from divelog.units import DIMENSIONS

T = TypeVar("T")
Asked = tuple[str, ...]
"""One thing looked at: ``("fact", path)``, ``("ids", list)``, ``("log", field)``, ``("reading", key, item)``,
``("own reading", key, item)``, ``("answer", key, item)``, ``("day",)``."""
_READ = frozenset({"reading", "own reading", "answer"})
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
    asked: set[Asked] = field(default_factory=set)
    counted: set[Kept] = field(default_factory=set)
    """Shared figures whose inputs already count here."""


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """A shared figure worked out once: its result or refusal, its inputs, and what it looked at."""

    result: Any
    inputs: dict[str, Input]
    asked: frozenset[Asked]


@dataclass(frozen=True, slots=True)
class _Found:
    """What stands at a whole path, as a fact, as a number and as an input; and what a guess of it looked at."""

    fact: Fact | None
    number: Num | None
    input: Input
    asked: frozenset[Asked]


Refusal = UnknownError | NotFittedError | OutOfRangeError
_REFUSALS = (UnknownError, NotFittedError, OutOfRangeError)


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
        self._observed = observed
        self.readings: Mapping[tuple[str, str], Num] = MappingProxyType(dict(readings or {}))
        self.answers: Mapping[tuple[str, str], str] = MappingProxyType(dict(answers or {}))
        """Readings that were words ("a drop"), by key and item."""
        self.nudges: Mapping[str, float] = nudges or {}
        """Added to figures by path: how a result moves when one input moves."""
        self.spreads: Mapping[str, float] = spreads or {}
        """Taken instead of the ± of figures by path: what a better measurement would buy."""
        self._at = at
        self._memo: dict[Any, Kept] = {}
        self._found: dict[str, _Found] = {}
        self._records: list[_Record] = [_Record()]
        self._quiet = _Asking(self)

    def varied(
        self, nudges: Mapping[str, float] | None = None, spreads: Mapping[str, float] | None = None
    ) -> Sheet:
        """The same boat and day with some inputs moved (on top of what is moved here), or known better."""
        moved = dict(self.nudges)
        for path, delta in (nudges or {}).items():
            moved[path] = moved.get(path, 0.0) + delta
        known = {**self.spreads, **(spreads or {})}
        return Sheet(self.facts, self._observed, self.readings, self._at, self.answers, moved, known)

    def known_better(self, measured: Mapping[str, Num]) -> Sheet:
        """The same boat and day with facts measured at these paths."""
        facts = {path: Fact(number, basis=Basis.MEASURED) for path, number in measured.items()}
        known = self.facts.with_sets(facts)
        return Sheet(known, self._observed, self.readings, self._at, self.answers, self.nudges, self.spreads)

    @property
    def observed(self) -> Observed:
        """What the log teaches; whoever asks for it rests on all of it."""
        self._ask("log")
        return self._observed

    def reread(
        self, readings: Mapping[tuple[str, str], Num], answers: Mapping[tuple[str, str], str]
    ) -> Sheet:
        """The same boat and day with other readings."""
        return Sheet(self.facts, self._observed, readings, self._at, answers, self.nudges, self.spreads)

    # -- the record ---------------------------------------------------------------------------------------------

    def of(self, work: Callable[..., T], *args: Any) -> T:
        """Work out a shared figure once; its inputs count for the caller. Refusals are remembered too."""
        token = (work, args)
        kept = self._memo.get(token)
        if kept is None:
            record = _Record()
            self._records.append(record)
            found: Any
            try:
                found = work(self, *args)
            except _REFUSALS as error:
                found = error
            finally:
                self._records.pop()
            kept = self._memo[token] = Kept(found, record.inputs, frozenset(record.asked))
        above = self._records[-1]
        if kept not in above.counted:
            above.counted.add(kept)
            above.inputs.update(kept.inputs)
            above.asked |= kept.asked
        result = kept.result
        if isinstance(result, _REFUSALS):
            raise result.with_traceback(None)
        return result  # type: ignore[no-any-return]

    def tried(self, work: Callable[[Sheet], T]) -> tuple[T | Refusal, tuple[Input, ...]]:
        """Work something out on a record of its own: the result, or the refusal, and its inputs."""
        record = _Record()
        self._records.append(record)
        found: T | Refusal
        try:
            found = work(self)
        except _REFUSALS as error:
            found = error
        finally:
            self._records.pop()
            self._records[-1].asked |= record.asked
        return found, tuple(record.inputs.values())

    def recorded(
        self, work: Callable[[Sheet], T]
    ) -> tuple[T | UnknownError | NotFittedError, tuple[Input, ...]]:
        """The same, where a figure out of its range is raised on."""
        found, inputs = self.tried(work)
        if isinstance(found, OutOfRangeError):
            raise found
        return found, inputs

    def asked_by(self, work: Callable[[Sheet], T]) -> tuple[T, frozenset[Asked]]:
        """Work something out, with everything it looked at."""
        record = _Record()
        self._records.append(record)
        try:
            found = work(self)
        finally:
            self._records.pop()
            self._records[-1].asked |= record.asked
        return found, frozenset(record.asked)

    def value_of(self, asked: Asked) -> Any:
        """What stands where somebody looked, to compare with what stood there before."""
        kind = asked[0]
        if kind == "fact":  # by far the most
            return self.facts.get(asked[1])
        if kind == "ids":
            return self.facts.ids(asked[1])
        if kind == "reading":
            return self.reading(asked[1], asked[2])
        if kind == "own reading":
            return self.readings.get((asked[1], asked[2]))
        if kind == "answer":
            return self.answer(asked[1], asked[2])
        return self.day if kind == "day" else self._observed

    def keep_figures(self, other: Sheet, changed: frozenset[Asked]) -> None:
        """Take over the figures of another sheet that looked at nothing of what has changed since.

        Both must mean the same by short paths (`Facts.meant`), and nothing may be tried out on either.
        """
        untouched = changed.isdisjoint
        self._memo.update([(token, kept) for token, kept in other._memo.items() if untouched(kept.asked)])
        self._found.update([(path, found) for path, found in other._found.items() if untouched(found.asked)])
        self.facts.taking_paths(other.facts)

    def changed_since(self, before: Sheet, looked: Callable[[], Iterable[Asked]]) -> frozenset[Asked]:
        """Everything one may look at that is not as it was; of readings, only what is among ``looked``."""
        paths, lists = self.facts.changes(before.facts)
        changed: set[Asked] = {("fact", path) for path in paths}
        changed.update(("ids", name) for name in lists)
        if self._observed is not before._observed and self._observed != before._observed:
            changed.add(("log",))
        if self.day != before.day:
            changed.add(("day",))
        if self.readings != before.readings or self.answers != before.answers:
            changed.update(x for x in looked() if x[0] in _READ and before.value_of(x) != self.value_of(x))
        return frozenset(changed)

    def _ask(self, *asked: str) -> None:
        self._records[-1].asked.add(asked)

    def assume(
        self, name: str, si: float, u95: float = 0.0, unit: str = "", note: str = "", star: bool = False
    ) -> Num:
        """A figure of the method itself that no field holds (a humidity, a lag): recorded as assumed."""
        return self._figure(name, si, u95, unit, Basis.ASSUMED, note, star)

    def unlisted(self, name: str, si: float, u95: float) -> Num:
        """A figure of the method that some other result lists as its input: moved with it here, and not listed."""
        return Num(si + self.nudges.get(name, 0.0), self.spreads.get(name, u95), Basis.ASSUMED)

    def learnt(self, name: str, si: float, u95: float, unit: str, note: str) -> Num:
        """A figure that the log taught (a draw, a factor of her own): recorded as measured."""
        return self._figure(name, si, u95, unit, Basis.MEASURED, note, False)

    def _figure(
        self, name: str, si: float, u95: float, unit: str, basis: Basis, note: str, star: bool
    ) -> Num:
        si += self.nudges.get(name, 0.0)
        u95 = self.spreads.get(name, u95)
        self._records[-1].inputs[name] = Input(name, si, u95, unit, basis, said=note, starred=star)
        return Num(si, u95, basis)

    # -- facts --------------------------------------------------------------------------------------------------

    def fact(self, path: str) -> Fact | None:
        """The fact of a short or whole path, stated or measured; None where nobody has said anything."""
        whole = self.facts.canonical(path)
        self._ask("fact", whole)
        return self.facts.get(whole)

    def _resolve(self, path: str) -> _Found:
        """What stands at a path, stated or assumed; recorded."""
        whole = self.facts.canonical(path)
        found = self._found.get(whole)
        if found is None:
            found = self._found[whole] = self._resolved(whole)
        above = self._records[-1]
        above.inputs[whole] = found.input
        above.asked |= found.asked
        return found

    def _resolved(self, whole: str) -> _Found:
        record = _Record(asked={("fact", whole)})
        self._records.append(record)
        try:
            fact = self.facts.get(whole)
            if fact is None or fact.state is State.UNKNOWN:
                fact = self._assumed(whole)
        finally:
            self._records.pop()
        asked = frozenset(record.asked)
        item = field_at(whole)
        unit = DIMENSIONS[item.dimension].si if item is not None and item.dimension else ""
        if fact is None or fact.state is not State.KNOWN:
            return _Found(None, None, Input(whole, None, 0.0, unit, Basis.MISSING), asked)
        fact = self._varied(whole, fact)
        value = fact.value
        number: Num | None = None
        if isinstance(value, Num):
            number = value if value.basis is fact.basis else replace(value, basis=fact.basis)
        elif isinstance(value, float) and not isinstance(value, bool):
            number = Num(value, 0.0, fact.basis)
        si = number.si if number is not None else float(value) if isinstance(value, bool) else None
        u95 = number.u95 if number is not None else 0.0
        rule = assumption(whole) if fact.basis is Basis.ASSUMED else None
        starred = rule is not None and rule.star
        said, on = (
            plain_value(value) if isinstance(value, bool) else fact.typed or plain_value(value),
            fact.on,
        )
        if not on and whole.startswith("today.") and fact.basis is not Basis.ASSUMED:
            day, asked = self.day, asked | {("day",)}
            on = day.isoformat() if day is not None else ""
        return _Found(fact, number, Input(whole, si, u95, unit, fact.basis, on, said, starred), asked)

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
        return self._resolve(path).number

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
        found = self.fact(path)
        if found is None or not isinstance(found.value, Num | float) or found.state is not State.KNOWN:
            return None
        return self.maybe(path)

    def word(self, path: str) -> str | None:
        """A choice or text (flags as ``true``/``false``), stated or assumed; None where missing."""
        found = self._resolve(path).fact
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
        found = self._resolve(path).fact
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()

    def words(self, path: str) -> tuple[tuple[str, str], ...]:
        """A table of name and text; empty where missing."""
        item = field_at(self.facts.canonical(path))
        if item is None or item.kind is not Kind.WORDS:
            return ()
        found = self._resolve(path).fact
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, tuple)) if isinstance(value, tuple) else ()

    def day_of(self, path: str) -> date | None:
        """A date; None where missing."""
        found = self._resolve(path).fact
        value = found.value if found is not None else None
        return value if isinstance(value, date) else None

    def ids(self, path: str) -> tuple[str, ...]:
        """Ids of a list of tables: ``cap``, ``seal``, ``failsafe``, ``lead`` of the boat, or ``kit.pack``."""
        whole = path if "." in path else f"boat.{path}"
        self._ask("ids", whole)
        return self.facts.ids(whole)

    def basis_of(self, path: str) -> Basis:
        """The basis of what stands at a path."""
        found = self._resolve(path).fact
        return Basis.MISSING if found is None else found.basis

    @property
    def size(self) -> str:
        """S under 0.6 m, M to 1.3 m, L above; M where no length is known."""
        return self._quiet.size

    @property
    def day(self) -> date | None:
        """The date the limits are for, for ages of parts; None where neither a moment nor a day says."""
        self._ask("day")
        if self._at is not None:
            return self._at.date()
        found = self.facts.get("today.at")
        return found.value.date() if found is not None and isinstance(found.value, datetime) else None

    # -- readings, proofs, the log ------------------------------------------------------------------------------

    def reading(self, key: str, item: str = "") -> Num | None:
        """Today's reading of a key, with its own ±."""
        self._ask("reading", key, item)
        return self.readings.get((key, item), self.readings.get((key, ""), None) if item else None)

    def own_reading(self, key: str, item: str = "") -> Num | None:
        """Today's reading of that very item of a key, never the one for all items."""
        self._ask("own reading", key, item)
        return self.readings.get((key, item))

    def answer(self, key: str, item: str = "") -> str | None:
        """Today's reading of a key where it was a word."""
        self._ask("answer", key, item)
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
        self._sheet._ask("fact", whole)
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

    def said(self, path: str) -> str | None:
        found = self._fact(path)
        return (
            plain_value(found.value) or None
            if found is not None and found.basis is not Basis.ASSUMED
            else None
        )

    def words(self, path: str) -> tuple[str, ...]:
        found = self._fact(path)
        value = found.value if found is not None else None
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()
