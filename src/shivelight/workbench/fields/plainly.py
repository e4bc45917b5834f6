"""What a newcomer types for a wish or a bearing, turned into the words that are read.

A spot may be given "mist", "sun", "no wind" and "SE" before anybody has read how wishes are
written; each stands for one exact wish or bearing, which is what the book keeps and shows.
"""

import re
from typing import TYPE_CHECKING

from shivelight.basis.errors import BadInputError
from shivelight.workbench import read

if TYPE_CHECKING:
    from shivelight.outing.wishes import Wish

ANY_MIST = "mist 0 to 1000 m"
"""Fog is air in which one sees less than a kilometre (World Meteorological Organization,
International Cloud Atlas, WMO-No. 407; from memory)."""
PLAIN_WISHES = {
    **dict.fromkeys(("mist", "fog", "misty", "foggy", "some mist"), ANY_MIST),
    **dict.fromkeys(
        ("sun", "sunny", "sunlight", "sunshine", "direct sun", "direct", "sun on it"),
        "direct light",
    ),
    **dict.fromkeys(
        ("side lit", "side-lit", "sidelight", "side-light", "sun from the side",
         "light from the side", "side sun"), "side light",
    ),
    **dict.fromkeys(("backlight", "back-light", "backlit", "back-lit", "back lit"), "back light"),
    **dict.fromkeys(("soft", "shade", "no sun", "no direct light"), "soft light"),
    **dict.fromkeys(("no wind", "windless", "calm", "calm air", "still", "wind still"),
                    "still air"),
    **dict.fromkeys(("overcast", "overcast sky"), "sky overcast"),
    "clear sky": "sky clear",
    **dict.fromkeys(("hoar frost", "hoarfrost", "rime"), "hoar"),
}  # fmt: skip
_SIDE = re.compile(
    r"(?:(?:direct |side )?(?:sun|light) )?(?:from )?(?:the )?(left|right)(?: side)?"
)


def wish(text: str, *, must: bool) -> "Wish":
    """Read a wish, from its own words or from plain ones.

    Parameters
    ----------
    text : str
        Such as "mist 120 to 260 m", or "mist" for any mist at all.
    must : bool
        True for a must, False for a would-like.

    Raises
    ------
    BadInputError
        If it is none; one that tells left from right is answered with what to write instead.
    """
    from shivelight.outing.wishes import parse_wish

    said = re.sub(r"\s+", " ", text.strip().lower().rstrip("."))
    if _SIDE.fullmatch(said):
        raise BadInputError(
            f"{text.strip()!r} cannot be told: a wish does not part left from right. Write side "
            "light; the bearing of the lens tells from which side it comes."
        )
    return parse_wish(PLAIN_WISHES.get(said, text), must=must)


def bearing_deg(text: str) -> float:
    """Read a true bearing: degrees, or one of the sixteen points such as SE or south-east.

    Raises
    ------
    BadInputError
        If it is neither.
    """
    from shivelight.basis.angles import COMPASS_POINTS

    said = re.sub(r"[\s-]+", " ", text.strip().lower())
    for place, name in enumerate(COMPASS_POINTS):
        parts = name.split("-")
        known = (" ".join(parts), "".join(parts), "".join(part[0] for part in parts))
        if said in known or said.replace(" ", "") == known[1]:
            return place * 22.5
    try:
        return read.number(re.sub(r"\s*(?:°|deg|degrees)?\s*(?:true)?$", "", said))
    except BadInputError as why:
        raise BadInputError(
            f"The bearing {text.strip()!r} is not read; write degrees from true north, like 119, "
            "or a point, like SE."
        ) from why
