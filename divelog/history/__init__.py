"""Events folded into what a person asks for: runs, packs, services, incidents, defects."""

from divelog.history.folding import History, fold

__all__ = ["History", "fold"]
