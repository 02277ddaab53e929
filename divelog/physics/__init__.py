"""The ground: pure functions in SI floats, one file a subject. No I/O, no units library, no state."""
