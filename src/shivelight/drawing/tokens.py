"""The colours of the three themes, measured: paper by day, dim before dawn, print in black."""

PAPER = {
    "ground": "#F1F1E8", "sheet": "#FBFBF6", "ink": "#1C211C", "ink2": "#4B544B",
    "edge": "#747D72", "line": "#CBCEBF", "mist": "#8FA096", "mist-ink": "#3E5448",
    "light": "#A8481A", "light-ink": "#8F3B12", "bark": "#2A2E27", "on-bark": "#FBFBF6",
    "air": "#FBFBF6", "on-air": "#1C211C", "shade": "#C3C9BF",
}  # fmt: skip
DIM = {
    "ground": "#060201", "sheet": "#0D0503", "ink": "#D9692B", "ink2": "#C8602A",
    "edge": "#A8481C", "line": "#35160B", "mist": "#6E2F17", "mist-ink": "#C8602A",
    "light": "#DD7630", "light-ink": "#DD7630", "bark": "#35160B", "on-bark": "#D9692B",
    "air": "#C8602A", "on-air": "#060201", "shade": "#1F0C06",
}  # fmt: skip
PRINT = {
    "ground": "#FFFFFF", "sheet": "#FFFFFF", "ink": "#000000", "ink2": "#000000",
    "edge": "#000000", "line": "#000000", "mist": "#999999", "mist-ink": "#000000",
    "light": "#000000", "light-ink": "#000000", "bark": "#000000", "on-bark": "#FFFFFF",
    "air": "#FFFFFF", "on-air": "#000000", "shade": "#D0D0D0",
}  # fmt: skip
THEMES = {"paper": PAPER, "dim": DIM, "print": PRINT}

TEXT_PAIRS = (
    ("ink", "ground"), ("ink", "sheet"), ("ink2", "ground"), ("ink2", "sheet"),
    ("mist-ink", "ground"), ("mist-ink", "sheet"), ("light-ink", "ground"),
    ("light-ink", "sheet"), ("on-bark", "bark"), ("on-air", "air"),
)  # fmt: skip
"""Pairs that carry words: 4.5 to 1 at least (WCAG 2.2, 1.4.3)."""
EDGE_PAIRS = (("edge", "ground"), ("edge", "sheet"), ("light", "ground"), ("light", "sheet"))
"""Pairs that carry a control's border or a figure's stroke: 3 to 1 at least (1.4.11)."""


def css_variables(theme: str) -> str:
    """Write a theme's tokens as CSS custom properties."""
    return "".join(f"--{name}:{colour};" for name, colour in THEMES[theme].items())


def contrast_ratio(one: str, other: str) -> float:
    """Contrast of two ``#RRGGBB`` colours, 1 to 21.

    References
    ----------
    .. [1] WCAG 2.2, definitions of relative luminance and contrast ratio.
    """
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[start : start + 2], 16) / 255.0 for start in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
