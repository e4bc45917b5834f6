"""Anchors of a mark put back as they were, so that a page can take its last step back."""

from shivelight.outing.marks import MarkAnchors
from shivelight.store import marks as mark_rows
from shivelight.workbench.bench import Workbench


def put_mark_back(bench: Workbench, kept: MarkAnchors) -> None:
    """Keep the anchors of a mark whole, in place of those that are there.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    kept : MarkAnchors
        As they were.
    """
    mark_rows.put(bench.book, kept)
