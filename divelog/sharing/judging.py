"""What in a stranger's boat is looser than usual: said before anything is written."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from divelog import units
from divelog.limits.sheet import Sheet
from divelog.physics import buoyancy
from divelog.profiles.document import Document, Num
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.writing import usual_unit
from divelog.sharing.model import Looser
from divelog.upkeep.intervals import Allowed
from divelog.upkeep.schedule import SealEntry, UpkeepFacts, schedule

_LARGER = {
    "my_limits.depth_step": "length", "my_limits.wave_height": "length", "my_limits.leak_water": "volume",
}  # fmt: skip
"""Fields that are looser the larger they are, and their dimension."""
_SMALLER = {"my_limits.over_bottom": "length", "power.keep_back": "share"}
"""Fields that are looser the smaller they are."""


def _sheet(boat: Document) -> Sheet:
    nothing = {root: empty_document(root) for root in ("kit", "site", "today", "settings")}
    return Sheet(Facts(boat, nothing["kit"], nothing["site"], nothing["today"], nothing["settings"], "boat"))


def _written(si: float, dimension: str) -> str:
    return units.written(si, 0.0, usual_unit(dimension, si), dimension, 1)


def looser_than_usual(boat: Document) -> tuple[Looser, ...]:
    """Every limit of her own, and every interval of upkeep, that is looser than what is usual for such a boat."""
    own = {path for path in boat.facts if path.startswith(("my_limits.", "power.keep_back"))}
    facts = MappingProxyType({path: fact for path, fact in boat.facts.items() if path not in own})
    usual = _sheet(replace(boat, facts=facts))
    found: list[Looser] = []
    for path, dimension in (_LARGER | _SMALLER).items():
        said = boat.value(path)
        common = usual.maybe(path if not path.startswith("my_limits") else f"boat.{path}")
        if not isinstance(said, Num) or common is None:
            continue
        apart = said.si - common.si if path in _LARGER else common.si - said.si
        if apart > 1e-9 * abs(common.si):
            found.append(Looser(f"boat.{path}", _written(said.si, dimension), _written(common.si, dimension)))
    return (*found, *_balance(boat, usual), *_upkeep(usual))


def _balance(boat: Document, usual: Sheet) -> list[Looser]:
    least, most = boat.value("my_limits.dived_least"), boat.value("my_limits.dived_most")
    if not isinstance(least, Num) and not isinstance(most, Num):
        return []
    mass, ballast = usual.maybe("boat.mass"), usual.maybe("boat.ballast.volume")
    if mass is None:
        return []
    # Her mass dived: with her ballast full of fresh water, whatever water she goes to.
    band = buoyancy.balance_band(
        mass.si + 1000.0 * (ballast.si if ballast is not None else 0.0), 0.0, None, None
    )
    found = []
    if isinstance(least, Num) and least.si < band.least * (1 - 1e-9):
        found.append(
            Looser("boat.my_limits.dived_least", _written(least.si, "mass"), _written(band.least, "mass"))
        )
    if isinstance(most, Num) and most.si > band.most * (1 + 1e-9):
        found.append(
            Looser("boat.my_limits.dived_most", _written(most.si, "mass"), _written(band.most, "mass"))
        )
    return found


def _upkeep(usual: Sheet) -> list[Looser]:
    wished = dict(usual.words("upkeep"))
    if not wished:
        return []
    seals = tuple(
        SealEntry(each, usual.flag(f"seal[{each}].moves") is not False) for each in usual.ids("seal")
    )
    plain = UpkeepFacts(
        usual.size, seals, usual.word("ballast.kind") != "none", MappingProxyType({}), frozenset(wished)
    )
    common = {one.item: one for one in schedule(plain)[0]}
    found = []
    for one in schedule(replace(plain, upkeep=MappingProxyType(wished)))[0]:
        other = common.get(one.item)
        if one.item in wished and other is not None and _longer(one.interval, other.interval):
            found.append(
                Looser(f"boat.upkeep.{one.item}", _interval(one.interval), _interval(other.interval))
            )
    return found


def _longer(own: tuple[Allowed, ...], usual: tuple[Allowed, ...]) -> bool:
    """True where some counter may run further than usual, or is not counted at all."""
    most = {one.counter: one.most for one in own}
    return any(one.counter not in most or most[one.counter] > one.most for one in usual)


def _interval(interval: tuple[Allowed, ...]) -> str:
    return " or ".join(f"{one.most:g} {one.unit}" for one in interval)


def taken_out(boat: Document) -> tuple[tuple[str, str, str], ...]:
    """Lines of lists that her file says are not fitted: list, line, why."""
    found = []
    for entry in boat.entries.get("line", ()):
        if boat.text_at(f"line[{entry}].change") == "not fitted":
            name = boat.text_at(f"line[{entry}].list")
            found.append((name, boat.text_at(f"line[{entry}].id"), boat.text_at(f"line[{entry}].why")))
    return tuple(found)
