"""What a verdict offers next: a digit for what a key can do here, words for what only hands can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

AGAIN = "read again"
_MOST = 3
_OF_THE_PLAN = ("pack ", "plan ", "another pack", "take another pack", "run shallower")
"""Beginnings of actions that change her plan: they open its page."""


@dataclass(frozen=True, slots=True)
class Offers:
    """Digits with their words, in order; and the rest in one row."""

    steps: tuple[tuple[str, str], ...]
    advice: str

    def changes_plan(self, digit: str) -> bool:
        """Whether a digit opens the plan: all but the first do."""
        return digit != "1" and any(one == digit for one, _ in self.steps)


def offers(actions: Sequence[str]) -> Offers:
    """Reading again always comes first, since one reading is the commonest fault."""
    other = [one for one in dict.fromkeys(actions) if one != AGAIN]
    plan = [one for one in other if one.startswith(_OF_THE_PLAN)][: _MOST - 1]
    steps = [("1", AGAIN), *((str(n), words) for n, words in enumerate(plan, 2))]
    return Offers(tuple(steps), "; ".join(one for one in other if one not in plan))
