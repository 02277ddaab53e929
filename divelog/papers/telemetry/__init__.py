"""What an instrument wrote down in a run, or a charger after it: rows of plain text, read by a mapping the person keeps.

A mapping is a TOML file of the home, ``mappings/NAME.toml``::

    format = 1
    title = "depth and volts, the small logger"
    kind = "run"                    # "run" or "charger"
    separator = "comma"             # comma, semicolon, tab or blank
    decimal = "dot"                 # dot or comma
    skip = 0                        # lines before the head
    head = true                     # the first line names the columns

    [time]
    column = "t"                    # its name, or its number from 1
    counts = "milliseconds"         # seconds, milliseconds, minutes, hours, "time of day", "date and time"
    begins = "run start"            # what nought means: "run start", or "first row" (then that row is the start)
    shift = "0 s"                   # added to every time
    gap = "5 s"                     # longer without a row is a gap: nothing is added up over it

    [[column]]
    gives = "depth"                 # depth volts current charge temperature pressure signal throttle
    column = "depth cm"
    unit = "cm"                     # bare numbers of the file are in this unit
    zero = "2 cm"                   # taken off every reading
    turned = false                  # true where the sign is the other way round
    u95 = "5 cm"                    # 95 % of a reading

Reading is one pass in little memory, however long the file: `reading.read` takes chunks of bytes, says how far it is, and
can be stopped. What comes out is a `model.Telemetry`: sums, extremes, gaps, and series thinned for drawing.
"""
