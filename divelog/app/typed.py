"""What is being typed: a value with its unit, a choice by digit, or free text. No framework, no drawing."""

from __future__ import annotations

from dataclasses import dataclass, replace

MOST = 60
_VALUE_START = frozenset("0123456789.,-+")


@dataclass(frozen=True, slots=True)
class Typed:
    """A line being typed. In a value, letters are commands until a digit stands; then they are its unit."""

    text: str = ""
    words: bool = False
    """Free text: every letter is text until Enter."""
    most: int = MOST

    def take(self, key: str) -> Typed | None:
        """The line after a key, or None where the key is not for it."""
        if key == "backspace":
            return replace(self, text=self.text[:-1]) if self.text else None
        if key == "escape":
            return replace(self, text="") if self.text else None
        if key == "space":
            key = " "
        if len(key) != 1 or not key.isprintable():
            return None
        if not self.text and not self.words and key not in _VALUE_START:
            return None
        if not self.text and key == " ":
            return None
        return replace(self, text=(self.text + key)[: self.most])

    @property
    def value(self) -> str:
        """The text without blanks around it."""
        return self.text.strip()
