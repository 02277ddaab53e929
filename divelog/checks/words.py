"""Words that count as measurements: a drop, a teaspoon, a pace; each with its value and a wide ±.

Accepted wherever a volume, a length or a wind is asked. They are kept as a word *and* as a number in SI.
Sources: a drop, USP 32, chapter 1101 (45 to 55 mg from a dropper; a drop from a hand varies more); looks of the water,
Beaufort scale (sea criteria, so on a small pond the look lags the wind); the rest common practice, no source.
"""

from __future__ import annotations

import re

from divelog.limits.cylinder_damp import DRY, WATER_WORDS
from divelog.profiles.document import Basis, Num

_COUNTS = {
    "half a": 0.5, "half an": 0.5, "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0,
    "five": 5.0, "six": 6.0, "seven": 7.0, "eight": 8.0, "nine": 9.0, "ten": 10.0, "a dozen": 12.0,
}  # fmt: skip
_MOST_COUNT = 1000.0

_SHORT = {"dry": DRY, "mist": "mist on the wall"}
"""Shorter ways to say a word of the table."""

_NOUNS = {
    "drop": "a drop", "drops": "a drop", "teaspoon": "a teaspoon", "teaspoons": "a teaspoon",
    "egg-cup": "an egg-cup", "egg-cups": "an egg-cup", "eggcup": "an egg-cup", "eggcups": "an egg-cup",
    "egg cup": "an egg-cup", "egg cups": "an egg-cup", "cup": "a cup", "cups": "a cup",
}  # fmt: skip
_DROP_OR_TWO = "a drop or two"

_PACE, _ARM = (0.75, 0.10), (0.60, 0.15)
"""Metres, and the share of them that is the ±."""

LOOKS: dict[str, tuple[float, float]] = {
    "mirror": (0.0, 0.2),
    "scaly ripples": (0.3, 1.5),
    "small glassy wavelets": (1.6, 3.3),
    "crests begin to break": (3.4, 5.4),
    "small waves, white horses": (5.5, 7.9),
}
"""Look of the water -> least and most wind, m/s."""

_NUMBER = re.compile(r"\d{1,3}(?:[.,]\d{1,2})?", re.ASCII)


def plain(text: str) -> str:
    """A word as the tables hold it: small letters, single blanks."""
    return " ".join(text[:80].casefold().split())


def canonical(text: str) -> str | None:
    """The word of the table that a text says ("Mist" -> "mist on the wall"); None where it is none of them."""
    word = _SHORT.get(plain(text), plain(text))
    if word in WATER_WORDS:
        return word
    found = _counted(word, _NOUNS)
    return found[1] if found is not None and found[0] == 1.0 else None


def _counted(word: str, nouns: dict[str, str]) -> tuple[float, str] | None:
    """How many of which: "two egg cups" -> 2, "an egg-cup"."""
    noun = next(
        (n for n in sorted(nouns, key=len, reverse=True) if word == n or word.endswith(f" {n}")), None
    )
    if noun is None:
        return None
    said = word.removesuffix(noun).strip()
    if not said:
        return (1.0, nouns[noun]) if not noun.endswith("s") else None
    number = _NUMBER.fullmatch(said)
    count = float(number[0].replace(",", ".")) if number is not None else _COUNTS.get(said, 0.0)
    return (count, nouns[noun]) if 0.0 < count <= _MOST_COUNT else None


def amount(text: str) -> Num | None:
    """A volume of water (m^3) said in words, with its 95 % half-width; None where the text is no such word.

    "bone dry", "mist", "a drop", "two drops", "half a teaspoon", "3 egg-cups". Counted things keep the share of their
    ±: one hand's drops are all too large or all too small.
    """
    word = _SHORT.get(plain(text), plain(text))
    if word in WATER_WORDS:
        found = WATER_WORDS[word]
        spread = max(found.most - found.volume, found.volume - found.least)
        return Num(found.volume, spread, Basis.MEASURED)
    drop = WATER_WORDS["a drop"]
    if word == _DROP_OR_TWO:
        least, most = drop.least, 2 * drop.most
        return Num((least + most) / 2, (most - least) / 2, Basis.MEASURED)
    counted = _counted(word, _NOUNS)
    if counted is None:
        return None
    count, noun = counted
    one = WATER_WORDS[noun]
    return Num(count * one.volume, count * (one.most - one.volume), Basis.MEASURED)


def length(text: str, pace: Num | None = None) -> Num | None:
    """A length (m) said in paces or arms; ``pace`` is the person's own where it has been measured."""
    counted = _counted(plain(text), {"pace": "pace", "paces": "pace", "arm": "arm", "arms": "arm"})
    if counted is None:
        return None
    count, noun = counted
    one, share = _PACE if noun == "pace" else _ARM
    if noun == "pace" and pace is not None:
        return Num(count * pace.si, count * pace.u95, Basis.MEASURED)
    return Num(count * one, count * one * share, Basis.MEASURED)


def wind(text: str) -> Num | None:
    """A wind (m/s) told by the look of the water: the middle of its range, and half of the range as ±."""
    found = LOOKS.get(plain(text))
    if found is None:
        return None
    least, most = found
    return Num((least + most) / 2, (most - least) / 2, Basis.MEASURED)
