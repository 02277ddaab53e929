"""What happened: events, append, read, verify, correct, merge."""
