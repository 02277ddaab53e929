"""What gives a proof and what spends it: one table, and a pure fold of the log over it.

A passed safety check is a proof. Later events spend it: an opened seal, moved lead, other water, a re-bind, time.
Proofs are never stored; they are folded from the events each time.
"""

from divelog.proofs.fold import Question, fold_proofs
from divelog.proofs.model import Proof, ProofReport, State
from divelog.proofs.table import PROOFS, fitted_proofs

__all__ = ["PROOFS", "Proof", "ProofReport", "Question", "State", "fitted_proofs", "fold_proofs"]
