"""Events of care and of hands: services, charges, defects, parts fitted, boats received, and what a trim is set in."""

from __future__ import annotations

from divelog.checks.around import Around
from divelog.checks.members import EVERY_ONE
from divelog.checks.model import Kind
from divelog.checks.said import Said, all_asked, method_of, quantity
from divelog.checks.state import Pending
from divelog.checks.steps import by_member
from divelog.profiles.document import Num


def serviced(said: Said) -> list[Pending]:
    """``serviced``: the item the list names; nothing where no consumable went in."""
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


def charged(said: Said) -> list[Pending]:
    """``charged``, one a pack."""
    question = next(q for q in said.line.questions if q.kind is Kind.EACH)
    found = []
    for pack, answers in by_member(said.givens).items():
        value = answers.get("answer")
        if (
            value is None
            or value.value is None
            or not all_asked(question.ask, answers)
            or pack == EVERY_ONE.id
        ):
            continue
        to = answers["to"].answer if "to" in answers else said.fixed("to")
        found.append(
            Pending("charged", {"pack": pack, "charge": quantity(value.value, value.typed), "to": to})
        )
    return found


def defect(said: Said) -> list[Pending]:
    """``defect.opened`` in the person's words, and whether it stops the launch."""
    if not said.complete:
        return []
    first, words = said.answer(), said.answer("words")
    wanted = said.fixed("defect_when").split(",") if said.fixed("defect_when") else []
    if said.line.questions[0].kind is Kind.EACH:
        return _each_defect(said, wanted)
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
    return [Pending("defect.opened", {"defect": said_of_it, "stops_launch": _stops(said, first)})]


def _stops(said: Said, answer: str) -> bool:
    """Whether an answer stops the launch: always, or where it is one of the words the list names."""
    words = said.fixed("stops_when").split(",") if said.fixed("stops_when") else []
    return said.fixed("stops") == "true" or answer in words


def _each_defect(said: Said, wanted: list[str]) -> list[Pending]:
    """One defect for all members of a line that were found wrong."""
    wrong = [
        (member, answers["answer"].answer)
        for member, answers in by_member(said.givens).items()
        if "answer" in answers and answers["answer"].answer in wanted
    ]
    if not wrong:
        return []
    found = ", ".join(f"{member} {answer}" for member, answer in wrong)
    stops = any(_stops(said, answer) for _, answer in wrong)
    return [Pending("defect.opened", {"defect": f"{said.fixed('defect')}: {found}", "stops_launch": stops})]


def defect_closed(said: Said) -> list[Pending]:
    """``defect.closed`` for each defect mended and proved."""
    found = []
    for member, answers in by_member(said.givens).items():
        words = answers.get("words")
        if words is not None and words.answer:
            found.append(Pending("defect.closed", {"of": member, "check": words.answer}))
    return found


def fitted(said: Said) -> list[Pending]:
    """``fitted`` for each part renewed."""
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


def received(said: Said) -> list[Pending]:
    """``boat.received``: what stands now is only claimed from here on."""
    if not said.complete:
        return []
    claimed, defects = standing_proofs(said.around), open_defects(said.around)
    return [Pending("boat.received", {"condition": said.answer(), "defects": defects, "claimed": claimed})]


def _measured(path: str, value: Num | None, typed: str, method: str) -> list[Pending]:
    if value is None:
        return []
    return [Pending("measured", {"path": path, "value": quantity(value, typed), "method": method})]


def trim(said: Said) -> list[Pending]:
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


def signal_depth(said: Said) -> list[Pending]:
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
