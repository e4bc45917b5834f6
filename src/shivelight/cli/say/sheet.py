"""What was written for a morning, in words."""

from shivelight.basis.instants import day_words
from shivelight.cli.say.words import blocks, lines, para
from shivelight.workbench.results import SheetFiles, WordFiles


def sheet_files(one: SheetFiles, width: int) -> str:
    """Say where the sheet lies."""
    return lines(
        f"The morning sheet for {day_words(one.day)}:",
        f"  for the phone  {one.html}",
        f"  for paper      {one.pdf}" if one.pdf else "",
        para(one.note, width) if one.note else "",
    )


def word_files(one: WordFiles, width: int) -> str:
    """Show the card and say where it lies."""
    return blocks(
        one.text.rstrip(),
        lines(
            f"Written for {day_words(one.day)}: give it to somebody.",
            f"  as text   {one.text_file}",
            f"  as a page {one.html}",
            f"  for paper {one.pdf}" if one.pdf else "",
            para(one.note, width) if one.note else "",
        ),
    )
