"""Jobs: how far one has come, what came of it, and the button that stops it."""

from fastapi import APIRouter, Request, Response

from shivelight.web.forms import go, writes
from shivelight.web.house import Note
from shivelight.web.show import house_of, link, show, visit_of, wants_json

router = APIRouter()


@router.get("/job")
def job(request: Request, name: str) -> Response:
    """How far a job has come; the page looks again by itself."""
    house, visit = house_of(request), visit_of(request)
    state = house.jobs.state(name)
    if wants_json(request) and state.state == "done" and visit is not None:
        house.notes.keep(visit.session, Note(words=state.words))  # its page goes on at once
    return show(request, "job.html.j2", state, title=state.what)


@router.post("/job/stop", **writes())
def stop(request: Request, name: str) -> Response:
    """Ask a job to stop at its next step."""
    house_of(request).jobs.stop(name)
    return go(request, link("/job", name=name))
