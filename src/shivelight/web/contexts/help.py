"""Help: what each page is for, the keys, and the command line's names for the same things."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PageHelp:
    """One page: its name and address, what it is for, and the commands that do the same."""

    name: str
    href: str
    words: str
    commands: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpPage:
    """The help.

    Attributes
    ----------
    pages : tuple of PageHelp
        In the order of the head.
    keys : tuple of (str, str)
        A key, and what it does.
    """

    pages: tuple[PageHelp, ...]
    keys: tuple[tuple[str, str], ...]


HELP = HelpPage(
    pages=(
        PageHelp(
            name="Evening",
            href="/evening",
            words="Which spot suits the coming mornings, why, how sure, and what else. The "
            "forecast is fetched, read or typed here, and a morning is taken.",
            commands=(
                "forecast fetch",
                "forecast read",
                "evening enter",
                "evening judge",
                "evening show",
                "evening take",
            ),
        ),
        PageHelp(
            name="Spots",
            href="/spots",
            words="Where you stand, which way you look, what the picture waits for, the skyline, "
            "and when the light reaches it.",
            commands=("spot add", "spot wish", "skyline set", "light on", "light carpet"),
        ),
        PageHelp(
            name="Woods",
            href="/woods",
            words="Where the car stands, outline, getting in, the stand, mist as it lies there, "
            "and rasters of the ground.",
            commands=("wood add", "wood access", "wood raster", "wood season"),
        ),
        PageHelp(
            name="Morning sheet",
            href="/sheet",
            words="One page for the phone that needs no network, and an A4 that folds to a "
            "pocket; and the word that is left with somebody at home.",
            commands=("sheet print", "word leave"),
        ),
        PageHelp(
            name="On arrival",
            href="/arrive",
            words="Three taps for what is really there; the spots are put in order for it.",
            commands=("arrive",),
        ),
        PageHelp(
            name="Stand point",
            href="/stand",
            words="Which way to step, how far, and what one may drift; the survey it rests on, "
            "the mark to find it again, and the layers that mist makes.",
            commands=("survey add", "stand find", "mark find", "layers"),
        ),
        PageHelp(
            name="Log",
            href="/log",
            words="What you found, in five taps. From five mornings on the wood's own record "
            "speaks in every chance.",
            commands=("log found", "log counts"),
        ),
        PageHelp(
            name="Kit",
            href="/kit",
            words="Bodies and lenses, so that the sheet says which lens to carry.",
            commands=("kit body", "kit lens", "kit show"),
        ),
        PageHelp(
            name="Settings",
            href="/settings",
            words="Everything that may be set, the state of the book, a copy of it, and the "
            "devices that were let in.",
            commands=("settings show", "settings set", "book check", "book backup", "open"),
        ),
    ),
    keys=(
        ("Tab", "goes on in reading order; the first Tab offers to skip the head"),
        ("Enter", "in a box goes to the next one"),
        ("Ctrl + Enter", "in a box sends its form"),
        ("left and right arrow", "in a figure read it step by step; in a row of taps choose"),
        ("Home and End", "in a figure go to its first and last reading"),
    ),
)
