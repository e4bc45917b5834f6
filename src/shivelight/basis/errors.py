"""The errors of Shivelight, each one sentence that a photographer can act on.

::

    ShivelightError
    ├── OutOfRangeError      (also ValueError)   a number outside its limits
    ├── BadInputError        (also ValueError)   words, columns or a shape that make no sense
    ├── MissingDataError                         what was needed is not there
    ├── UnreadableFileError                      a file or payload that cannot be read
    ├── UnwritableError                          a book, disk or folder that cannot be written
    └── NotFoundError        (also LookupError)  a name that the field book does not hold

The text says what is wrong, with value and unit, and what would put it right. Errors hold
plain values only. Exit codes are the business of each shell.
"""


class ShivelightError(Exception):
    """Anything that Shivelight refuses, in one sentence."""


class OutOfRangeError(ShivelightError, ValueError):
    """A number lies outside the limits within which it means something.

    Parameters
    ----------
    name : str
        What the number is, in plain words ("latitude").
    value, low, high : float
        The number given and its limits, all in ``unit``.
    unit : str
        Unit as printed after a number ("°", "m", "mm"); empty for a plain count.
    hint : str
        Optional closing sentence that says what to do.
    """

    def __init__(
        self, name: str, value: float, low: float, high: float, unit: str = "", hint: str = ""
    ) -> None:
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        gap = f" {unit}" if unit else ""
        text = f"{name} is {value:g}{gap}; it must be {low:g} to {high:g}{gap}."
        super().__init__(f"{text} {hint}".strip())


class BadInputError(ShivelightError, ValueError):
    """Something given makes no sense as it stands; the text says what would."""


class MissingDataError(ShivelightError):
    """Something needed for an answer is not there, and nothing is put in its place."""


class UnreadableFileError(ShivelightError):
    """A file or payload cannot be read as what it should be."""


class UnwritableError(ShivelightError):
    """A book, folder or disk cannot be written; nothing was half-written."""


class NotFoundError(ShivelightError, LookupError):
    """A name that the field book, a table or a list does not hold."""


def require_range(
    name: str, value: float, low: float, high: float, unit: str = "", hint: str = ""
) -> None:
    """Raise :class:`OutOfRangeError` unless ``low <= value <= high`` (NaN is refused too)."""
    if not low <= value <= high:
        raise OutOfRangeError(name, value, low, high, unit, hint)
