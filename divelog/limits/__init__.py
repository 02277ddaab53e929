"""(boat, day, log, proofs) -> limits, estimates and advice. One file a subject; ``catalogue`` gathers them."""
