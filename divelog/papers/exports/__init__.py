"""The log in forms other programs read: rows for a spreadsheet, JSON Lines, and one SQLite file.

**Rows** (RFC 4180, UTF-8, a line feed after each): a head of names with their units, one run or one event a row. A text
that a spreadsheet would run as a formula has one ``'`` before it (`divelog.text.csv_cell`); `divelog.text.from_csv_cell`
takes it away again. ``data`` of an event is its JSON in ASCII, so that `rows.events_back` gives back the same events;
control characters in the few other texts stay visible signs.

**JSON Lines**: events as a journal holds them, corrections applied, linked anew, in ASCII. Such a file in a boat's
folder of a logbook is a journal.

**SQLite**: tables of everything (`tables`), and a view for each question people ask of a log (`questions`). Names carry
their units. It is made in memory and written in one step.
"""
