"""Light or dim, by hand."""

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError
from shivelight.web.forms import Typed, go, writes
from shivelight.web.theme import COOKIE, KEPT_S, THEMES

router = APIRouter()


@router.post("/theme", **writes(more=("theme", "back")))
def theme(request: Request, typed: Typed) -> Response:
    """Keep the theme that was chosen, in this browser."""
    chosen = typed.get("theme", "")
    if chosen not in THEMES:
        raise BadInputError(f"There is no theme {chosen!r}; choose {', '.join(THEMES)}.")
    answer = go(request, own_path(typed.get("back", "")))
    answer.set_cookie(COOKIE, chosen, max_age=KEPT_S, httponly=True, samesite="strict")
    return answer


def own_path(path: str) -> str:
    """Take an address to go back to only where it is one of our own."""
    is_own = path.startswith("/") and not path.startswith(("//", "/\\"))
    return path if is_own and path.isprintable() else "/"
