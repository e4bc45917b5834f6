"""The morning sheet: one HTML file that needs nothing else, and the A4 that folds to a pocket."""

from functools import lru_cache
from typing import TYPE_CHECKING

from shivelight.basis.errors import MissingDataError
from shivelight.drawing.fonts import font_css
from shivelight.drawing.sheet_data import paper_from_ms
from shivelight.drawing.sheet_view import sheet_view
from shivelight.drawing.stand import stand_svg
from shivelight.drawing.tokens import THEMES, css_variables
from shivelight.outing.sheet import SheetContext

if TYPE_CHECKING:
    from jinja2 import Environment

NO_PANGO = (
    "The printed sheet needs the Pango library, which is not on this machine; install it "
    "(on Debian: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0), or print "
    "the HTML sheet, which has the same page."
)


def sheet_html(context: SheetContext) -> str:
    """Write the sheet as one self-contained file: fonts, figures and script are inside it.

    Parameters
    ----------
    context : SheetContext
        What it says.

    Returns
    -------
    str
        The page; it opens from disk, asks the network for nothing and prints as the A4 sheet.
    """
    templates = environment()
    return templates.get_template("sheet.html.j2").render(
        page=sheet_view(context),
        paper_from=paper_from_ms(context),
        stand=stand_svg(),
        tokens={name: css_variables(name) for name in THEMES},
        fonts=font_css(),
        **_sources("sheet.css", "faces.css", "theme.js", "sheet.js"),
    )


def sheet_print_html(context: SheetContext) -> str:
    """Write the printed pages alone, as the PDF is made from them."""
    return (
        environment()
        .get_template("print.html.j2")
        .render(page=sheet_view(context), fonts=font_css(), **_sources("faces.css"))
    )


def sheet_pdf(context: SheetContext) -> bytes:
    """Write the A4 sheet as PDF.

    Parameters
    ----------
    context : SheetContext
        What it says.

    Returns
    -------
    bytes
        A PDF of one page; more only where a face says "continued".

    Raises
    ------
    MissingDataError
        If the Pango library is not on this machine.
    """
    return pdf_from(sheet_print_html(context))


def pdf_from(html: str) -> bytes:
    """Turn a page of ours into PDF; nothing outside the page is ever fetched.

    Raises
    ------
    MissingDataError
        If the Pango library is not on this machine.
    """
    try:
        from weasyprint import HTML  # noqa: PLC0415  slow, and needs a library of the system
        from weasyprint.urls import URLFetcher  # noqa: PLC0415  as above
    except OSError as why:
        raise MissingDataError(NO_PANGO) from why
    fetcher = URLFetcher(allowed_protocols=("data",), allow_redirects=False)
    made: bytes = HTML(string=html, url_fetcher=fetcher).write_pdf()
    return made


@lru_cache(maxsize=1)
def environment() -> "Environment":
    """Jinja's environment over the shipped templates, escaping everything by default."""
    from jinja2 import Environment, PackageLoader, StrictUndefined  # noqa: PLC0415  wanted late

    return Environment(
        loader=PackageLoader("shivelight.drawing", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )


def _sources(*names: str) -> dict[str, str]:
    loader = environment().loader
    assert loader is not None
    return {name.replace(".", "_"): loader.get_source(environment(), name)[0] for name in names}
