"""The first screen: to the evening, to the demo valley, or to a first wood."""

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from shivelight.web import static
from shivelight.web.contexts.start import StartPage, start_page
from shivelight.web.forms import go, writes
from shivelight.web.house import House
from shivelight.web.jobs import Progress
from shivelight.web.own import own_settings
from shivelight.web.show import house_of, link, show
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo import demo_beside, demo_book, demo_now

router = APIRouter()
IN_DEMO = "You are in the demo valley, on the evening of 2 November 2027."


@router.get("/")
def first(request: Request) -> Response:
    """Go to the evening; to the first screen while the book has no spot."""
    with house_of(request).bench() as bench:
        has_spot = bool(bench.spots())
    return RedirectResponse("/evening" if has_spot else "/start", status_code=303)


@router.get("/start")
def start(request: Request) -> Response:
    """Three steps to a first sheet, or the demo valley."""
    house = house_of(request)
    with house.bench() as bench:
        page = _page(house, bench)
    return show(request, "start.html.j2", page, title="Begin")


@router.post("/start/demo", **writes())
def demo(request: Request) -> Response:
    """Visit the demo valley; its book is made first where it is not there yet."""
    house = house_of(request)
    settings = own_settings(house)
    if demo_book(settings).exists():
        house.visit_demo(demo_book(settings), demo_now())
        return go(request, "/evening", IN_DEMO)

    def work(progress: Progress) -> str:
        house.visit_demo(demo_beside(settings, progress=progress), demo_now())
        return IN_DEMO

    state = house.jobs.start(
        "making the demo valley, to go there", work, then="/evening", key="demo"
    )
    return go(request, link("/job", name=state.name))


@router.post("/start/home", **writes())
def home(request: Request) -> Response:
    """Come back from the demo valley to one's own book."""
    house_of(request).come_home()
    return go(request, "/", "This is your own book again.")


@router.get("/favicon.ico", include_in_schema=False)
def icon() -> Response:
    """Give the mark to browsers that ask for it by its old name."""
    data, kind = static.content("mark.svg")
    return Response(data, media_type=kind)


def _page(house: House, bench: Workbench) -> StartPage:
    woods = bench.woods()
    states = bench.forecast_state()
    coming = bench.week(1).mornings[0]
    return start_page(
        wood=woods[0].wood.name if woods else "",
        spots=len(bench.spots()),
        has_forecast=any(one.used is not None for one in states),
        is_judged=coming.morning is not None,
        demo_is_there=demo_book(own_settings(house)).exists(),
        in_demo=house.is_demo,
    )
