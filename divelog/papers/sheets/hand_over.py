"""Papers that go with a boat to her next owner. What is private stays out of them and is counted."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from divelog.history.runs import Run
from divelog.papers.sheets.answers import newest
from divelog.papers.sheets.figures import day_words, plain_fact
from divelog.papers.sheets.fitted import failsafe, pack_fact, pack_names, packs, seals, trimmed_in, weights
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.leaving import SIGN, SIGN_HERE, boat_ids, defects, left_words, proofs, words_of
from divelog.papers.sheets.model import Pairs, Paper, Part, Table, Words
from divelog.profiles.document import Document
from divelog.sharing.making import with_measured
from divelog.sharing.private import Scrubber
from divelog.text import shown
from divelog.upkeep.words import sentence

_CLAIMED = "What the last owner proved is a claim: it is proved again by whoever runs her next."
_RUNS = 12
"""Runs listed one by one; all of them are counted."""
_HABITS = ("hand-over", "habits")
_TESTS = (
    ("long leak test", "dry_long"),
    ("failsafe on the bench", "failsafe_bench"),
    ("came up by herself", "failsafe_wet"),
    ("trim", "trim"),
)


def hand_over(given: Given, let_out: Collection[str] = (), incidents: bool = True) -> Paper:
    """Everything the next owner cannot see. First one page of how she stands, signed by both."""
    scrubber = Scrubber(let_out, boat_ids(given.boat))
    document = scrubber.document(with_measured(given.boat, given.measured or {}, []))
    dues = tuple((shown(r.title, 40), shown(sentence(r))) for r in given.dues)
    parts: list[Part] = [
        _state(given, document),
        defects(given, scrubber),
        Words("Signed", SIGN_HERE, lined=True),
        proofs(given),
        failsafe(given, document),
        seals(given, document),
        packs(given),
        *weights(given, document),
        _habits(given, document, scrubber),
        _incidents(given, scrubber, incidents),
        _mended(given, scrubber),
        Pairs("Service", dues or (("", "none"),)),
        _runs(given, scrubber),
        *_file(document),
    ]
    for note in given.history.notes:
        if note.private and note.boat == given.slug:
            scrubber.leaves("note")
    parts.append(Words("Left out of these papers", (left_words(scrubber) or "nothing",)))
    return Paper(
        "papers", "Hand-over papers", given.name, given.made, day_words(given.made), tuple(parts), (), (_CLAIMED, SIGN),
    )  # fmt: skip


def _state(given: Given, boat: Document) -> Pairs:
    """One page to sign: hours, age of seals and packs, last tests, the water of her trim."""
    history = given.history
    runs = [run for run in history.runs if run.boat == given.slug]
    minutes = sum(run.minutes or 0.0 for run in runs)
    shaft = [run.shaft_time for run in runs if run.shaft_time is not None]
    turned = f", the shaft turned {sum(shaft) / 3600:.1f} h in {len(shaft)} of them" if shaft else ""
    pairs = [("runs", f"{len(runs)} written down, {minutes / 60:.1f} h{turned}")]
    ended = [run.end for run in runs if run.end is not None]
    pairs.append(("last run", day_words(ended[-1]) if ended else "none written down"))
    dry = given.around.report.dry_depth
    pairs.append(("proven dry", f"{dry:.1f} m, keel" if dry is not None else "never"))
    pairs.append(("trimmed in", trimmed_in(boat)))
    for title, name in _TESTS:
        pairs.append((f"last {title}", last_given(given, name)))
    for seal, _, _, fitted, since in seals(given, boat).rows:
        pairs.append((f"seal {seal}", f"fitted {fitted}; {since}".removesuffix("; ")))
    for pack in pack_names(given):
        chemistry, label, held = (
            plain_fact(pack_fact(given, pack, name))
            for name in ("chemistry", "capacity", "measured.capacity")
        )
        on = plain_fact(pack_fact(given, pack, "measured.on"))
        used = history.pack(pack)
        count = len(used.runs) if used is not None else 0
        measured = f"held {held} on {on}" if held and on else f"held {held}" if held else "never measured"
        words = (
            f"{chemistry or 'chemistry unknown'}, {label or 'no label'}; {measured}; {count} runs in this log"
        )
        pairs.append((f"pack {pack}", words))
    pairs.append(("depth incidents", _how_many(sum(one.boat == given.slug for one in history.incidents))))
    return Pairs("How she stands", tuple((shown(a, 40), shown(b, 200)) for a, b in pairs))


def _how_many(count: int) -> str:
    return f"{count} in her log" if count else "none in her log"


def last_given(given: Given, proof: str) -> str:
    """When a proof was last given, whether or not it stands now."""
    for event in reversed(given.events):
        if event.what == "check.answered" and event.boat == given.slug:
            gives = event.payload().get("gives")
            if isinstance(gives, list) and proof in gives:
                stands = given.around.report.get(proof).stands
                return f"{day_words(event.local)}{'' if stands else ', spent since'}"
    return "never in this log"


def _habits(given: Given, boat: Document, scrubber: Scrubber) -> Words:
    """What whoever knows her knows: notes that are not private, lines of her own with their reasons, what was said."""
    found = []
    answers = newest(e for e in given.events if e.boat == given.slug)
    said = answers.get(_HABITS)
    if said is not None and said.reading():
        found.append(f"{day_words(said.at)}: {scrubber.text(said.reading())}")
    for entry in boat.entries.get("line", ()):
        do, why = (plain_fact(boat.facts.get(f"line[{entry}].{name}")) for name in ("do", "why"))
        if do or why:
            found.append(f"{do or words_of(entry)}: {why}".removesuffix(": "))
    because = plain_fact(boat.facts.get("my_limits.because"))
    if because:
        found.append(f"Limits of her own: {because}")
    hers = {given.slug, boat.text_at("name"), *pack_names(given), *boat_ids(boat)}
    for note in given.history.notes:
        if not note.private and (note.boat == given.slug or (note.boat is None and note.about in hers)):
            found.append(f"{day_words(note.at)}, {note.about or 'note'}: {scrubber.text(note.words)}")
    return Words("Known habits", tuple(shown(one, 400) for one in found) or ("none written down",))


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


def _mended(given: Given, scrubber: Scrubber) -> Words:
    found = [
        f"{day_words(one.at)}: {scrubber.text(one.words)}; closed {day_words(one.closed.at)}"
        for one in given.history.defects
        if one.closed is not None and one.boat == given.slug
    ]
    return Words("Defects closed", tuple(shown(one, 240) for one in found) or ("none written down",))


def _runs(given: Given, scrubber: Scrubber) -> Table:
    """The newest runs, newest first."""
    mine = [run for run in given.history.runs if run.boat == given.slug]
    rows = tuple(_run(run, scrubber) for run in reversed(mine[-_RUNS:]))
    note = f"{len(mine) - _RUNS} more in her log." if len(mine) > _RUNS else ""
    heads = ("day", "where", "minutes", "deepest keel", "pack", "ended")
    return Table("Last runs", heads, (18, 26, 12, 20, 10, 14), rows, note)


def _run(run: Run, scrubber: Scrubber) -> tuple[str, ...]:
    at = run.start or run.end
    deep = run.deepest
    depth = (
        f"{deep.si:.1f} m, {deep.how or 'how not said'}"
        if deep is not None and deep.si is not None
        else "unknown"
    )
    return (
        day_words(at) if at is not None else "",
        shown(scrubber.text(run.site or ""), 40),
        f"{run.minutes:.0f}" if run.minutes is not None else "",
        shown(depth, 40),
        shown(run.pack or "", 20),
        shown(run.reason or "", 30),
    )


def _file(document: Document) -> Iterable[Part]:
    """Her file as words, a table of it a part."""
    tables: dict[str, list[tuple[str, str]]] = {}
    for path, fact in document.facts.items():
        if path == "format":
            continue
        head, _, rest = path.rpartition(".") if "." in path else ("", "", path)
        tables.setdefault(head, []).append((words_of(rest), shown(plain_fact(fact), 200)))
    named = sorted(tables.items(), key=lambda one: one[0] != "")
    return [
        Pairs(f"Her file: {words_of(head)}" if head else "Her file", tuple(rows), narrow=True)
        for head, rows in named
    ]
