"""Devices: which ones were let in, how another comes in, and the page where it does."""

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.outing.woods import require_name
from shivelight.web.contexts.devices import PairPage, devices_page, pair_form, refilled
from shivelight.web.errors import status_of
from shivelight.web.forms import Typed, go, writes
from shivelight.web.own import own_bench, require_here
from shivelight.web.pairing import Pairing, device_cookie, device_name
from shivelight.web.show import house_of, show, visit_of
from shivelight.web.tokens import token_sha256

router = APIRouter()
NO_PAIRING = "No device is let in now: shivelight was opened for its own machine alone."
PAIRED = "This device is let in already."
HERE = "This is the machine that shivelight runs on; it needs no code."
MOST_LETTERS = 60


@router.get("/devices")
def devices(request: Request) -> Response:
    """Who may come in over the home network, and how another one comes in."""
    require_here(request, "The list of devices")
    house = house_of(request)
    with own_bench(house) as bench:
        page = devices_page(bench.devices(), house.pairing, bench.zone_of())
    return show(request, "devices.html.j2", page, title="Devices")


@router.post("/devices/forget", **writes(more=("number",)))
def forget(request: Request, typed: Typed) -> Response:
    """Let a device in no more."""
    require_here(request, "The list of devices")
    number = typed.get("number", "")
    if not number.isdecimal() or len(number) > 9:
        raise BadInputError(f"{number[:20]!r} is no number of a device; choose one of the list.")
    with own_bench(house_of(request)) as bench:
        name = next((one.name for one in bench.devices() if one.id == int(number)), "")
        bench.forget_device(int(number))
    words = f"{name} is let in no more. This cannot be undone: to come again it is paired anew."
    return go(request, "/devices", words)


@router.get("/pair")
def pair(request: Request, code: str = "") -> Response:
    """Ask a device for the code on the screen."""
    return show(request, "pair.html.j2", _page(request, code), title="Pair this device")


@router.post("/pair", **writes(more=("code", "name")))
def redeem(request: Request, typed: Typed) -> Response:
    """Let a device in that brings the right code."""
    page, pairing = _page(request, ""), house_of(request).pairing
    if page.form is None or pairing is None:
        return show(request, "pair.html.j2", page, title="Pair this device", status=409)
    try:
        name, token = _let_in(request, pairing, dict(typed))
    except ShivelightError as why:
        box = "name" if isinstance(why, _NameError) else "code"
        page = PairPage(form=refilled(page.form, dict(typed), {box: str(why)}), words="")
        status = int(getattr(why, "status", 0)) or status_of(why)
        return show(request, "pair.html.j2", page, title="Pair this device", status=status)
    answer = go(request, "/", f"{name} is let in from now on.")
    answer.headers.append("set-cookie", device_cookie(token))
    return answer


class _NameError(BadInputError):
    """A name that no device can have; told before the code is used up."""


def _let_in(request: Request, pairing: Pairing, typed: dict[str, str]) -> tuple[str, str]:
    """Take the code for a token, and keep the token's fingerprint under the device's name."""
    with own_bench(house_of(request)) as bench:
        agent = request.headers.get("user-agent", "")
        name = typed.get("name", "").strip() or device_name(agent, bench.today())
        _require_name(name)
        token = pairing.redeem(typed.get("code", ""))
        bench.pair_device(name, token_sha256(token))
    return name, token


def _require_name(name: str) -> None:
    try:
        require_name("device", name)
    except BadInputError as why:
        raise _NameError(str(why)) from why
    if len(name) > MOST_LETTERS:
        raise _NameError(f"The name has {len(name)} letters; {MOST_LETTERS} is the most.")


def _page(request: Request, code: str) -> PairPage:
    """Show the form to a device that is not let in yet; to others, why there is none."""
    house, visit = house_of(request), visit_of(request)
    if house.pairing is None:
        return PairPage(form=None, words=NO_PAIRING)
    if visit is not None and visit.is_here:
        return PairPage(form=None, words=HERE)
    if visit is not None and visit.device_sha256 is not None:
        return PairPage(form=None, words=PAIRED)
    with own_bench(house) as bench:
        today = bench.today()
    return PairPage(form=pair_form(request.headers.get("user-agent", ""), today, code), words="")
