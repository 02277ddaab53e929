"""``divelog completion``: a script that completes verbs, options and boats, printed on demand and installed by nobody."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Mapping
from dataclasses import dataclass

from divelog.commands.out import say
from divelog.exits import Exit

_FILES = {"file", "files", "output", "sheet", "today"}
"""Names of arguments that are files."""


@dataclass(frozen=True, slots=True)
class Verb:
    """One verb: its help, options with theirs (and whether a value follows), words that may stand, and what else may."""

    name: str
    help: str
    options: tuple[tuple[str, str, bool], ...]
    words: tuple[str, ...]
    boats: bool
    files: bool


def verbs_of(parsers: Mapping[str, argparse.ArgumentParser], helps: Mapping[str, str]) -> tuple[Verb, ...]:
    """Every verb out of the parser itself, so that no list of them is kept twice."""
    found = []
    for name, parser in parsers.items():
        options: list[tuple[str, str, bool]] = []
        words: list[str] = []
        boats = files = False
        for action in parser._actions:
            for option in action.option_strings:
                options.append((option, action.help or "", action.nargs != 0))
            files = files or action.dest in _FILES
            if not action.option_strings:
                words += [str(one) for one in action.choices or ()]
                boats = boats or action.dest in ("boat", "boats")
        found.append(Verb(name, helps.get(name, ""), tuple(options), tuple(words), boats, files))
    return tuple(found)


def run_completion(words: argparse.Namespace) -> int:
    """Print the script of one shell."""
    helps = {one.dest: one.help or "" for one in words.verbs._choices_actions}
    verbs = verbs_of(words.verbs.choices, helps)
    home = shlex.quote(str(words.where.root))
    say({"bash": bash, "zsh": zsh, "fish": fish}[words.shell](verbs, home))
    return Exit.DONE


def _quoted(words: tuple[str, ...]) -> str:
    return " ".join(words)


def bash(verbs: tuple[Verb, ...], home: str) -> str:
    """For bash: ``source <(divelog completion bash)``."""
    rows = [
        "# Completion of divelog for bash. In your .bashrc:  source <(divelog completion bash)",
        "_divelog_boats() {",
        f"    local home={home} one",
        '    [ -n "$DIVELOG_HOME" ] && home="$DIVELOG_HOME"',
        '    for one in "$home"/boats/*.toml; do',
        '        [ -e "$one" ] && one="${one##*/}" && printf "%s\\n" "${one%.toml}"',
        "    done",
        "}",
        "_divelog() {",
        '    local cur="${COMP_WORDS[COMP_CWORD]}" verb="" words="" boats="" files="" i',
        "    for ((i = 1; i < COMP_CWORD; i++)); do",
        '        case "${COMP_WORDS[i]}" in',
        "            --home) ((i++)) ;;",
        "            -*) ;;",
        '            *) verb="${COMP_WORDS[i]}"; break ;;',
        "        esac",
        "    done",
        '    case "$verb" in',
        f'        "") words="{_quoted(tuple(v.name for v in verbs))} --home --plain --version --help" ;;',
    ]
    for verb in verbs:
        options = _quoted(tuple(option for option, _, _ in verb.options))
        more = f"{' boats=1' if verb.boats else ''}{' files=1' if verb.files else ''}"
        rows.append(
            f'        {verb.name}) words="{_quoted(verb.words)} {options}"{";" + more if more else ""} ;;'
        )
    rows += [
        "    esac",
        '    case "$cur" in -*) boats="" ;; esac',
        '    [ -n "$boats" ] && words="$words $(_divelog_boats)"',
        '    COMPREPLY=($(compgen -W "$words" -- "$cur"))',
        '    [ -n "$files" ] && [ ${#COMPREPLY[@]} -eq 0 ] && COMPREPLY=($(compgen -f -- "$cur"))',
        "    return 0",
        "}",
        "complete -F _divelog divelog",
    ]
    return "\n".join(rows)


def _said(text: str) -> str:
    """Help in single quotes, without what a shell would read into it."""
    return "".join(c for c in text if c not in "'\"\\`$:[]")


def zsh(verbs: tuple[Verb, ...], home: str) -> str:
    """For zsh: ``divelog completion zsh > _divelog`` in a folder of ``fpath``."""
    rows = [
        "#compdef divelog",
        "# Completion of divelog for zsh. Put it into a folder of your fpath, under the name _divelog.",
        "_divelog() {",
        "    local -a verbs options boats",
        f"    local home={home} verb='' i=2",
        "    [[ -n $DIVELOG_HOME ]] && home=$DIVELOG_HOME",
        "    boats=($home/boats/*.toml(N:t:r))",
        "    while (( i < CURRENT )); do",
        "        case $words[$i] in",
        "            --home) (( i++ )) ;;",
        "            -*) ;;",
        "            *) verb=$words[$i]; break ;;",
        "        esac",
        "        (( i++ ))",
        "    done",
        "    case $verb in",
        "        '')",
        "            verbs=(",
        *(f"                '{v.name}:{_said(v.help)}'" for v in verbs),
        "            )",
        "            _describe 'verb' verbs ;;",
    ]
    for verb in verbs:
        options = [f"'{option}:{_said(told)}'" for option, told, _ in verb.options]
        rows.append(f"        {verb.name})")
        rows.append(f"            options=({' '.join([*options, *verb.words])})")
        rows.append("            _describe 'word' options")
        if verb.boats:
            rows.append("            _describe 'boat' boats")
        rows.append("            _files ;;" if verb.files else "            ;;")
    return "\n".join([*rows, "    esac", "}", '_divelog "$@"'])


def fish(verbs: tuple[Verb, ...], home: str) -> str:
    """For fish: ``divelog completion fish > ~/.config/fish/completions/divelog.fish``."""
    rows = [
        "# Completion of divelog for fish. Put it into ~/.config/fish/completions/divelog.fish",
        "function __divelog_boats",
        f"    set -l home {home}",
        "    set -q DIVELOG_HOME; and set home $DIVELOG_HOME",
        "    for one in $home/boats/*.toml",
        "        string replace -r '\\.toml$' '' (basename $one)",
        "    end",
        "end",
        "complete -c divelog -f",
    ]
    names = _quoted(tuple(v.name for v in verbs))
    for verb in verbs:
        rows.append(
            f"complete -c divelog -n 'not __fish_seen_subcommand_from {names}' -a {verb.name} -d '{_said(verb.help)}'"
        )
        seen = f"-n '__fish_seen_subcommand_from {verb.name}'"
        for option, told, value in verb.options:
            dashes = f"-l {option[2:]}" if option.startswith("--") else f"-s {option[1:]}"
            rows.append(f"complete -c divelog {seen} {dashes}{' -r' if value else ''} -d '{_said(told)}'")
        if verb.words:
            rows.append(f"complete -c divelog {seen} -a '{_quoted(verb.words)}'")
        if verb.boats:
            rows.append(f"complete -c divelog {seen} -a '(__divelog_boats)'")
        if verb.files:
            rows.append(f"complete -c divelog {seen} -F")
    return "\n".join(rows)
