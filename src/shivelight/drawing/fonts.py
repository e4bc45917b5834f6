"""The shipped faces as CSS that needs no network and no second file."""

from base64 import b64encode
from functools import lru_cache
from importlib.resources import files

_FACES = (
    ("Field", 400, "normal", "field-400"),
    ("Field", 700, "normal", "field-700"),
    ("Book", 500, "normal", "book-500"),
    ("Book", 400, "italic", "book-italic-400"),
)


@lru_cache(maxsize=1)
def font_css() -> str:
    """``@font-face`` rules with the files inside them, as ``data:`` addresses."""
    folder = files("shivelight.drawing") / "fonts"
    return "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};'
        "font-display:block;src:url(data:font/woff2;base64,"
        f'{b64encode((folder / f"{name}.woff2").read_bytes()).decode()}) format("woff2")}}'
        for family, weight, style, name in _FACES
    )
