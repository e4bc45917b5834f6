"""Outlines of woods, out of files and pasted corners."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from shivelight.basis.errors import BadInputError, UnreadableFileError
from shivelight.intake.outlines import NamedOutline, read_outlines
from shivelight.intake.places import MOST_BYTES
from shivelight.workbench.results import WoodPage
from shivelight.workbench.woods import WoodDesk, inside


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineDrawn:
    """A wood with the outline it was given, and what is to be known of that."""

    page: WoodPage
    corners: int
    notes: tuple[str, ...]


class OutlineDesk(WoodDesk):
    """The edge of a wood."""

    def outlines_in(self, data: bytes | str) -> tuple[NamedOutline, ...]:
        """Every outline in a GPX or GeoJSON file, or in pasted lines of corners."""
        return read_outlines(data)

    def outline_from(
        self, data: bytes | str, name: str | None = None
    ) -> tuple[tuple[float, float], ...]:
        """Corners of the one outline in a file, or of the one so named."""
        return _chosen(read_outlines(data), name).corners

    def draw_outline(
        self, wood: str, data: bytes | str, *, name: str | None = None
    ) -> OutlineDrawn:
        """Give a wood the outline that a file holds.

        Parameters
        ----------
        wood : str
            Which wood.
        data : bytes or str
            A GPX or GeoJSON file, or pasted lines of corners.
        name : str, optional
            Which outline of several.

        Raises
        ------
        BadInputError, MissingDataError, UnreadableFileError, NotFoundError
            As :func:`shivelight.intake.outlines.read_outlines`.
        """
        chosen = _chosen(read_outlines(data), name)
        page = self.change_wood(wood, outline=chosen.corners)
        beyond = [one.name for one in page.spots if not inside(chosen.corners, one.position)]
        notes = list(chosen.notes)
        if beyond:
            stand = "stands" if len(beyond) == 1 else "stand"
            notes.append(f"{', '.join(beyond)} now {stand} outside it; check the positions.")
        return OutlineDrawn(page=page, corners=len(chosen.corners), notes=tuple(notes))


def outline_bytes(path: Path) -> bytes:
    """Read a file of outlines that somebody named.

    Raises
    ------
    UnreadableFileError
        If it is not there, too big or cannot be read.
    """
    if path.is_dir():
        raise UnreadableFileError(f"{path} is a folder; name a file in it.")
    if not path.is_file():
        raise UnreadableFileError(f"There is no file {path.name}; check the name and the folder.")
    try:
        if path.stat().st_size > MOST_BYTES:
            raise UnreadableFileError(f"{path.name} is too big for outlines (over 50 MB).")
        return path.read_bytes()
    except OSError as why:
        raise UnreadableFileError(f"{path.name} cannot be read; check the folder.") from why


def _chosen(outlines: Sequence[NamedOutline], name: str | None) -> NamedOutline:
    """Find the outline that was named, or the only one."""
    names = ", ".join(one.name or "(without a name)" for one in outlines[:8])
    if name is not None:
        fits = [one for one in outlines if one.name.casefold() == name.strip().casefold()]
        if len(fits) == 1:
            return fits[0]
        raise BadInputError(f"There is no one outline named {name!r} in it; it holds: {names}.")
    if len(outlines) == 1:
        return outlines[0]
    raise BadInputError(f"It holds {len(outlines)} outlines; say which: {names}.")
