"""Every page of the program as its words, for what the talk of ``plain`` does not ask by itself.

A page is printed without figures, plates and the waterline; a line that is typed is pressed key by key and ended with
Enter. A line of one letter is that key alone. What is answered is on disk before the next page is said.
"""

from __future__ import annotations

import re

from divelog.app.look.layout import SMALL
from divelog.app.shell import Shell
from divelog.commands.plain_talk import Talk

_NAMED = {
    "esc": "escape", "escape": "escape", "enter": "enter", "": "enter", "space": "space", "mark": "space", "down": "down",
    "up": "up",
}  # fmt: skip
_HELP = "Type an answer and press Enter; a single letter is that key; esc, down, up, space are keys; quit goes back."


def words_of(page_text: str) -> list[str]:
    """The words of a page: its rows without drawn figures, plates, the waterline and empty ones."""
    found = []
    for row in page_text.split("\n"):
        text = re.sub(r"[#:=_]{2,}", " ", row)
        text = re.sub(r"(?<!\S)[=#](?!\S)(?=\s*$)|^\s*(=\s*)+$", " ", text).rstrip()
        if text.strip(" #=:_|-/<>"):
            found.append(re.sub(r" {2,}", "  ", text.strip()))
    return found


def keys_of(line: str, typing: bool) -> list[str]:
    """The keys that a typed line means."""
    text = line.rstrip("\r\n")
    word = text.strip().lower()
    if word in _NAMED:
        return [_NAMED[word]]
    if len(text.strip()) == 1 and not typing and not text.strip().isdecimal():
        return [text.strip()]
    pressed = ["space" if char == " " else char for char in text]
    return pressed if len(pressed) == 1 and not typing else [*pressed, "enter"]


def pages(shell: Shell, talk: Talk) -> None:
    """The pages, line by line, until ``quit``."""
    talk.say(_HELP)
    while True:
        talk.say(*words_of(shell.draw(SMALL.ascii()).text()))
        line = talk.ask(": ")
        if line.strip().lower() == "quit":
            return
        for key in keys_of(line, shell.front.typing):
            shell.press(key)
        shell.tick()
        if shell.asked_to_leave:
            shell.asked_to_leave = False
            return
        talk.say("")
