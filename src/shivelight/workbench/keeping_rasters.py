"""Rasters that come through a page: kept beside the book under names of our own making.

What was sent decides nothing about where it lies: the name is made here, the ending by what the
file holds. Only GeoTIFF and ESRI ASCII grids are taken in, for both hold everything in the one
file; formats that name other files are not.
"""

import errno
import hashlib
import re
import shutil
import unicodedata
from collections.abc import Sequence
from pathlib import Path

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.outing.kept import RasterNote
from shivelight.store import rasters as raster_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.keeping import make_folder
from shivelight.workbench.woods import WoodDesk

ENDINGS = (".tif", ".tiff", ".asc", ".txt")
"""Endings of names that are taken in; VRT and others that name further files are not."""
TIFF_BEGINS = (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")
"""First bytes of a TIFF and of a BigTIFF, little- and big-endian.

TIFF 6.0 specification (Adobe, 1992), section 2; of BigTIFF from memory.
"""
ASCII_BEGINS = re.compile(
    rb"\s*(?:ncols|nrows|xll|yll|cellsize|dx|dy)\w*\s+[-+.\d]", re.IGNORECASE
)
"""How an ESRI ASCII grid begins: with a line of its header."""
LONGEST_STEM = 40
MB = 1_000_000
SPARE_MB = 200
"""So much of the disk is left for the book itself. A judgement. [MB]"""


class RasterDesk(WoodDesk):
    """The folder of rasters beside the book."""

    def raster_folder(self) -> Path:
        """Name the folder of rasters that came through a page; made when it is not there."""
        folder = self.book.path.with_name(f"{self.book.path.stem}-rasters")
        make_folder(folder)
        return folder

    def check_raster_room(self, size_bytes: int) -> None:
        """Refuse a raster that is too large or that the disk has no room for, before it comes.

        Raises
        ------
        BadInputError
            If it is larger than the settings let in.
        UnwritableError
            If the disk has too little room.
        """
        self._check_size(size_bytes)
        free = shutil.disk_usage(self.raster_folder()).free
        if free < size_bytes + SPARE_MB * MB:
            raise UnwritableError(
                f"The disk has {free / MB:.0f} MB free; this raster wants {size_bytes / MB:.0f} "
                f"MB and the book {SPARE_MB} MB to spare. Free some space."
            )

    def _check_size(self, size_bytes: int) -> None:
        most_mb = self.settings.most_raster_mb
        if size_bytes > most_mb * MB:
            raise BadInputError(
                f"The raster is {size_bytes / MB:.0f} MB; {most_mb} MB is the most that is taken "
                "in (setting: most_raster_mb). Cut it to the wood and its hills."
            )

    def keep_raster_file(self, part: Path, *, name: str, sha256: str) -> Path:
        """Move a file that was sent into the folder of rasters, under a name made for it.

        Parameters
        ----------
        part : Path
            Where it was put while it came; it is gone afterwards, also when it is refused.
        name : str
            Its name as sent; only its letters and its ending are looked at.
        sha256 : str
            Fingerprint of its bytes, in hexadecimal digits.

        Returns
        -------
        Path
            The file; the one that was there when the same came before.

        Raises
        ------
        BadInputError
            If the name's ending is not of :data:`ENDINGS`, or it is too large.
        UnreadableFileError
            If it is neither a GeoTIFF nor an ESRI ASCII grid.
        UnwritableError
            If it cannot be moved there.
        """
        try:
            if not re.fullmatch(r"[0-9a-f]{64}", sha256):
                raise BadInputError("The fingerprint of the file is not one; send it again.")
            ending = _ending(part, name)
            self._check_size(part.stat().st_size)
            for digits in (8, 64):
                target = self.raster_folder() / f"{slug(name)}-{sha256[:digits]}{ending}"
                if not target.exists():
                    _move(part, target)
                    return target
                if _sha256(target) == sha256:
                    return target
        finally:
            part.unlink(missing_ok=True)
        raise UnwritableError(f"{target.name} is in the way; nothing was changed.")

    def attach_uploaded(
        self,
        wood: str,
        paths: Sequence[Path],
        *,
        kind: str = "ground",
        height_unit: str | None = None,
        crs: str | None = None,
        progress: Progress = silent,
    ) -> tuple[RasterNote, ...]:
        """Attach rasters that came through a page; refused ones are removed again.

        Parameters
        ----------
        wood : str
            Which wood.
        paths : sequence of Path
            As :meth:`keep_raster_file` gave them.
        kind, height_unit, progress
            As of :meth:`attach_raster`.
        crs : str, optional
            Coordinate system of ASCII grids, which do not say it themselves ("EPSG:27700").

        Raises
        ------
        BadInputError
            If a file lies elsewhere than in the folder of rasters.
            Or the coordinate system is not known.
        NotFoundError, MissingDataError, UnreadableFileError
            As :meth:`attach_raster`.
        """
        elsewhere = [path.name for path in paths if not self._is_ours(path)]
        if elsewhere:
            raise BadInputError(f"{elsewhere[0]} did not come through a page; attach it by hand.")
        try:
            for path in paths:
                if crs and path.suffix == ".asc":
                    path.with_suffix(".prj").write_text(_esri_wkt(crs), encoding="ascii")
            return self.attach_raster(
                wood, paths, kind=kind, height_unit=height_unit, crs=crs, progress=progress
            )
        finally:
            self._remove_unused(paths)

    def detach_raster(
        self, wood: str, name: str, *, delete_copy: bool = False
    ) -> tuple[RasterNote, ...]:
        """Forget a raster of a wood.

        Parameters
        ----------
        wood : str
            Which wood.
        name : str
            Name of the file, or its whole path as it is noted.
        delete_copy : bool
            Whether a file that came through a page, and that no other wood has, goes too. Files
            that lie elsewhere are never touched.

        Returns
        -------
        tuple of RasterNote
            Those that are left.

        Raises
        ------
        NotFoundError
            If the wood has no such raster.
        BadInputError
            If several of its files have that name.
        """
        known = wood_rows.get(self.book, wood)
        noted = list(dict.fromkeys(one.path for one in raster_rows.of_wood(self.book, known.name)))
        found = [path for path in noted if path == name]
        found = found or [path for path in noted if Path(path).name == name]
        if not found:
            listed = ", ".join(Path(path).name for path in noted) or "none yet"
            raise NotFoundError(f"{known.name} has no raster {name!r}; it has {listed}.")
        if len(found) > 1:
            raise BadInputError(f"{known.name} has {len(found)} rasters {name!r}; give the path.")
        raster_rows.detach(self.book, known.name, found[0])
        if delete_copy and self._is_ours(Path(found[0])):
            self._remove_unused([Path(found[0])])
        return raster_rows.of_wood(self.book, known.name)

    def _is_ours(self, path: Path) -> bool:
        return path.resolve().parent == self.raster_folder().resolve()

    def _remove_unused(self, paths: Sequence[Path]) -> None:
        """Remove files of the folder that belong to no wood."""
        woods = wood_rows.every(self.book)
        used = {note.path for wood in woods for note in raster_rows.of_wood(self.book, wood.name)}
        for path in paths:
            if str(path.resolve()) not in used:
                path.unlink(missing_ok=True)
                path.with_suffix(".prj").unlink(missing_ok=True)


def slug(name: str) -> str:
    """Make a plain lower-case word of a file's name, of 40 letters at most, without its ending."""
    stem = re.split(r"[/\\]", name)[-1]
    stem = stem.rpartition(".")[0] or stem
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode("ascii")
    word = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:LONGEST_STEM].strip("-")
    return word or "raster"


def _ending(part: Path, name: str) -> str:
    """Say which ending the file shall have, by what it holds."""
    if not name.lower().endswith(ENDINGS):
        raise BadInputError(
            f"{slug(name)} is named like no raster that is taken in; give a GeoTIFF (.tif) or an "
            "ESRI ASCII grid (.asc)."
        )
    try:
        with part.open("rb") as opened:
            begins = opened.read(512)
    except OSError as why:
        raise UnreadableFileError(f"The file that came cannot be read: {why.strerror}.") from why
    if begins.startswith(TIFF_BEGINS):
        return ".tif"
    if ASCII_BEGINS.match(begins):
        return ".asc"
    raise UnreadableFileError(
        f"{slug(name)} is not a raster that can be read; give a GeoTIFF or an ESRI ASCII grid "
        "(.asc)."
    )


def _esri_wkt(crs: str) -> str:
    """Describe a coordinate system as the file beside an ASCII grid does."""
    from pyproj import CRS  # noqa: PLC0415  wanted only for ASCII grids
    from pyproj.exceptions import CRSError  # noqa: PLC0415

    try:
        return str(CRS.from_user_input(crs).to_wkt("WKT1_ESRI"))
    except CRSError as why:
        raise BadInputError(
            f"The coordinate system {crs} is not known; give an EPSG number such as EPSG:27700."
        ) from why


def _move(part: Path, target: Path) -> None:
    """Move a file to its place, whole or not at all, from another disk too."""
    beside = target.with_name(f".{target.name}.part")
    try:
        try:
            part.replace(target)
        except OSError as why:
            if why.errno != errno.EXDEV:
                raise
            shutil.copyfile(part, beside)
            beside.replace(target)
    except OSError as why:
        beside.unlink(missing_ok=True)
        raise UnwritableError(
            f"{target.name} cannot be written ({why.strerror}); nothing was changed."
        ) from why


def _sha256(path: Path) -> str:
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()
