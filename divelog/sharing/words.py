"""A bundle in words: for its own ``about.txt``, for the command line and for the screen."""

from __future__ import annotations

from collections.abc import Iterable

from divelog.proofs.table import RULES
from divelog.sharing.model import Looked, Manifest
from divelog.sharing.private import NAMES
from divelog.text import shown

MOST_LINES = 40


def proof_words(name: str) -> str:
    """A proof as people say it: ``pack:D2`` is *pack D2*."""
    kind, _, item = name.partition(":")
    title = RULES[kind].title if kind in RULES else kind.replace("_", " ")
    return f"{title} {item}".strip()


def listed(words: Iterable[str], most: int = 12) -> str:
    """``a, b and c``, the rest counted."""
    found = [shown(word, 80) for word in words]
    if len(found) > most:
        return ", ".join(found[:most]) + f" and {len(found) - most} more"
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}" if found else ""


def left_words(manifest: Manifest) -> str:
    """What was left out, by name, counted."""
    found = []
    for one in manifest.left_out:
        words = NAMES.get(one.name, (shown(one.name, 40),) * 2)[one.count != 1]
        found.append(f"{one.count} {words}")
    return "; ".join(found)


def incident_words(manifest: Manifest) -> str:
    """How many incidents there are, and how many of them are not here."""
    found = manifest.incidents
    if not found.all:
        return "no depth incident in her log"
    count = "1 depth incident" if found.all == 1 else f"{found.all} depth incidents"
    if not found.withheld:
        return f"{count} in her log, all in this file"
    return f"{count} in her log, {found.withheld} not in this file"


def standing(manifest: Manifest) -> list[tuple[str, str]]:
    """What the last owner says of her: word and sentence."""
    rows = [("made", shown(f"{manifest.made[:16].replace('T', ' ')} with divelog {manifest.program}", 120))]
    if manifest.condition:
        rows.append(("condition", shown(manifest.condition, 400)))
    rows.append(("runs", f"{manifest.runs} written down; {incident_words(manifest)}"))
    claimed = listed((proof_words(one.proof) for one in manifest.claimed), 30)
    rows.append(("claimed", claimed or "no proof stood"))
    if manifest.dry_depth is not None:
        rows.append(("claimed", f"dry at {manifest.dry_depth:.1f} m"))
    for one in manifest.defects[:10]:
        stops = ", not to launch" if one.stops_launch else ""
        rows.append(("defect", f"{shown(one.words, 120)}, since {shown(one.since[:10])}{stops}"))
    if len(manifest.defects) > 10:
        rows.append(("defect", f"and {len(manifest.defects) - 10} more"))
    rows.append(("left out", left_words(manifest) or "nothing"))
    return rows


def about(manifest: Manifest) -> str:
    """The bundle in words, for somebody without the program."""
    lines = [
        f"{shown(manifest.boat.name, 80)}, a model submarine, passed on as plain text.",
        "",
        *(f"{word + ':':<12}{text}" for word, text in standing(manifest)),
        "",
        "boat.toml is her profile, baselines.jsonl what was measured of her, one reading a line.",
        "Where log.jsonl is here, it is her log, one event a line; manifest.json has the digest of every file.",
        "What is claimed was proved by the last owner. It is to be proved again by whoever runs her next.",
        "Take her in with: divelog receive FILE",
    ]
    return "\n".join(lines) + "\n"


def looked(found: Looked, missing_kit: Iterable[str] = ()) -> list[tuple[str, str]]:
    """What is in a bundle, before anything of it is taken: word and sentence."""
    if found.manifest is None or found.boat is None:
        return []
    rows = [("boat", shown(found.boat.text_at("name"), 80)), *standing(found.manifest)]
    measured = sum(event.what == "measured" for event in found.events)
    others = len(found.events) - measured
    kept = f"{measured} baselines" if measured != 1 else "1 baseline"
    rows.append(("holds", f"{kept}; {f'her log, {others} lines' if found.has_log else 'no log'}"))
    rows += [("looser", one.sentence()) for one in found.looser[:MOST_LINES]]
    for where, line, why in found.taken_out[:MOST_LINES]:
        rows.append(("taken out", f"{shown(where, 40)}, {shown(line, 40)}: {shown(why, 160)}"))
    for one in found.lists:
        lines = sum(len(phase.lines) for phase in one.phases)
        rows.append(("list", f"{shown(one.title or one.list, 80)}: {lines} lines of its owner's"))
    lacking = listed(missing_kit)
    if lacking:
        rows.append(("kit", f"not in yours: {lacking}"))
    return rows
