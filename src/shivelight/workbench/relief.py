"""Relief pictures of a wood's ground, to place things on."""

import math
from pathlib import Path

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.basis.places import Position
from shivelight.drawing.relief import ReliefMarks, relief_overlay_svg
from shivelight.land.square import (
    MOST_RADIUS_M,
    GroundSquare,
    linear_degrees,
    pixels_at,
    places_at,
)
from shivelight.outing.kept import RasterNote
from shivelight.outing.woods import Wood
from shivelight.store import rasters as raster_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.outlines import OutlineDesk
from shivelight.workbench.relief_view import (
    ReliefMark,
    ReliefView,
    ReliefWritten,
    heights_under_m,
    known_height_m,
    view_sentence,
)
from shivelight.workbench.shading import PLAIN, Shaded, shaded

USUAL_SIDE_PX = 720
USUAL_RADIUS_M = 500.0
"""Shown round a place when nothing says how much; a judgement. [m]"""
LEAST_M = 200.0
"""A picture that holds a wood reaches at least so far; a judgement. [m]"""
ROOM = 1.2
"""A picture reaches this many times as far as what is on it; a judgement."""


class ReliefDesk(OutlineDesk):
    """The ground of a wood as a picture, and its outline."""

    def relief_of(
        self,
        wood: str,
        *,
        centre: Position | None = None,
        radius_m: float | None = None,
        side_px: int = USUAL_SIDE_PX,
    ) -> ReliefView:
        """Shade the ground of a wood from its own rasters.

        Parameters
        ----------
        wood : str
            Which wood.
        centre : Position, optional
            Middle of the picture; that of outline, parking and spots when not given.
        radius_m : float, optional
            From the centre to the middle of a side; as far as those reach when not given. [m]
        side_px : int
            Pixels along a side.

        Raises
        ------
        MissingDataError
            If the wood has no raster of ground or surface, or none with heights there.
        UnreadableFileError
            If a raster has gone or is damaged.
        """
        known = wood_rows.get(self.book, wood)
        notes = self._ground_notes(known)
        if not notes:
            raise MissingDataError(
                f"{known.name} has no raster of its ground yet; attach one, or draw on the plain "
                "grid."
            )
        square = self._square(known, centre, radius_m, side_px)
        return self._view(known, square, shaded=shaded(notes, square))

    def grid_of(
        self,
        wood: str,
        *,
        centre: Position | None = None,
        radius_m: float | None = None,
        side_px: int = USUAL_SIDE_PX,
        why: str = "",
    ) -> ReliefView:
        """Lay a plain grid of metres where there is no raster to draw on.

        Parameters
        ----------
        wood, centre, radius_m, side_px
            As for :meth:`relief_of`; a wood with nothing yet but its parking is shown round that.
        why : str
            Why there is no relief, for the note.
        """
        known = wood_rows.get(self.book, wood)
        square = self._square(known, centre, radius_m, side_px)
        return self._view(known, square, source=why or "A plain grid of metres, without heights.")

    def ground_of(
        self,
        wood: str,
        *,
        centre: Position | None = None,
        radius_m: float | None = None,
        side_px: int = USUAL_SIDE_PX,
    ) -> ReliefView:
        """Relief where the wood's rasters show the ground, else the plain grid that says why not.

        Parameters
        ----------
        wood, centre, radius_m, side_px
            As for :meth:`relief_of`.
        """
        try:
            return self.relief_of(wood, centre=centre, radius_m=radius_m, side_px=side_px)
        except (MissingDataError, UnreadableFileError) as none:
            return self.grid_of(
                wood, centre=centre, radius_m=radius_m, side_px=side_px, why=str(none)
            )

    def relief_overlay(
        self, view: ReliefView, *, editing: str = "", style: str = "page", alone: bool = False
    ) -> str:
        """Draw what lies over a picture, as SVG of the same size.

        Parameters
        ----------
        view : ReliefView
            From :meth:`ground_of`.
        editing : str
            "outline", "parking" or a spot's name, drawn in copper; nothing when empty.
        style : {"page", "paper", "print"}
            Colours.
        alone : bool
            Whether to hold the picture inside, so that the drawing stands alone.
        """
        corners = [mark for mark in view.marks if mark.kind == "corner"]
        parking = [mark for mark in view.marks if mark.kind == "parking"]
        marks = ReliefMarks(
            title=f"Ground of {view.wood}",
            outline=tuple((one.latitude_deg, one.longitude_deg) for one in corners),
            parking=_place(parking[0]) if parking else None,
            spots=tuple((one.name, _place(one)) for one in view.marks if one.kind == "spot"),
            editing=editing,
            contours=view.contours,
            interval_m=view.interval_m,
        )
        return relief_overlay_svg(
            view.square, marks, sentence=view.sentence, style=style,
            picture=view.png if alone else None,
        )  # fmt: skip

    def write_relief(
        self,
        wood: str,
        path: Path,
        *,
        centre: Position | None = None,
        radius_m: float | None = None,
        side_px: int = USUAL_SIDE_PX,
    ) -> ReliefWritten:
        """Write the ground of a wood as a picture: ``.png`` shade alone, ``.svg`` with all on it.

        Parameters
        ----------
        wood, centre, radius_m, side_px
            As for :meth:`relief_of`.
        path : Path
            Where to; its ending chooses.

        Raises
        ------
        BadInputError
            For another ending.
        UnwritableError
            If it cannot be written.
        """
        kind = path.suffix.lower()
        if kind not in {".png", ".svg"}:
            raise BadInputError(f"{path.name} must end in .png or .svg.")
        if kind == ".png":
            view = self.relief_of(wood, centre=centre, radius_m=radius_m, side_px=side_px)
            made = view.png or b""
        else:
            view = self.ground_of(wood, centre=centre, radius_m=radius_m, side_px=side_px)
            made = self.relief_overlay(view, style="paper", alone=True).encode()
        try:
            path.write_bytes(made)
        except OSError as why:
            raise UnwritableError(
                f"{path} cannot be written; check the folder and its space."
            ) from why
        return ReliefWritten(
            path=path, wood=view.wood, centre=view.square.centre, radius_m=view.square.radius_m,
            pixel_m=view.pixel_m, interval_m=view.interval_m, lowest_m=view.lowest_m,
            highest_m=view.highest_m, source=view.source, sentence=view.sentence,
            marks=view.marks,
        )  # fmt: skip

    def _ground_notes(self, wood: Wood) -> list[RasterNote]:
        """Rasters of the ground, else of the surface."""
        notes = raster_rows.of_wood(self.book, wood.name)
        ground = [note for note in notes if note.kind == "ground"]
        return ground or [note for note in notes if note.kind == "surface"]

    def _square(
        self, wood: Wood, centre: Position | None, radius_m: float | None, side_px: int
    ) -> GroundSquare:
        """Square that was asked for, or one that holds outline, parking and spots."""
        usual_m = USUAL_RADIUS_M if radius_m is None else radius_m
        if centre is not None:
            return GroundSquare(centre=centre, radius_m=usual_m, side_px=side_px)
        wide = GroundSquare(centre=wood.parking, radius_m=usual_m, side_px=side_px)
        places = [
            *wood.outline,
            *((one.latitude_deg, one.longitude_deg) for one in self._standing(wood)),
        ]
        x_px, y_px = pixels_at(
            wide, [one[0] for one in places], longitude_deg=[one[1] for one in places]
        )
        middle_px = [(float(part.min()) + float(part.max())) / 2.0 for part in (x_px, y_px)]
        latitude, longitude = places_at(wide, middle_px[0], y_px=middle_px[1])
        half_m = max(float(np.ptp(x_px)), float(np.ptp(y_px))) / 2.0 * wide.pixel_m
        reach_m = min(max(math.ceil(half_m * ROOM / 10.0) * 10.0, LEAST_M), MOST_RADIUS_M)
        return GroundSquare(
            centre=Position(latitude_deg=float(latitude), longitude_deg=float(longitude)),
            radius_m=reach_m if radius_m is None else radius_m,
            side_px=side_px,
        )

    def _standing(self, wood: Wood) -> tuple[Position, ...]:
        return (wood.parking, *(one.position for one in self.spots(wood.name)))

    def _view(
        self, wood: Wood, square: GroundSquare, *, source: str = "", shaded: Shaded = PLAIN
    ) -> ReliefView:
        marks = self._marks(wood, square, shaded.heights_m)
        span_m = (shaded.lowest_m, shaded.highest_m)
        return ReliefView(
            wood=wood.name, square=square, pixel_m=square.pixel_m,
            stretch_frac=square.stretch_frac, degrees=linear_degrees(square), png=shaded.png,
            contours=shaded.contours, interval_m=shaded.interval_m, lowest_m=shaded.lowest_m,
            highest_m=shaded.highest_m, times=shaded.times, source=shaded.source or source,
            marks=marks, heights_m=shaded.heights_m,
            sentence=view_sentence(square, marks, span_m, shaded.interval_m),
        )  # fmt: skip

    def _marks(
        self, wood: Wood, square: GroundSquare, heights_m: FloatArray | None
    ) -> tuple[ReliefMark, ...]:
        named = [
            *(("corner", str(number), *one) for number, one in enumerate(wood.outline, start=1)),
            ("parking", "parking", wood.parking.latitude_deg, wood.parking.longitude_deg),
            *(
                ("spot", one.name, one.position.latitude_deg, one.position.longitude_deg)
                for one in self.spots(wood.name)
            ),
        ]
        x_px, y_px = pixels_at(
            square, [one[2] for one in named], longitude_deg=[one[3] for one in named]
        )
        heights = heights_under_m(heights_m, square, x_px, y_px=y_px)
        return tuple(
            ReliefMark(
                kind=kind, name=name, latitude_deg=latitude, longitude_deg=longitude,
                x_px=x, y_px=y, height_m=known_height_m(height),
            )
            for (kind, name, latitude, longitude), x, y, height in zip(
                named, x_px.tolist(), y_px.tolist(), heights.tolist(), strict=True
            )
        )  # fmt: skip


def _place(mark: ReliefMark) -> Position:
    return Position(latitude_deg=mark.latitude_deg, longitude_deg=mark.longitude_deg)
