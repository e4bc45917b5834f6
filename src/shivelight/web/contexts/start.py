"""The first screen: the demo valley, or one's own first wood, spot and forecast."""

from dataclasses import dataclass

from shivelight.web.show import link


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One of the three steps to a first sheet.

    Attributes
    ----------
    title, words : str
        What it is, and what is typed for it.
    button, again, href : str
        Words on the way there, the first time and later; where it is done.
    is_done, is_next : bool
        Whether it is done, and whether it is the one to do now.
    """

    title: str
    words: str
    button: str
    again: str
    href: str
    is_done: bool
    is_next: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StartPage:
    """Where to begin.

    Attributes
    ----------
    answer : str
        What comes next, in a sentence.
    steps : tuple of Step
        Wood, spot, forecast.
    is_empty, is_ready : bool
        Whether none of the three is done, or all are.
    sheet : str
        Words on the way to the sheet.
    sheet_href : str
        Where it leads.
    demo, demo_button : str
        What the demo valley is, and its button; the button is empty while it is visited.
    """

    answer: str
    steps: tuple[Step, ...]
    is_empty: bool
    is_ready: bool
    sheet: str
    sheet_href: str
    demo: str
    demo_button: str


def start_page(
    *,
    wood: str,
    spots: int,
    has_forecast: bool,
    is_judged: bool,
    demo_is_there: bool,
    in_demo: bool,
) -> StartPage:
    """Say what is done and what comes next.

    Parameters
    ----------
    wood : str
        The first wood of the book; empty when it has none.
    spots : int
        How many spots it has.
    has_forecast : bool
        Whether one reaches the coming sunrise.
    is_judged : bool
        Whether the coming morning is judged.
    demo_is_there, in_demo : bool
        Whether the demo's book is made already, and is the one shown.
    """
    done = (bool(wood), spots > 0, has_forecast)
    following = done.index(False) if False in done else len(done)
    steps = tuple(
        Step(
            title=title, words=words, button=button, again=again, href=href, is_done=done[place],
            is_next=place == following,
        )
        for place, (title, words, button, again, href) in enumerate(_steps(wood))
    )  # fmt: skip
    answers = (
        "Begin with one wood, one spot and one forecast: three minutes of typing.",
        "The wood is in. Now its first spot.",
        "The spot is in. Now a forecast.",
        "All three are there.",
    )
    return StartPage(
        answer=answers[following],
        steps=steps,
        is_empty=not any(done),
        is_ready=following == len(steps),
        sheet=_sheet_words(is_ready=following == len(steps), is_judged=is_judged),
        sheet_href="/sheet" if is_judged else "/evening",
        demo=(
            "An invented valley with seven woods, eight spots and two autumns of logs, on the "
            "evening before a misty morning. It has a book of its own; yours is not touched. "
            + (
                "It is made already."
                if demo_is_there
                else "Making it takes ten to twenty seconds."
            )
        ),
        demo_button="" if in_demo else "Visit the demo valley",
    )


def _steps(wood: str) -> tuple[tuple[str, str, str, str, str], ...]:
    spot = link("/spot/new", wood=wood)
    return (
        (
            "A wood",
            "Its name and where the car stands, as coordinates or a point of a GPX file; how high "
            "it lies. The rest can wait.",
            "Add the first wood",
            "Add another wood",
            "/wood/new",
        ),
        (
            "A spot",
            "Where you stand and which way you look, from a phone picture or typed; and what the "
            "picture waits for, such as mist, direct light and still air.",
            "Add the first spot",
            "Add another spot",
            spot,
        ),
        (
            "A forecast",
            "Fetched from a service, read from a file, or typed in one sentence from the "
            "thermometer at the window. The mornings are judged from it at once.",
            "Fetch or type a forecast",
            "Fetch or type another forecast",
            "/evening",
        ),
    )


def _sheet_words(*, is_ready: bool, is_judged: bool) -> str:
    if not is_ready:
        return ""
    if is_judged:
        return "The coming morning is judged. Its sheet can be made now."
    return "The coming morning is not judged yet."
