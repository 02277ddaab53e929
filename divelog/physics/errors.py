"""The one way a formula refuses: out of its range, in words a person can read."""


class OutOfRangeError(ValueError):
    """The inputs lie outside what the formula holds for.

    The message is a plain sentence that names the input, its value and the range; it is shown as it is.
    """
