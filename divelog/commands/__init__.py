"""The verbs of the command line, one file a group. Each takes parsed words and returns an exit code."""
