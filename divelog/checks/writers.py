"""Events that answers write besides themselves: one function for each name a list may put at ``writes``.

A writer is given what was answered of the line so far and returns every event these answers amount to. Which of them are
on disk already is not its business (``settling``): so an answer given twice writes nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from divelog.checks import writers_care, writers_run
from divelog.checks.entry import FLOODED, Given
from divelog.checks.members import EVERY_ONE
from divelog.checks.model import Kind
from divelog.checks.said import Said, all_asked, quantity
from divelog.checks.state import Pending
from divelog.checks.steps import by_member, rounds
from divelog.limits.rounding import down

ALLOWANCE_STEP = 1e-8
"""m^3: an allowance is shown down to a hundredth of a millilitre."""
_WATER = 1000.0


def _happened(said: Said) -> list[Pending]:
    found = []
    every = rounds(said.line, said.givens)
    for place, answers in enumerate(every):
        if place == len(every) - 1 and not said.complete and not all_asked(said.line.questions, answers):
            break
        one = _one_happening(answers)
        if one is not None:
            found.append(one)
    return found


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
    if first.answer == FLOODED:
        data["flooded"] = True
    return [Pending("water.found", data, run=said.walk.run)]


def allowance(said: Said) -> float:
    """Water that may be sweat, m^3, as it is shown; nought where no limit is known."""
    limit = said.around.lookup("cylinder.water_found", "", None, None)
    if limit is None or limit.high is None:
        return 0.0
    return max(0.0, down(limit.high / _WATER, ALLOWANCE_STEP))


WRITERS: Mapping[str, Callable[[Said], list[Pending]]] = MappingProxyType(
    {
        "happened": _happened,
        "switched": _switched,
        "failsafe.tripped": _tripped,
        "opened": _opened,
        "water.found": _water,
        "run.ended": writers_run.run_ended,
        "run.deepest": writers_run.deepest,
        "run.volts": writers_run.volts,
        "marks": writers_run.marks,
        "serviced": writers_care.serviced,
        "charged": writers_care.charged,
        "defect": writers_care.defect,
        "defect.closed": writers_care.defect_closed,
        "fitted": writers_care.fitted,
        "boat.received": writers_care.received,
        "trim": writers_care.trim,
        "signal-depth": writers_care.signal_depth,
    }
)
"""By the name a list uses. To add one: a function here, its kinds in ``writing.KINDS``, its name in ``fields.WRITERS``."""
