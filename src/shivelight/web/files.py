"""What leaves the pages as a file: whole pages in one file, PDFs that were made, their names."""

import base64
import hashlib
import re

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from shivelight.basis.errors import NotFoundError
from shivelight.web.headers import Inline
from shivelight.web.show import house_of

_INLINE = re.compile(r"<(script|style)\b([^>]*)>(.*?)</\1>", re.DOTALL)


def paper_made(request: Request, key: str) -> bytes:
    """Give a PDF that was made.

    Raises
    ------
    NotFoundError
        If it was not made, or what it says has changed since.
    """
    data = house_of(request).papers.get(key)
    if data is None:
        raise NotFoundError(
            "That paper is not made yet, or what it says has changed since; make it first."
        )
    return data


def paper_key(text: str) -> str:
    """Key of a PDF: a fingerprint of the page that says the same."""
    return hashlib.sha256(text.encode()).hexdigest()


def whole_page(request: Request, html: str, name: str, *, save: bool) -> Response:
    """Answer with a page that holds its own style and script, and nothing else.

    Parameters
    ----------
    request : Request
        Told which of its blocks may run.
    html : str
        The page.
    name : str
        Of the file, where it is saved.
    save : bool
        Whether it is to be saved and not shown.
    """
    request.state.inline = inline_of(html)
    return HTMLResponse(html, headers=_attached(name) if save else None)


def file_answer(data: bytes | str, kind: str, name: str, *, save: bool = True) -> Response:
    """Answer with a file."""
    return Response(data, media_type=kind, headers=_attached(name) if save else _shown(name))


def inline_of(html: str) -> Inline:
    """Hash the scripts and styles that a page of ours holds inside itself.

    References
    ----------
    .. [1] W3C, Content Security Policy Level 3, "hash-source": SHA-256 of a block's text.
    """
    scripts, styles = [], []
    for kind, attributes, text in _INLINE.findall(html):
        if kind == "style":
            styles.append(_hash(text))
        elif "application/json" not in attributes:
            scripts.append(_hash(text))
    return Inline(scripts=tuple(scripts), styles=tuple(styles), has_data_fonts=True)


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _attached(name: str) -> dict[str, str]:
    return {"content-disposition": f'attachment; filename="{name}"'}


def _shown(name: str) -> dict[str, str]:
    return {"content-disposition": f'inline; filename="{name}"'}
