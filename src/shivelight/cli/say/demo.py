"""The demo in words: what it decided, where the papers are, and what to type next."""

import shutil
import sys
from pathlib import Path

from shivelight.cli.say.evening import judgement
from shivelight.cli.say.words import blocks, lines, para
from shivelight.workbench.demo import DemoReport


def report(one: DemoReport, width: int) -> str:
    """Show the evening of the demo and where everything lies."""
    typed = program()
    again = f"{typed} --book {one.book} --now '{one.now_text}' --zone {one.mornings[0].zone_name}"
    return blocks(
        para(
            "The Wennick valley is invented: no such river, wood or photographer. Everything "
            "below was worked out just now from what is in its field book.",
            width,
        ),
        judgement(one.mornings, width),
        lines(
            "Written",
            f"  morning sheet    {one.sheet.html}",
            f"  on one A4        {one.sheet.pdf}" if one.sheet.pdf else "",
            f"  leave word       {one.word.text_file}",
            f"  as a page        {one.word.html}",
            f"  on one A5        {one.word.pdf}" if one.word.pdf else "",
            f"  the field book   {one.book}",
            para(one.sheet.note, width, indent=2) if one.sheet.note else "",
        ),
        lines(
            "Look on with",
            f"  {again} \\\n      open",
            f"  {again} \\\n      evening show --all",
            f"  {typed} --book {one.book} light on 'White Post Gap' 2027-11-03",
            f"  {typed} --book {one.book} wood show 'Pinnet Heath'",
        ),
    )


def program() -> str:
    """Name the program as it can be typed here: by its path where the shell would not find it."""
    if shutil.which("shivelight"):
        return "shivelight"
    beside = Path(sys.executable).with_name("shivelight")
    if not beside.exists():
        return f"{sys.executable} -m shivelight"
    here = Path.cwd()
    return str(beside.relative_to(here)) if beside.is_relative_to(here) else str(beside)
