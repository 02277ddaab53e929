"""The command line: words in, exit code out. Every fault is one sentence; a traceback needs ``--debug``."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import datetime

from divelog import __version__
from divelog.exits import Exit

_EXAMPLES = """\
examples:
  divelog demo                     the screens, on a copy of the sample boats
  divelog limits tansy --why       her limits today, each with its derivation
  divelog examine boats/tansy.toml every fault of a file, with its line

exit codes: 0 done, 1 done but --strict found something open, 2 wrong call,
  3 fault in a file, 4 could not write, 5 journal damaged, 70 a bug
"""


def _moment(text: str) -> datetime:
    from divelog.clock import parse_stamp

    try:
        return parse_stamp(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _common(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("everywhere")
    group.add_argument(
        "--home", metavar="FOLDER", default=argparse.SUPPRESS, help="home of boats and logbook"
    )
    group.add_argument(
        "--json", action="store_true", default=argparse.SUPPRESS, help="one JSON object on standard output"
    )
    group.add_argument(
        "--plain", action="store_true", default=argparse.SUPPRESS, help="line by line, for screen readers"
    )
    group.add_argument(
        "--strict", action="store_true", default=argparse.SUPPRESS, help="exit 1 where something is open"
    )
    group.add_argument(
        "--debug", action="store_true", default=argparse.SUPPRESS, help="show the traceback of a bug"
    )


class _Parser(argparse.ArgumentParser):
    """Wrong calls end with exit code 2 and one sentence."""

    def error(self, message: str) -> None:  # type: ignore[override]
        self.print_usage(sys.stderr)
        self.exit(Exit.CALL, f"divelog: {message}\n")


def build_parser() -> argparse.ArgumentParser:
    """All verbs with their words."""
    parser = _Parser(
        prog="divelog",
        description="Prove a model submarine before each dive, against limits worked out for\n"
        "this boat in this water today, and keep her log. Without a verb: the screens.",
        epilog=_EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"divelog {__version__}")
    _common(parser)
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", parser_class=_Parser)
    for add in _VERBS:
        add(verbs)
    return parser


def _verb(
    verbs: argparse._SubParsersAction[_Parser], name: str, help: str, run: str
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(name, help=help, description=help[:1].upper() + help[1:] + ".")
    parser.set_defaults(run=run)
    _common(parser)
    return parser


def _add_demo(verbs: argparse._SubParsersAction[_Parser]) -> None:
    _verb(verbs, "demo", "the screens on a throw-away copy of the sample boats", "screens:run_demo")


def _add_limits(verbs: argparse._SubParsersAction[_Parser]) -> None:
    parser = _verb(verbs, "limits", "limits of a boat, and verdicts on readings", "limits:run_limits")
    parser.add_argument("boat", metavar="BOAT", help="a name, or a file")
    parser.add_argument("--site", metavar="SITE")
    parser.add_argument("--today", metavar="FILE", help="the day as a file")
    parser.add_argument(
        "--set", metavar="PATH=TEXT", action="append", default=[], help="a what-if, never saved"
    )
    parser.add_argument("--only", metavar="KEY", action="append", default=[])
    parser.add_argument("--reading", metavar="KEY[:ITEM]=TEXT", action="append", default=[])
    parser.add_argument("--why", action="store_true", help="derivations and sources")
    parser.add_argument("--at", metavar="TIME", type=_moment, help="RFC 3339 with offset")
    parser.add_argument("--no-history", action="store_true", help="leave the log out")


def _add_rehearse(verbs: argparse._SubParsersAction[_Parser]) -> None:
    parser = _verb(
        verbs, "rehearse", "her path from the signal lost to the mast out", "rehearse:run_rehearse"
    )
    parser.add_argument("boat", metavar="BOAT", help="a name, or a file")
    parser.add_argument(
        "--case", metavar="CASE", action="append", default=[], help="by name or number; may be given again"
    )
    parser.add_argument("--site", metavar="SITE")
    parser.add_argument("--today", metavar="FILE", help="the day as a file")
    parser.add_argument(
        "--set", metavar="PATH=TEXT", action="append", default=[], help="a what-if, never saved"
    )
    parser.add_argument("--at", metavar="TIME", type=_moment, help="RFC 3339 with offset")
    parser.add_argument("--no-history", action="store_true", help="leave the log out")


def _add_next(verbs: argparse._SubParsersAction[_Parser]) -> None:
    parser = _verb(verbs, "next", "what to measure next, and what it would buy", "next:run_next")
    parser.add_argument("boat", metavar="BOAT", help="a name, or a file")
    parser.add_argument("--site", metavar="SITE")
    parser.add_argument("--today", metavar="FILE", help="the day as a file")
    parser.add_argument("--at", metavar="TIME", type=_moment, help="RFC 3339 with offset")
    parser.add_argument("--all", action="store_true", help="every measurement that would help, not three")
    parser.add_argument("--no-history", action="store_true", help="leave the log out")


def _add_words(verbs: argparse._SubParsersAction[_Parser]) -> None:
    explain = _verb(verbs, "explain", "formula, source and valid range of a key", "limits:run_explain")
    explain.add_argument("key", metavar="KEY")
    _verb(verbs, "keys", "all keys with sense, unit and rounding", "limits:run_keys")
    _verb(verbs, "units", "units that may be written", "limits:run_units")


def _add_files(verbs: argparse._SubParsersAction[_Parser]) -> None:
    examine = _verb(
        verbs, "examine", "every fault of profiles, sites, kit, days and lists", "files:run_examine"
    )
    examine.add_argument("files", metavar="FILE", nargs="+")
    _verb(verbs, "where", "folders in use", "files:run_where")


def _add_log(verbs: argparse._SubParsersAction[_Parser]) -> None:
    runs = _verb(verbs, "runs", "runs of a boat, or of all", "runs:run_runs")
    runs.add_argument("boat", metavar="BOAT", nargs="?")
    runs.add_argument("--since", metavar="DATE", help="as 2032-05-04")
    runs.add_argument("--csv", action="store_true", help="rows for a spreadsheet")
    runs.add_argument(
        "--curve", metavar="RUN", nargs="?", const="",
        help="draw what instruments read in a run: its identifier, its beginning, or last; without one the newest"
        " run with a file",
    )  # fmt: skip
    record = _verb(verbs, "record", "append one event to a boat's log", "log:run_record")
    record.add_argument("boat", metavar="BOAT")
    record.add_argument("what", metavar="WHAT", help="charged, serviced, opened, note …")
    record.add_argument("pairs", metavar="PATH=TEXT", nargs="*")
    record.add_argument(
        "--happened", metavar="TIME", help='when it was earlier: "yesterday 19:00", "30 Apr 19:00"'
    )
    correct = _verb(verbs, "correct", "append one correction of an event", "log:run_correct")
    correct.add_argument("id", metavar="ID", help="the event's identifier, or its beginning")
    correct.add_argument(
        "pairs", metavar="PATH=TEXT", nargs="+", help="new values; why=…, and void=yes or happened=…"
    )
    verify = _verb(verbs, "verify", "whether the journals are whole", "log:run_verify")
    verify.add_argument("boat", metavar="BOAT", nargs="?")


def _add_care(verbs: argparse._SubParsersAction[_Parser]) -> None:
    due = _verb(verbs, "due", "what is due, worst first", "care:run_due")
    due.add_argument("boats", metavar="BOAT", nargs="*")
    wear = _verb(verbs, "wear", "readings of one quantity since its last change of part", "care:run_wear")
    wear.add_argument("boat", metavar="BOAT")
    wear.add_argument("quantity", metavar="QUANTITY", help="as ballast.fill_time")
    defects = _verb(
        verbs,
        "defects",
        "open defects, and faults that one pack, set or receiver shares",
        "defects:run_defects",
    )
    defects.add_argument("boats", metavar="BOAT", nargs="*")
    defects.add_argument("--all", action="store_true", help="closed ones too")
    proofs = _verb(verbs, "proofs", "what is proved, what is to prove, and why", "care:run_proofs")
    proofs.add_argument("boat", metavar="BOAT")
    proofs.add_argument("--at", metavar="TIME", type=_moment, help="RFC 3339 with offset")


def _add_share(verbs: argparse._SubParsersAction[_Parser]) -> None:
    share = _verb(verbs, "share", "a boat as one file to pass on, without what is private", "share:run_share")
    share.add_argument("boat", metavar="BOAT")
    share.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="the file to write, as tansy.zip"
    )
    share.add_argument("--log", action="store_true", help="her log too")
    share.add_argument("--condition", metavar="TEXT", help="her condition, in a few words")
    share.add_argument(
        "--to", metavar="NAME", help="hand her over: written into her log here, never into the file"
    )
    share.add_argument(
        "--let-out", metavar="NAME", action="append", default=[], help="a private thing that may go too"
    )
    share.add_argument(
        "--without-incidents", action="store_true", help="withhold them; how many is said in the file"
    )
    share.add_argument("--without-lists", action="store_true", help="leave your own lists here")
    share.add_argument("--over", action="store_true", help="write over a file that is there")
    receive = _verb(verbs, "receive", "take in a boat from a file", "share:run_receive")
    receive.add_argument("file", metavar="FILE")
    receive.add_argument("--look", action="store_true", help="only show what is in it")
    receive.add_argument("--as", dest="under", metavar="NAME", help="take her in under another name")
    receive.add_argument("--over", action="store_true", help="in the place of the boat of that name")
    receive.add_argument("--lists", action="store_true", help="her last owner's lists too")
    receive.add_argument("--from", dest="giver", metavar="NAME", help="who gave her; private")
    receive.add_argument("--yes", action="store_true", help="without asking, looser limits too")


def _add_export(verbs: argparse._SubParsersAction[_Parser]) -> None:
    export = _verb(verbs, "export", "the log in a file that other programs read", "export:run_export")
    export.add_argument("boat", metavar="BOAT|all")
    export.add_argument("-o", "--output", metavar="FILE", required=True, help="the file to write")
    export.add_argument("--as", dest="form", choices=("csv", "events-csv", "jsonl", "sqlite"),
                        help="runs or events as rows, events as JSON Lines, or everything as one SQLite file")  # fmt: skip
    export.add_argument("--over", action="store_true", help="write over a file that is there")


def _add_attach(verbs: argparse._SubParsersAction[_Parser]) -> None:
    attach = _verb(
        verbs, "attach", "readings of an instrument or a charger, joined to a run", "attach:run_attach"
    )
    attach.add_argument("boat", metavar="BOAT")
    attach.add_argument("run_id", metavar="RUN", help="its identifier, the beginning of it, or: last")
    attach.add_argument("file", metavar="FILE", help="rows of plain text")
    attach.add_argument(
        "--map", metavar="NAME", required=True, help="mappings/NAME.toml of the home: which column is what"
    )
    attach.add_argument("--look", action="store_true", help="only say what the file holds")


def _add_sheet(verbs: argparse._SubParsersAction[_Parser]) -> None:
    sheet = _verb(verbs, "sheet", "papers of a boat, to print and to write on", "sheet:run_sheet")
    sheet.add_argument("boat", metavar="BOAT", help="a name, or a file")
    sheet.add_argument(
        "paper",
        metavar="PAPER",
        choices=("run", "list", "papers", "trouble", "tag", "commissioning"),
        help="run, list (before the dive), trouble, tag (for the case), papers (hand-over), commissioning",
    )
    sheet.add_argument(
        "--blank", action="store_true", help="to be written on: without what is known of the day"
    )
    sheet.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="a file ending in .html or .txt; otherwise text is printed here",
    )
    sheet.add_argument("--size", choices=("A4", "letter"), default="A4", help="size of the paper")
    sheet.add_argument(
        "--let-out",
        metavar="NAME",
        action="append",
        default=[],
        help="a private thing that may stand on papers and commissioning",
    )
    sheet.add_argument(
        "--without-incidents", action="store_true", help="withhold them on papers; how many is said there"
    )
    sheet.add_argument("--over", action="store_true", help="write over a file that is there")


def _add_type_in(verbs: argparse._SubParsersAction[_Parser]) -> None:
    type_in = _verb(verbs, "type-in", "a filled sheet, typed back by its numbers", "type_in:run_type_in")
    type_in.add_argument(
        "sheet",
        metavar="SHEET",
        nargs="?",
        help="a text file: boat and time, then NUMBER ANSWER; without it: prompts",
    )


def _add_completion(verbs: argparse._SubParsersAction[_Parser]) -> None:
    completion = _verb(
        verbs, "completion", "a script that completes these verbs in your shell", "completion:run_completion"
    )
    completion.add_argument(
        "shell", metavar="SHELL", choices=("bash", "zsh", "fish"), help="bash, zsh or fish"
    )
    completion.set_defaults(verbs=verbs)  # the script is made of the parser itself


_VERBS: list[Callable[[argparse._SubParsersAction[_Parser]], None]] = [
    _add_demo,
    _add_limits,
    _add_rehearse,
    _add_next,
    _add_words,
    _add_files,
    _add_log,
    _add_care,
    _add_share,
    _add_export,
    _add_attach,
    _add_sheet,
    _add_type_in,
    _add_completion,
]


def _bare_words(given: list[str]) -> argparse.Namespace | None:
    """The words of ``divelog`` and ``divelog demo`` alone."""
    if not given:
        return argparse.Namespace(run="screens:run_screens")
    return argparse.Namespace(run="screens:run_demo") if given == ["demo"] else None


def main(argv: Sequence[str] | None = None) -> int:
    """Run one call; returns the exit code."""
    given = list(sys.argv[1:] if argv is None else argv)
    try:
        # Building all verbs costs a tenth of a second's start budget; the screens need none of them.
        words = _bare_words(given) or build_parser().parse_args(given)
    except SystemExit as stop:
        return int(stop.code or 0) if isinstance(stop.code, int | None) else Exit.CALL
    for name, otherwise in (
        ("home", None),
        ("json", False),
        ("plain", False),
        ("strict", False),
        ("debug", False),
    ):
        if not hasattr(words, name):
            setattr(words, name, otherwise)
    try:
        return int(_run(words))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.PIPE
    except KeyboardInterrupt:
        return 130


def _run(words: argparse.Namespace) -> int:
    from divelog.clock import SystemClock
    from divelog.files import StorageError
    from divelog.home import find_home
    from divelog.text import shown

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    words.where = find_home(words.home)
    words.clock = SystemClock()
    where = getattr(words, "run", "screens:run_screens")
    module, _, name = where.partition(":")
    import importlib

    from divelog.exits import CallError

    try:
        code = getattr(importlib.import_module(f"divelog.commands.{module}"), name)(words)
        sys.stdout.flush()
        return int(code)
    except CallError as error:
        print(f"divelog: {shown(str(error))}", file=sys.stderr)
        return Exit.CALL
    except StorageError as error:
        print(f"divelog: {shown(str(error))}", file=sys.stderr)
        return Exit.NOT_WRITTEN
    except (BrokenPipeError, KeyboardInterrupt):
        raise
    except MemoryError:
        print(
            "divelog: this machine has not enough memory for it. What was answered is on disk.",
            file=sys.stderr,
        )
        return Exit.NOT_WRITTEN
    except Exception as error:
        if words.debug:
            raise
        print(
            f"divelog: a fault of the program ({type(error).__name__}: {shown(str(error), 200)}). What was answered is on"
            " disk. Run again with --debug and report what it prints.",
            file=sys.stderr,
        )
        return Exit.BUG
