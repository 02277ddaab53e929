"""What falls due, and what wears: counts and readings in, rows in words out."""
