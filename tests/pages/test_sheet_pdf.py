"""The printed sheet: one A4, whole, in our own faces, and one sentence when it cannot be made."""

import builtins
import dataclasses
import io
import sys
from base64 import b64decode
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from shivelight.basis.errors import MissingDataError
from shivelight.drawing.sheet import pdf_from, sheet_pdf
from shivelight.outing.sheet import SheetContext
from tests.drawing import wennick


def read(context: SheetContext) -> PdfReader:
    return PdfReader(io.BytesIO(sheet_pdf(context)))


def flat(pdf: PdfReader, page: int = 0) -> str:
    return " ".join(pdf.pages[page].extract_text().split())


@pytest.fixture(scope="module")
def demo() -> PdfReader:
    return read(wennick.context())


def test_it_is_one_upright_a4(demo: PdfReader) -> None:
    assert len(demo.pages) == 1
    box = demo.pages[0].mediabox
    # ISO 216: A4 is 210 by 297 mm.
    assert float(box.width) == pytest.approx(210.0 / 25.4 * 72.0, abs=0.1)
    assert float(box.height) == pytest.approx(297.0 / 25.4 * 72.0, abs=0.1)


def test_all_four_faces_are_whole(demo: PdfReader) -> None:
    text = flat(demo)
    context = wennick.context()
    assert context.first is not None
    said = ["White Post Gap", "What I found", "Find it again", "Edge walk", "Next time", "GMT"]
    said += [line.words for line in context.times if line.kind != "home"]
    said += list(context.first.find_it_again)
    said += [words for _, words in context.first.set_lines]
    said += [words for _, words in context.found_lines]
    said += list(context.cautions)
    said += [words for _, words in context.layers]
    missing = [words for words in said if words not in text]
    assert missing == []
    assert "continued" not in text
    assert "alarm clock" not in text  # over by the time the paper is unfolded


def test_quiet_spots_and_positions_are_not_printed(demo: PdfReader) -> None:
    text = flat(demo)
    assert "Old Chair" not in text
    assert "53.00" not in text
    assert "One spot is kept off this sheet." in text


def test_only_our_own_faces_are_used(demo: PdfReader) -> None:
    resources = demo.pages[0]["/Resources"]
    assert isinstance(resources, DictionaryObject)
    fonts = resources["/Font"]
    assert isinstance(fonts, DictionaryObject)
    names = {str(font.get_object()["/BaseFont"]).split("+")[-1] for font in fonts.values()}
    assert {name.split("-")[0].strip(",") for name in names} == {"Field", "Book"}


def test_a_face_too_full_says_continued_and_goes_on_in_full() -> None:
    cautions = tuple(f"Caution {number}: mind this one, and the next." for number in range(40))
    pdf = read(dataclasses.replace(wennick.context(), cautions=cautions))
    assert len(pdf.pages) == 2
    assert "continued on the next page" in flat(pdf, 0)
    text = f"{flat(pdf, 0)} {flat(pdf, 1)}"
    assert all(f"Caution {number}:" in text for number in range(40))


def test_long_words_never_run_off_a_face() -> None:
    long = "a very long sentence about birches, bracken and pines that goes on and on " * 4
    context = dataclasses.replace(
        wennick.context(), found_lines=tuple((f"state {n}", long) for n in range(6))
    )
    pdf = read(context)
    text = " ".join(flat(pdf, number) for number in range(len(pdf.pages)))
    assert all(f"state {number}" in text for number in range(6))
    assert text.count("goes on and on") == 24


def test_staying_in_bed_is_printed_large() -> None:
    text = flat(
        read(dataclasses.replace(wennick.context(), go=False, answer="Stay in bed.", times=()))
    )
    assert "Stay in bed." in text


def test_a_second_render_is_the_same() -> None:
    assert sheet_pdf(wennick.context()) == sheet_pdf(wennick.context())


def test_missing_pango_is_one_clear_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *args: object, **more: object) -> object:
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *args, **more)  # type: ignore[arg-type]

    for loaded in [name for name in sys.modules if name.startswith("weasyprint")]:
        monkeypatch.delitem(sys.modules, loaded)
    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(MissingDataError, match=r"needs the Pango library.*HTML sheet"):
        pdf_from("<p>x</p>")


def test_a_printed_page_fetches_nothing_from_disk(tmp_path: Path) -> None:
    dot = (
        b"iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+k"
        b"cQAAAABJRU5ErkJggg=="
    )
    picture = tmp_path / "dot.png"
    picture.write_bytes(b64decode(dot))

    def images(address: str) -> int:
        made = pdf_from(f'<img src="{address}" style="width:9px">x')
        return len(list(PdfReader(io.BytesIO(made)).pages[0].images))

    assert images(f"data:image/png;base64,{dot.decode()}") == 1
    assert images(picture.as_uri()) == 0
