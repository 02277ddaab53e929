"""The deepest keel today: the least of every term that exists, compared by safe ends.

Each subject gives its own term; this file only chooses. Two items: while she is *under control* (the aerial may not
lose the signal) and with the *failsafe proved* (no radio term: she comes up by herself, and the pump terms are waived).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from divelog.limits.ballast import pump_terms
from divelog.limits.buoyancy import air_term
from divelog.limits.model import Limit, Term, Verdict
from divelog.limits.motion import bottom_term
from divelog.limits.radio import radio_term
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, text
from divelog.limits.seals import seal_terms
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.limits.sight import sight_caution, sight_term
from divelog.limits.tube import cap_term, tube_term
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis

STEP = 0.1
NEVER_PROVED = 0.5
"""Keel depth in metres for a boat that has never come up dry: within reach of an arm."""

UNDER_CONTROL = "under control"
FAILSAFE_PROVED = "failsafe proved"


@dataclass(frozen=True, slots=True)
class Lacking:
    """A term that cannot be worked out: what it misses, or why in words."""

    name: str
    paths: tuple[str, ...] = ()
    because: str = ""

    def __str__(self) -> str:
        return f"{self.name} ({self.because.rstrip('.')})" if self.because else self.name


@dataclass(frozen=True, slots=True)
class Gathered:
    """Every term that exists, and those that miss an input."""

    terms: tuple[Term, ...]
    missing: tuple[Lacking, ...]


def step_term(s: Sheet) -> Term:
    """The depth ladder: the greatest depth she has come up dry from, and one step more."""
    proved = s.observed.dry_depth
    if proved is None:
        return Term("step", NEVER_PROVED, 0.0, why="never proved dry: half a metre, within reach")
    proved = s.learnt("depth proved dry", proved, 0.0, "m", "her log").si
    step = s.num("my_limits.depth_step")
    why = f"dry at {proved:.1f} m, one step of {step.si:.1f} m more"
    return Term(
        "step", proved + step.si, 0.0, basis=Basis.MEASURED, why=why, source="common practice, no source"
    )


def own_term(s: Sheet) -> Term:
    """The person's own deepest, where one is written."""
    own = s.stated("my_limits.deepest")
    if own is None:
        raise NotFittedError("no limit of her own")
    return Term("own", own.si, 0.0, basis=own.basis, why="written in her file")


_SINGLE: tuple[tuple[str, Callable[[Sheet], Term]], ...] = (
    ("radio", radio_term),
    ("step", step_term),
    ("own", own_term),
    ("tube", tube_term),
    ("caps", cap_term),
    ("bottom", bottom_term),
    ("sight", sight_term),
    ("air and tube", air_term),
)


def gather(s: Sheet) -> Gathered:
    """All terms of the least, those missing an input or out of their range named instead."""
    terms: list[Term] = []
    missing: list[Lacking] = []
    for name, several in (*((n, _alone(work)) for n, work in _SINGLE), ("seal", _seals), ("pump", _pumps)):
        try:
            found, lacking = several(s)
        except UnknownError as error:
            missing.append(Lacking(name, error.missing, "" if error.missing else error.because))
        except OutOfRangeError as error:
            missing.append(Lacking(name, because=str(error)))
        except NotFittedError:
            continue
        else:
            terms.extend(found)
            missing.extend(Lacking(one) for one in lacking)
    return Gathered(tuple(terms), tuple(missing))


Several = Callable[[Sheet], tuple[tuple[Term, ...], tuple[str, ...]]]


def _alone(work: Callable[[Sheet], Term]) -> Several:
    return lambda s: ((s.of(work),), ())


def _seals(s: Sheet) -> tuple[tuple[Term, ...], tuple[str, ...]]:
    return s.of(seal_terms)


def _pumps(s: Sheet) -> tuple[tuple[Term, ...], tuple[str, ...]]:
    return s.of(pump_terms), ()


def choose(terms: Iterable[Term]) -> tuple[Term, tuple[Term, ...], Term | None]:
    """The least by safe end, every term that binds with it, and the next beyond.

    A term binds with the least where its safe end lies within the least's value + u95.
    """
    counted = sorted((t for t in terms if not t.waived), key=lambda t: t.safe)
    least = counted[0]
    edge = least.value + least.u95
    binding = tuple(t for t in counted if t.safe <= edge)
    beyond = [t for t in counted if t.safe > edge]
    return least, binding, beyond[0] if beyond else None


def _result(s: Sheet, item: str, terms: tuple[Term, ...], missing: tuple[Lacking, ...]) -> Limit:
    least, binding, beyond = choose(terms)
    shown = max(0.0, down(max(least.safe, 0.0), STEP))
    reading = s.reading("depth.keel", item) or s.maybe("plan.depth")
    basis = max((t.basis for t in binding), key=lambda b: b.rank)
    why = [f"{t.name}: {t.value:.2f} m, give or take {t.u95:.2f}; {t.why}".rstrip("; ") for t in binding]
    if beyond is not None:
        why.append(f"next: {beyond.name} {down(max(beyond.safe, 0.0), STEP):.1f} m")
    if missing:
        why.append("not known: " + ", ".join(str(one) for one in missing))
    verdict = judge(reading, None, shown)
    return depth_keel.new(item).but(
        high=least.value,
        u95=least.u95,
        shown_high=shown,
        shown=text(shown, "m", "length", STEP),
        basis=basis,
        missing=tuple(dict.fromkeys(path for one in missing for path in one.paths)),
        binds=tuple(t.name for t in binding),
        next=f"{beyond.name} {down(max(beyond.safe, 0.0), STEP):.1f}" if beyond is not None else "",
        terms=terms,
        reading=reading,
        verdict=verdict,
        why=tuple(why),
        cautions=_cautions(s, binding),
        source=tuple(dict.fromkeys(t.source for t in binding if t.source)) or depth_keel.info.sources,
        actions=("plan a shallower keel", "measure what binds") if verdict not in (Verdict.WITHIN,) else (),
        remark=", ".join(t.name for t in binding),
    )


def _cautions(s: Sheet, binding: tuple[Term, ...]) -> tuple[str, ...]:
    """What sight flatters, said where sight binds."""
    if not any(t.name == "sight" for t in binding):
        return ()
    try:
        found = s.of(sight_caution)
    except (UnknownError, NotFittedError, OutOfRangeError):
        return ()
    return (found,) if found else ()


@key(
    "depth.keel",
    "Deepest keel",
    kind="limit",
    sense="max",
    unit="m",
    display="m",
    step="0.1 m down",
    where="pond",
    items="under control · failsafe proved",
    needs=("boat.length", "site.bottom", "today.water.clarity", "today.plan.depth"),
    formula=(
        "the least safe end of: radio, proved dry depth + one step, her own limit, tube, caps, turning seals, "
        "bottom, sight, pump head and hold time, air and tube",
        "every term within the least's value + its ± is named with it",
    ),
    valid="keel depth in still water of one density, 0 to 20 m",
    sources=("each term names its own",),
    reads="length",
    reading_unit="m",
)
def depth_keel(s: Sheet) -> tuple[Limit, ...]:
    """Both items of the deepest keel."""
    found, inputs = s.recorded(_both)
    if isinstance(found, UnknownError | NotFittedError):  # never: the step is always there
        raise found
    return tuple(one.but(inputs=inputs) for one in found)


def _both(s: Sheet) -> tuple[Limit, Limit]:
    gathered = s.of(gather)
    control = _result(s, UNDER_CONTROL, gathered.terms, gathered.missing)
    proofs = [s.proof(name) for name in ("failsafe_bench", "failsafe_wet")]
    stands = all(p.stands for p in proofs)
    free = tuple(
        replace(t, waived=True) if t.name in ("pump head", "pump hold") and _comes_up(s) else t
        for t in gathered.terms
        if t.name != "radio"
    )
    missing = tuple(m for m in gathered.missing if m.name != "radio")
    proved = _result(s, FAILSAFE_PROVED, free, missing)
    if not stands:
        because = next((p.because for p in proofs if not p.stands), "")
        proved = proved.but(
            verdict=Verdict.TO_PROVE,
            remark="never proved"
            if because == "never"
            else f"to prove: {because}"
            if because
            else "to prove",
            actions=("show the failsafe at the bench, then from half a metre in the water",),
        )
    return (control, proved)


def _comes_up(s: Sheet) -> bool:
    """She has weight enough in hand to come up with her ballast in: the pump is not her way home."""
    from divelog.limits.buoyancy import dived_balance  # kept beside its only use

    try:
        balance = s.of(dived_balance)
    except (UnknownError, NotFittedError, OutOfRangeError):
        return False
    return balance.si - balance.u95 > 0
