"""Events that answers write besides themselves: one function for each name a list may put at ``writes``.

A writer is given what was answered of the line so far and returns every event these answers amount to. Which of them are
on disk already is not its business (``settling``): so an answer given twice writes nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from divelog.checks.around import Around
from divelog.checks.entry import Given
from divelog.checks.members import EVERY_ONE
from divelog.checks.model import Kind, Line
from divelog.checks.state import Pending, Walk, ended_run
from divelog.checks.steps import asked, by_member, rounds
from divelog.clock import stamp
from divelog.journal.events import Event
from divelog.journal.payload import text
from divelog.limits.rounding import down
from divelog.profiles.document import Num

ALLOWANCE_STEP = 1e-8
"""m^3: an allowance is shown down to a hundredth of a millilitre."""
_WATER = 1000.0


@dataclass(frozen=True, slots=True)
class Said:
    """What was answered of a line so far, and whether that is all."""

    line: Line
    givens: tuple[Given, ...]
    complete: bool
    walk: Walk
    around: Around

    @property
    def answers(self) -> dict[str, Given]:
        """By name of the question."""
        found = rounds(self.line, self.givens)
        return found[-1] if found else {}

    def answer(self, name: str = "answer") -> str:
        """The answer of one question; empty where it was not asked."""
        given = self.answers.get(name)
        return given.answer if given is not None else ""

    def fixed(self, name: str) -> str:
        """A fixed word of the list."""
        return self.line.with_.get(name, "")


def quantity(value: Num, typed: str = "", how: str = "") -> dict[str, Any]:
    """A number as events hold it."""
    found: dict[str, Any] = {"si": value.si, "u95": value.u95}
    if typed:
        found["typed"] = typed
    if how:
        found["how"] = how
    return found


def _happened(said: Said) -> list[Pending]:
    found = []
    every = rounds(said.line, said.givens)
    for place, answers in enumerate(every):
        if place == len(every) - 1 and not said.complete and _open_round(said, answers):
            break
        one = _one_happening(answers)
        if one is not None:
            found.append(one)
    return found


def _open_round(said: Said, answers: Mapping[str, Given]) -> bool:
    """Whether the last round still has questions to come: the same answers once more would not start a new one."""
    so_far = {name: given.answer for name, given in answers.items()}
    return any(asked(q, so_far) and q.name not in so_far for q in said.line.questions)


def _one_happening(answers: Mapping[str, Given]) -> Pending | None:
    def word(name: str) -> str:
        given = answers.get(name)
        return given.answer if given is not None else ""

    match word("answer"):
        case "opened":
            which = word("which")
            return Pending("opened", {"which": [which] if which else [], "lifted": word("lifted") == "yes"})
        case "fitted":
            return Pending("fitted", _fitted_data(answers, word))
        case "lead moved":
            way = {"put in": ("ashore", "boat"), "taken out": ("boat", "ashore")}.get(
                word("way"), ("boat", "boat")
            )
            data: dict[str, Any] = {"piece": "lead", "from": way[0], "to": way[1]}
            mass = answers.get("mass")
            unknown = {"si": None, "state": "unknown"}
            data["mass"] = (
                quantity(mass.value, mass.typed) if mass is not None and mass.value is not None else unknown
            )
            return Pending("mass.moved", data)
        case "radio changed":
            return Pending("radio.changed", {"changed": [word("radio")]})
        case "knocked":
            kind = word("knock")
            return Pending("knocked", {"kind": "heat" if "heat" in kind else kind})
        case _:
            return None


def _fitted_data(answers: Mapping[str, Given], word: Callable[[str], str]) -> dict[str, Any]:
    part = next(
        (word(n) for n in ("seal-part", "shaft-part", "link-part", "radio-part", "pump-part") if word(n)),
        word("part"),
    )
    data: dict[str, Any] = {"part": "other" if part == "something else" else part}
    if word("seal-touched") == "yes":
        data["seals"] = [part]
    if word("inside"):
        data["inside_cylinder"] = word("inside") == "yes"
    change = answers.get("change")
    if change is not None and change.value is not None and change.value.si:
        data["mass_change"] = quantity(change.value, change.typed)
    return data


def _switched(said: Said) -> list[Pending]:
    if not said.complete:
        return []
    devices = ("boat", "transmitter") if said.fixed("device") == "both" else (said.fixed("device"),)
    return [
        Pending("switched", {"device": d, "to": said.fixed("to"), "for": said.fixed("for")}) for d in devices
    ]


def _tripped(said: Said) -> list[Pending]:
    if not said.complete:
        return []
    question = said.line.questions[0]
    channels = {
        member: answers["answer"].answer == question.ask[0].want[0]
        for member, answers in by_member(said.givens).items()
        if question.kind is Kind.EACH
        and question.ask[0].want
        and member not in (*question.also, EVERY_ONE.id)
        and "answer" in answers
    }
    data: dict[str, Any] = {"trigger": said.fixed("trigger"), "real": False, "channels": channels}
    seconds = said.answers.get("seconds")
    if seconds is not None and seconds.value is not None:
        data["seconds"] = seconds.value.si
    return [Pending("failsafe.tripped", data)]


_LOOKED = {"through the window": "window", "opened her": "opened", "not inside": "not"}


def _looked(said: Said) -> str:
    return said.fixed("looked") or _LOOKED.get(said.answer("looked"), "")


def _opened(said: Said) -> list[Pending]:
    opened = _looked(said) == "opened" or said.answer("opened") == "yes"
    if not said.complete or not opened:
        return []
    which = said.answer("which")
    return [Pending("opened", {"which": [which] if which else [], "lifted": False})]


def _water(said: Said) -> list[Pending]:
    first = said.answers.get("answer")
    if not said.complete or first is None:
        return []
    data: dict[str, Any] = {"word": first.answer or first.typed}
    if first.value is not None:
        data |= {"si": first.value.si, "u95": first.value.u95}
        if first.typed and first.typed != first.answer:
            data["typed"] = first.typed
    data |= {
        "end": said.answer("end") or "none",
        "looked": _looked(said) or "not",
        "allowance": allowance(said),
    }
    if first.answer == "flooded":
        data["flooded"] = True
    return [Pending("water.found", data, run=said.walk.run)]


def allowance(said: Said) -> float:
    """Water that may be sweat, m^3, as it is shown; nought where no limit is known."""
    limit = said.around.lookup("cylinder.water_found", "", None, None)
    if limit is None or limit.high is None:
        return 0.0
    return max(0.0, down(limit.high / _WATER, ALLOWANCE_STEP))


# -- the run ----------------------------------------------------------------------------------------------------------


def _run_ended(said: Said) -> list[Pending]:
    if not said.complete or said.walk.run is None:
        return []
    reason = said.answer()
    if ended_run(said.walk, said.around) is not None:
        return _merged(said, {"reason": reason})
    started = next((e for e in reversed(said.around.events) if e.id == said.walk.run), None)
    pack = text(started.payload().get("pack")) if started is not None else None
    data = {"pack": pack or said.around.word("plan.pack"), "reason": reason}
    return [Pending("run.ended", {k: v for k, v in data.items() if v}, run=said.walk.run)]


def _merged(said: Said, more: Mapping[str, Any]) -> list[Pending]:
    """A correction that puts more into the run's end, or nothing where it says so already."""
    event = ended_run(said.walk, said.around)
    if event is None:
        return []
    data = event.payload()
    whole = {**data, **more}
    return [] if whole == data else [correction(event.id, whole, "answered in the list after the run")]


def correction(event: str, data: Mapping[str, Any] | None, why: str) -> Pending:
    """A ``corrected``: the whole data anew, or void where there is none."""
    if data is None:
        return Pending("corrected", {"id": event, "void": True, "why": why})
    return Pending("corrected", {"id": event, "data": dict(data), "why": why})


def _deepest(said: Said) -> list[Pending]:
    first = said.answers.get("answer")
    if not said.complete or first is None or first.value is None:
        return []
    return _merged(said, {"deepest": quantity(first.value, first.typed, said.answer("how"))})


def _volts(said: Said) -> list[Pending]:
    first = said.answers.get("answer")
    if not said.complete or first is None or first.value is None:
        return []
    return _merged(said, {"volts": quantity(first.value, first.typed)})


def _marks(said: Said) -> list[Pending]:
    found: list[Pending] = []
    question = said.line.questions[0]
    members = by_member(said.givens)
    for place, (member, answers) in enumerate(members.items()):
        if place == len(members) - 1 and not said.complete and not _all_asked(question.ask, answers):
            break
        found.extend(
            _one_mark(said, member, {name: given.answer for name, given in answers.items()}, answers)
        )
    return found


def _all_asked(asks: Sequence[Any], answers: Mapping[str, Given]) -> bool:
    so_far = {name: given.answer for name, given in answers.items()}
    return not any(asked(ask, so_far) and ask.name not in so_far for ask in asks)


def _one_mark(said: Said, mark: str, words: Mapping[str, str], answers: Mapping[str, Given]) -> list[Pending]:
    kind = words.get("step") or (
        f"signal {words['signal']}" if words.get("signal") else words.get("answer", "")
    )
    run = said.walk.run
    data: dict[str, Any] = {"of": mark, "kind": kind}
    if words.get("words"):
        data["text"] = words["words"]
    found = [Pending("mark.named", data, run=run)]
    at = _time_of(mark, said.around.events)
    if words.get("signal"):
        found.append(Pending("signal", {"kind": words["signal"]}, run=run, happened=at))
    if words.get("step"):
        incident: dict[str, Any] = {"step": words["step"], "source": words.get("source", "guessed")}
        depth = answers.get("depth")
        if depth is not None and depth.value is not None:
            incident["depth"] = quantity(depth.value, depth.typed)
        if words.get("words"):
            incident["cause"] = words["words"]
        found.append(Pending("incident", incident, run=run, happened=at))
    return found


def _time_of(event: str, events: Sequence[Event]) -> str | None:
    found = next((e for e in reversed(events) if e.id == event), None)
    return stamp(found.local) if found is not None else None


# -- care -------------------------------------------------------------------------------------------------------------


def _serviced(said: Said) -> list[Pending]:
    wanted = said.fixed("serviced_when").split(",") if said.fixed("serviced_when") else []
    first = said.answers.get("answer")
    if not said.complete or first is None or (wanted and first.answer not in wanted):
        return []
    if first.value is not None and first.value.si <= 0:
        return []
    data = {"item": said.fixed("item")}
    if first.value is not None:
        data["consumable"] = first.typed
    return [Pending("serviced", data)]


def _charged(said: Said) -> list[Pending]:
    question = next(q for q in said.line.questions if q.kind is Kind.EACH)
    found = []
    for pack, answers in by_member(said.givens).items():
        value = answers.get("answer")
        if (
            value is None
            or value.value is None
            or not _all_asked(question.ask, answers)
            or pack == EVERY_ONE.id
        ):
            continue
        to = answers["to"].answer if "to" in answers else said.fixed("to")
        found.append(
            Pending("charged", {"pack": pack, "charge": quantity(value.value, value.typed), "to": to})
        )
    return found


def _defect(said: Said) -> list[Pending]:
    if not said.complete:
        return []
    first, words = said.answer(), said.answer("words")
    wanted = said.fixed("defect_when").split(",") if said.fixed("defect_when") else []
    if said.line.questions[0].kind is Kind.TEXT:
        words = first
        if not words:
            return []
    elif wanted and first not in wanted or not wanted and not words:
        return []
    title = said.fixed("defect")
    said_of_it = ": ".join(
        part for part in (title, ", ".join(p for p in (first if title else "", words) if p)) if part
    )
    stops = (
        said.fixed("stops") == "true" or bool(said.fixed("stops_when")) and first == said.fixed("stops_when")
    )
    return [Pending("defect.opened", {"defect": said_of_it, "stops_launch": stops})]


def _defect_closed(said: Said) -> list[Pending]:
    found = []
    for member, answers in by_member(said.givens).items():
        words = answers.get("words")
        if words is not None and words.answer:
            found.append(Pending("defect.closed", {"of": member, "check": words.answer}))
    return found


def _fitted(said: Said) -> list[Pending]:
    part = said.fixed("part")
    return [
        Pending(
            "fitted",
            {"part": part, "item": member, "new": member, "seals": [member] if part == "seal" else []},
        )
        for member, answers in by_member(said.givens).items()
        if "answer" in answers and answers["answer"].answer == "renewed"
    ]


def standing_proofs(around: Around) -> list[str]:
    """Names of the proofs that stand: what a new owner can be told, and what is only claimed from then on."""
    return [proof.name for proof in around.report.proofs if proof.stands]


def open_defects(around: Around) -> list[str]:
    """Open defects in words."""
    return [defect.what for defect in around.report.defects]


def _received(said: Said) -> list[Pending]:
    if not said.complete:
        return []
    claimed, defects = standing_proofs(said.around), open_defects(said.around)
    return [Pending("boat.received", {"condition": said.answer(), "defects": defects, "claimed": claimed})]


def _measured(path: str, value: Num | None, typed: str, method: str) -> list[Pending]:
    if value is None:
        return []
    return [Pending("measured", {"path": path, "value": quantity(value, typed), "method": method})]


def method_of(walk: Walk, line: Line) -> str:
    """How a measured value was had: list and line."""
    return f"{walk.checklist.list}/{line.id}"


def _trim(said: Said) -> list[Pending]:
    """Water that a trim was set in: without it a measured balance would be read as set in last year's water."""
    if not said.complete:
        return []
    record = said.walk.record("water")
    read = next((g for g in record.givens if g.value is not None), None) if record is not None else None
    value = read.value if read is not None else said.around.number("today.water.temperature")
    salt = said.around.number("today.water.salinity") or said.around.number("site.salinity")
    method = method_of(said.walk, said.line)
    return [
        *_measured("trimmed_at.temperature", value, read.typed if read is not None else "", method),
        *_measured("trimmed_at.salinity", salt, "", method),
    ]


def _signal_depth(said: Said) -> list[Pending]:
    """Depth and distance at which the signal goes belong together, with the water they were found in."""
    first, distance = said.answers.get("answer"), said.answers.get("distance")
    if not said.complete or first is None or distance is None:
        return []
    method = method_of(said.walk, said.line)
    water = said.around.number("today.water.conductivity") or said.around.number("site.conductivity")
    warmth = said.around.number("today.water.temperature")
    return [
        *_measured("radio.signal_lost_at.depth", first.value, first.typed, method),
        *_measured("radio.signal_lost_at.distance", distance.value, distance.typed, method),
        *_measured("radio.signal_lost_at.conductivity", water, "", method),
        *_measured("radio.signal_lost_at.temperature", warmth, "", method),
    ]


WRITERS: Mapping[str, Callable[[Said], list[Pending]]] = MappingProxyType(
    {
        "happened": _happened, "switched": _switched, "failsafe.tripped": _tripped, "opened": _opened,
        "water.found": _water, "run.ended": _run_ended, "run.deepest": _deepest, "run.volts": _volts, "marks": _marks,
        "serviced": _serviced, "charged": _charged, "defect": _defect, "defect.closed": _defect_closed,
        "fitted": _fitted, "boat.received": _received, "trim": _trim, "signal-depth": _signal_depth,
    }
)  # fmt: skip
"""By the name a list uses. To add one: a function here, its kinds in ``writing.KINDS``, its name in ``fields.WRITERS``."""
