"""One home, opened: boats, day, log and limits together, for the screens and the command line alike."""
