"""A figure as a page shows it: drawn wide and narrow, with its sentence, readings and table."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure and everything that says the same without it.

    Attributes
    ----------
    page, phone : str
        SVG for a wide page and for a phone; the second may be empty.
    sentence : str
        What it shows, in words.
    readings : tuple of str
        One line for each step along the figure; empty where nothing is read off.
    headers, rows : tuple
        All its numbers as a table.
    page_left_px, page_right_px, phone_left_px, phone_right_px : float
        Free room at the sides of the plot, so that a tap finds its reading. [px]
    back, on : str
        Words on the buttons that step through the readings.
    """

    page: str
    phone: str
    sentence: str
    readings: tuple[str, ...] = ()
    headers: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    page_left_px: float = 2.0
    page_right_px: float = 64.0
    phone_left_px: float = 2.0
    phone_right_px: float = 2.0
    back: str = "earlier"
    on: str = "later"
