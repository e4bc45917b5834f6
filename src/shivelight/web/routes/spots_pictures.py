"""Pictures of spots: small copies, another one kept, one taken off."""

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import BadInputError
from shivelight.outing.pictures import Picture
from shivelight.web.bodies import PHOTO, hold_upload
from shivelight.web.forms import Typed, go, uploads, writes
from shivelight.web.house import House, Undo
from shivelight.web.show import house_of, link
from shivelight.workbench import read

router = APIRouter()
MOST = 2**53
KEPT = "private, max-age=86400"


@router.get("/picture")
def picture(request: Request, number: str, side: int = 320) -> Response:
    """Give a small copy without place, time or any other fact in it."""
    with house_of(request).bench() as bench:
        data = bench.picture_bytes(picture_number(number), side)
    return Response(data, media_type="image/jpeg", headers={"Cache-Control": KEPT})


@router.post("/spot/picture", **uploads(more=("name",)))
async def keep(request: Request) -> Response:
    """Keep one more picture of a spot."""
    upload = await hold_upload(request, PHOTO)
    name = upload.fields.get("name", "")
    kept = await run_in_threadpool(_keep, house_of(request), upload.data, name)
    there = link("/spot", name=name) + "#h-pictures"
    if kept.spot != name:
        return go(request, there, f"That picture is kept already, with {kept.spot}.")
    undo = Undo(path="/spot/picture/off", boxes={"number": str(kept.id)})
    return go(request, there, f"The picture is kept with {name}.", undo=undo)


@router.post("/spot/picture/off", **writes(more=("number",)))
def take_off(request: Request, typed: Typed) -> Response:
    """Take a picture from its spot; its file stays beside the book."""
    number = picture_number(typed.get("number", ""))
    with house_of(request).bench() as bench:
        before = bench.picture(number)
        bench.forget_picture(number)
    if not before.spot:
        return go(request, "/spots", f"Picture {number} belongs to no spot.")
    undo = Undo(path="/spot/picture/on", boxes={"number": str(number), "name": before.spot})
    there = link("/spot", name=before.spot) + "#h-pictures"
    words = f"The picture is taken from {before.spot}; its file stays beside the book."
    return go(request, there, words, undo=undo)


@router.post("/spot/picture/on", **writes(more=("number", "name")))
def put_on(request: Request, typed: Typed) -> Response:
    """Give a picture of the book to a spot."""
    number = picture_number(typed.get("number", ""))
    with house_of(request).bench() as bench:
        given = bench.give_picture(number, typed.get("name", ""))
    there = link("/spot", name=given.spot) + "#h-pictures"
    return go(request, there, f"The picture belongs to {given.spot}.")


def picture_number(text: str) -> int:
    """Read the number of a picture.

    Raises
    ------
    BadInputError
        If it is none, or larger than any.
    """
    number = read.whole(text, what="number of the picture")
    if number > MOST:
        raise BadInputError(f"There is no picture {text[:20]}; the numbers stand on the pages.")
    return number


def _keep(house: House, data: bytes, name: str) -> Picture:
    with house.bench() as bench:
        return bench.keep_picture(data, spot=bench.spot(name).name)
