"""Two pictures a step apart: the form, and what they tell."""

from collections.abc import Mapping
from dataclasses import dataclass

from shivelight.outing.pictures import Picture
from shivelight.web.boxes import Box, opened
from shivelight.web.contexts.surveys_photo import Measured
from shivelight.web.forms import Form
from shivelight.web.show import link

KEYS = ("first", "second", "step", "marks", "lens_height", "pitch", "focal", "sensor")


@dataclass(frozen=True, slots=True, kw_only=True)
class PairPage:
    """Two pictures of a spot.

    Attributes
    ----------
    spot, survey_href, mark_href : str
        Whose; its survey; where trunks are marked on the first picture, empty before it is
        chosen.
    pictures : tuple of (str, str, str)
        Number, address of a small copy, and words of each kept picture.
    first, second : str
        Numbers of the two.
    form : Form
        The rest of what is asked.
    measured : Measured or None
        What came of it.
    result : str
        Its key.
    gone : str
        Why a result that was asked for is not shown.
    """

    spot: str
    survey_href: str
    mark_href: str
    pictures: tuple[tuple[str, str, str], ...]
    first: str
    second: str
    form: Form
    measured: Measured | None
    result: str
    gone: str


def pair_form(
    spot: str, typed: Mapping[str, str], wrong: Mapping[str, str], lens_height_m: float
) -> Form:
    """Write the form, filled as it was sent."""

    def box(key: str, label: str, unit: str = "", hint: str = "", text: str = "") -> Box:
        return Box(
            key=key,
            label=label,
            unit=unit,
            hint=hint,
            text=typed.get(key, text),
            asked=key == "step",
            wrong=opened(wrong.get(key, "")),
            many=key == "marks",
        )

    return Form(
        action="/survey/pair",
        button="Measure the two",
        boxes=(
            box("step", "How far apart the two were taken", "m", "By tape, lens to lens: 1.5."),
            box(
                "marks",
                "Trunks on the first picture, one a line",
                hint="Plumb: edges 1204 1391 at 2210, subject. Mark them on the picture, above.",
            ),
            box("lens_height", "Lens above the ground", "m", text=f"{lens_height_m:g}"),
            box("pitch", "Tilt of the camera, up", "°", "Left empty, as the files tell."),
            box("focal", "Focal length", "mm", "Left empty, as the files tell."),
            box("sensor", "Long side of the sensor", "mm", "Left empty, as the files tell."),
        ),
        hidden=(("spot", spot),),
        wrong=opened(wrong.get("", "")),
    )


def pair_page(
    spot: str,
    pictures: tuple[Picture, ...],
    form: Form,
    *,
    chosen: tuple[str, str],
    found: tuple[str, Measured | None] = ("", None),
) -> PairPage:
    """Put the page together."""
    result, measured = found
    first, second = chosen
    return PairPage(
        spot=spot,
        survey_href=link("/survey", spot=spot),
        mark_href=link("/survey/photo", spot=spot, picture=first) if first else "",
        pictures=tuple(
            (str(one.id), link("/picture", number=one.id, side=320), f"picture {one.id}")
            for one in pictures
        ),
        first=first,
        second=second,
        form=form,
        measured=measured,
        result=result if measured else "",
        gone=""
        if measured or not result
        else "What these two told is no longer held; measure them again.",
    )
