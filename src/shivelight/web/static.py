"""The files that pages are made with: style, scripts, type; from the package, by name alone."""

import hashlib
from functools import lru_cache
from importlib.resources import files

from shivelight.basis.errors import NotFoundError
from shivelight.drawing.tokens import THEMES, css_variables

SCRIPTS = (
    "figure.js", "form.js", "jobs.js", "upload.js", "outline.js", "skyline.js", "taps.js",
    "stand.js", "marking.js",
)  # fmt: skip
FONTS = (
    ("Field", 400, "normal", "field-400"),
    ("Field", 700, "normal", "field-700"),
    ("Book", 500, "normal", "book-500"),
    ("Book", 400, "italic", "book-italic-400"),
)
TYPES = {"css": "text/css", "js": "text/javascript", "woff2": "font/woff2", "svg": "image/svg+xml"}
MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" '
    'fill="#060201"/><path d="M6 32V9h3v23zM14 32V4h4v28zM24 32V12h2v20z" fill="#8FA096"/>'
    '<path d="M22 0h6L12 32H5z" fill="#DD7630"/></svg>'
)


@lru_cache(maxsize=1)
def contents() -> dict[str, bytes]:
    """Every static file by its name."""
    own = files("shivelight.web") / "static"
    made = {name: (own / name).read_bytes() for name in SCRIPTS if (own / name).is_file()}
    faces = files("shivelight.drawing") / "fonts"
    for _, _, _, name in FONTS:
        made[f"{name}.woff2"] = (faces / f"{name}.woff2").read_bytes()
    style = (own / "shivelight.css").read_text(encoding="utf-8")
    made["shivelight.css"] = (_face_rules(made) + _theme_rules() + style).encode()
    made["mark.svg"] = MARK.encode()
    return made


def content(name: str) -> tuple[bytes, str]:
    """One file and its media type, by its address's last part, whatever hash stands in it.

    Raises
    ------
    NotFoundError
        If there is none of that name.
    """
    stem, _, kind = name.rpartition(".")
    plain = f"{stem.rpartition('.')[0] or stem}.{kind}"
    if plain not in contents():
        raise NotFoundError("There is no such file.")
    return contents()[plain], TYPES[kind]


@lru_cache(maxsize=64)
def address(name: str) -> str:
    """Address of a file, which changes with what is in it."""
    return _hashed(name, contents()[name])


def _hashed(name: str, data: bytes) -> str:
    stem, _, kind = name.rpartition(".")
    return f"/static/{stem}.{hashlib.sha256(data).hexdigest()[:12]}.{kind}"


def _face_rules(made: dict[str, bytes]) -> str:
    return "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};'
        f"font-display:swap;src:url({_hashed(f'{name}.woff2', made[f'{name}.woff2'])}) "
        'format("woff2")}'
        for family, weight, style, name in FONTS
    )


def _theme_rules() -> str:
    themes = "".join(
        f"html[data-theme={name}]{{{css_variables(name)}}}" for name in THEMES if name != "print"
    )
    return f"{themes}@media print{{html[data-theme]{{{css_variables('print')}}}}}"
