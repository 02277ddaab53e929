"""Papers that go with a boat: hand-over and commissioning. What is private stays out of them and is counted."""

from __future__ import annotations

import re
from collections.abc import Collection

from divelog.papers.sheets.figures import VERDICTS, day_words, edge, reading_words
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.model import Pairs, Paper, Part, Row, Rows, Words
from divelog.profiles.document import Document, Fact, State
from divelog.profiles.facts import plain_value
from divelog.proofs.model import State as ProofState
from divelog.proofs.table import RULES
from divelog.sharing.making import with_measured
from divelog.sharing.private import NAMES, Scrubber
from divelog.text import shown
from divelog.upkeep.words import sentence

_SIGNS = {
    ProofState.PROVED: "= proved", ProofState.TO_PROVE: "! to prove", ProofState.CLAIMED: "! claimed",
    ProofState.NEVER: "! never", ProofState.NOT_FITTED: "/ not fitted",
}  # fmt: skip
_CLAIMED = "What the last owner proved is a claim: it is proved again by whoever runs her next."
_SIGNED = ("Given by ______________________________   Date ____________",
           "Taken by ______________________________   Date ____________")  # fmt: skip
_RULES = "Makers' sheets, local law and the owner of the water come before anything on this paper."


def hand_over(given: Given, let_out: Collection[str] = (), incidents: bool = True) -> Paper:
    """Everything the next owner cannot see: her file, what is claimed, defects, incidents, hours, services, packs."""
    scrubber = Scrubber(let_out, _ids(given.boat))
    document = scrubber.document(with_measured(given.boat, given.measured or {}, []))
    parts: list[Part] = [_state(given, scrubber), _proofs(given), _defects(given, scrubber)]
    parts.append(_incidents(given, scrubber, incidents))
    parts.append(
        Pairs(
            "Service", tuple((shown(r.title, 40), shown(sentence(r))) for r in given.dues) or (("", "none"),)
        )
    )
    parts.extend(_file(document))
    for note in given.history.notes:
        if note.private and note.boat == given.slug:
            scrubber.leaves("note")
    parts.append(Words("Left out of these papers", (left_words(scrubber) or "nothing",)))
    parts.append(Words("Signed", _SIGNED))
    under = f"Hand-over, {day_words(given.made)}"
    return Paper(
        "papers",
        "Hand-over papers",
        given.name,
        given.made,
        under,
        tuple(parts),
        (),
        (_CLAIMED, _RULES),
        dense=True,
    )


def commissioning(given: Given) -> Paper:
    """How a new, received or overhauled boat stands: proofs, every limit with its reading, what was measured."""
    scrubber = Scrubber((), _ids(given.boat))
    document = scrubber.document(given.boat)
    rows = []
    for one in given.limits:
        if one.kind == "limit" and one.verdict.value != "not_fitted":
            item = f", {one.item}" if one.item else ""
            rows.append(Row(VERDICTS[one.verdict], shown(f"{one.title}{item}", 60), reading_words(one), edge(one),
                            one.verdict.value == "outside"))  # fmt: skip
    measured = tuple(
        (_words(path.removeprefix("boat.")), shown(f"{_value(fact)}, {fact.on}".rstrip(", "), 120))
        for path, fact in sorted((given.measured or {}).items())
        if path.startswith("boat.")
    )
    parts: list[Part] = [
        Pairs(
            "Boat",
            tuple((_words(p), shown(_value(document.facts[p]), 120)) for p in _HEAD if p in document.facts),
        ),
        _proofs(given),
        Rows("Limits and readings", tuple(rows), "A star rests on an assumption."),
        Pairs("Measured", measured or (("", "nothing yet"),)),
        _defects(given, scrubber),
        Words("Left out of this report", (left_words(scrubber) or "nothing",)),
        Words("Signed", _SIGNED[:1]),
    ]
    title, under = "Commissioning report", given.where()
    return Paper(
        "commissioning", title, given.name, given.made, under, tuple(parts), (), (_RULES,), dense=True
    )


_HEAD = (
    "hull",
    "dives_by",
    "length",
    "mass",
    "height",
    "displaced",
    "draught",
    "trimmed_at",
    "dived_balance",
)


def left_words(scrubber: Scrubber) -> str:
    """What was left out, by name, counted."""
    found = []
    for name, count in sorted(scrubber.counts.items()):
        if count:
            one, many = NAMES.get(name, (name, name))
            found.append(f"{count} {one if count == 1 else many}")
    return "; ".join(found)


def _ids(boat: Document) -> frozenset[str]:
    named = {entry for entries in boat.entries.values() for entry in entries}
    return frozenset({*named, *boat.texts_at("power.drive_packs"), *boat.texts_at("cylinder.closures")})


def _state(given: Given, scrubber: Scrubber) -> Pairs:
    history, report = given.history, given.around.report
    runs = [run for run in history.runs if run.boat == given.slug]
    minutes = sum(run.minutes or 0.0 for run in runs)
    pairs = [("runs", f"{len(runs)} written down, {minutes / 60:.1f} h")]
    ended = [run for run in runs if run.end is not None]
    if ended and ended[-1].end is not None:
        pairs.append(("last run", day_words(ended[-1].end)))
    dry = report.dry_depth
    pairs.append(("proven dry", f"{dry:.1f} m, keel" if dry is not None else "never"))
    for pack in given.boat.texts_at("power.drive_packs"):
        chemistry = given.around.word(f"kit.pack[{pack}].chemistry")
        used = history.pack(pack)
        words = f"{chemistry or 'chemistry unknown'}; {len(used.runs) if used is not None else 0} runs in this log"
        pairs.append((f"pack {pack}", scrubber.text(words)))
    return Pairs("How she stands", tuple((shown(a, 40), shown(b, 160)) for a, b in pairs))


def _proofs(given: Given) -> Rows:
    rows = []
    for proof in given.around.report.proofs:
        if proof.state is ProofState.NOT_FITTED:
            continue
        title = RULES[proof.proof].title if proof.proof in RULES else proof.proof
        since = day_words(proof.since) if proof.since is not None and proof.stands else ""
        rows.append(
            Row(
                _SIGNS[proof.state],
                shown(f"{title} {proof.item}".strip(), 60),
                since,
                shown(proof.because, 100),
            )
        )
    return Rows("Proofs", tuple(rows))


def _defects(given: Given, scrubber: Scrubber) -> Words:
    found = [
        shown(
            f"{scrubber.text(one.words)}, since {day_words(one.at)}{': NOT TO LAUNCH' if one.stops_launch else ''}",
            200,
        )
        for one in given.history.open_defects(given.slug)
    ]
    return Words("Open defects", tuple(found) or ("none written down",))


def _incidents(given: Given, scrubber: Scrubber, all_of_them: bool) -> Words:
    """Every depth incident, or how many were withheld."""
    mine = [one for one in given.history.incidents if one.boat == given.slug]
    if not all_of_them:
        return Words("Depth incidents", (f"{len(mine)} in her log; all withheld from these papers",))
    found = []
    for one in mine:
        depth = f", {one.depth.si:.1f} m" if one.depth is not None and one.depth.si is not None else ""
        how = f" ({one.source})" if one.source and depth else ""
        cause = f": {scrubber.text(one.cause)}" if one.cause else ""
        found.append(shown(f"{day_words(one.at)}: {one.step or 'incident'}{depth}{how}{cause}", 240))
    return Words("Depth incidents", tuple(found) or ("none written down",))


def _file(document: Document) -> list[Part]:
    """Her file as words, a table of it a part."""
    tables: dict[str, list[tuple[str, str]]] = {}
    for path, fact in document.facts.items():
        if path == "format":
            continue
        head, _, rest = path.rpartition(".") if "." in path else ("", "", path)
        tables.setdefault(head, []).append((_words(rest), shown(_value(fact), 200)))
    named = sorted(tables.items(), key=lambda one: one[0] != "")
    return [Pairs(f"Her file: {_words(head)}" if head else "Her file", tuple(rows)) for head, rows in named]


def _words(path: str) -> str:
    return shown(re.sub(r"[._]", " ", re.sub(r"\[([^\]]*)\]", r" \1", path)), 60)


def _value(fact: Fact) -> str:
    if fact.state is not State.KNOWN:
        return str(fact.state.value)
    if fact.typed:
        return fact.typed
    if isinstance(fact.value, tuple):
        words: list[str] = [v if isinstance(v, str) else " ".join(map(str, v)) for v in fact.value]
        return ", ".join(words)
    if isinstance(fact.value, bool):
        return "yes" if fact.value else "no"
    return str(plain_value(fact.value))
