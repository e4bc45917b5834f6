"""Jobs: how far one has come, and the button that stops it."""

from fastapi import APIRouter, Request, Response

from shivelight.web.forms import go, writes
from shivelight.web.show import house_of, link, show

router = APIRouter()


@router.get("/job")
def job(request: Request, name: str) -> Response:
    """How far a job has come; the page looks again by itself."""
    state = house_of(request).jobs.state(name)
    return show(request, "job.html.j2", state, title=state.what)


@router.post("/job/stop", **writes())
def stop(request: Request, name: str) -> Response:
    """Ask a job to stop at its next step."""
    house_of(request).jobs.stop(name)
    return go(request, link("/job", name=name))
