"""Skylines: typed by bearing, worked out from the wood's rasters, and put together.

Where the wood has a raster of its crowns, what beams meet on their way to the spot is worked out
beside the skyline.
"""

import shlex
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import MissingDataError, ShivelightError, require_range
from shivelight.basis.instants import to_local
from shivelight.basis.places import Position
from shivelight.intake.sights import read_sight_lines
from shivelight.land.bearings import true_from_magnetic
from shivelight.land.ground import height_at_m
from shivelight.land.skyline import (
    Skyline,
    combine,
    level_skyline,
    skyline_from_ground,
    skyline_from_sights,
)
from shivelight.outing.kept import StoredCrowns, StoredSkyline
from shivelight.outing.spots import Sight, Spot
from shivelight.outing.woods import Wood
from shivelight.store import crowns as crown_rows
from shivelight.store import rasters as raster_rows
from shivelight.store import skylines as skyline_rows
from shivelight.workbench.crowns import crowns_from_rasters, crowns_words, stands_at
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.results import SkylineReport
from shivelight.workbench.woods import WoodDesk

LEAST_REACH_KM, MOST_REACH_KM = 0.001, 300.0
USUAL_REACH_KM = 30.0
"""How far ground is read round a spot when nothing else is said: a 500 m hill stands 1° high at
that distance. [km]"""
FAR_ENOUGH_M = 10_000.0
"""Ground seen so far out may show a skyline below the level horizon: a judgement. [m]"""

SUBJECT_HEIGHT_M = 1.0
"""Height at which light on a subject is wanted, as its own is not kept: a judgement. [m]"""


class SkylineDesk(WoodDesk):
    """What stands between a spot and the sun."""

    def skyline(self, spot: str) -> SkylineReport:
        """Describe the skyline in use: the higher of typed and worked out at each bearing."""
        known = self.spot(spot)
        made = self.skyline_of(known)
        return report(known, made, self._note(known))

    def set_skyline(self, spot: str, sights: Sequence[Sight]) -> SkylineReport:
        """Put typed heights in place of those typed before."""
        if sights:
            skyline_from_typed(sights)  # refuse what makes no skyline before anything is replaced
        changed = self.change_spot(
            spot, sights=tuple(sorted(sights, key=lambda one: one.azimuth_deg))
        )
        return self.skyline(changed.name)

    def set_skyline_by_hand(
        self,
        spot: str,
        lines: Sequence[str],
        *,
        magnetic: bool = False,
        finger_deg: float | None = None,
    ) -> SkylineReport:
        """Put heights typed in degrees or hand-spans in place.

        Parameters
        ----------
        spot : str
            Which spot.
        lines : sequence of str
            Such as "95: 1 fist 2 fingers", "95 12.5" or "E 9".
        magnetic : bool
            Whether the bearings were read off a compass needle; they are then turned to true.
        finger_deg : float, optional
            What one's own little finger at arm's length covers; the settings' when None. [°]
        """
        known = self.spot(spot)
        finger = self.settings.finger_deg if finger_deg is None else finger_deg
        bearings, heights = read_sight_lines(lines, finger_deg=finger)
        if magnetic:
            day = to_local(self.now_utc, self.wood_of(known).zone_name).date()
            bearings = true_from_magnetic(bearings, position=known.position, day=day)
        sights = [
            Sight(azimuth_deg=float(bearing), altitude_deg=float(height))
            for bearing, height in zip(bearings, heights, strict=True)
        ]
        return self.set_skyline(spot, sights)

    def skyline_from_ground(
        self, spot: str, *, reach_km: float | None = None, progress: Progress = silent
    ) -> SkylineReport:
        """Work a spot's skyline out from its wood's ground rasters, and its crowns; keep both.

        Crowns need a canopy or surface raster too. Where they cannot be worked out the skyline is
        kept all the same, and the note of the report says why.

        Parameters
        ----------
        spot : str
            Which spot.
        reach_km : float, optional
            How far to look; :data:`USUAL_REACH_KM` when not said. [km]
        progress : callable
            Told of the steps.
        """
        from shivelight.intake.elevation import read_ground  # noqa: PLC0415  loads GDAL

        known = self.spot(spot)
        wood = self.wood_of(known)
        notes = [one for one in raster_rows.of_wood(self.book, wood.name) if one.kind == "ground"]
        if not notes:
            raise MissingDataError(
                f"{wood.name} has no ground raster yet; attach one with: shivelight wood raster "
                f"{shlex.quote(wood.name)} FILE."
            )
        if reach_km is not None:
            require_range("reach", reach_km, LEAST_REACH_KM, MOST_REACH_KM, "km")
        reach_m = (reach_km or USUAL_REACH_KM) * 1000.0
        places = _places(known)
        steps = 2 * len(places)
        for number, (seen_from, position) in enumerate(places.items()):
            progress(f"skyline of the {seen_from}", number, steps)
            ground = read_ground(
                [Path(note.path) for note in notes],
                around=position,
                radius_m=reach_m,
                height_unit=notes[0].height_unit or None,
                crs=next((note.crs for note in notes if note.crs), None),
            )
            eye_m = _eye_height_m(known, seen_from)
            skyline = skyline_from_ground(
                ground, position=position, eye_height_m=eye_m, reach_m=reach_m
            )
            kept = StoredSkyline(
                skyline=skyline, made_utc=self.now_utc, seen_from=seen_from,
                parameters={
                    "files": "; ".join(Path(note.path).name for note in notes),
                    "eye_height_m": f"{eye_m:g}", "reach_m": f"{reach_m:g}",
                    "latitude_deg": f"{position.latitude_deg:.7f}",
                    "longitude_deg": f"{position.longitude_deg:.7f}",
                    "ground_height_m": f"{height_at_m(ground, position):.1f}",
                },
            )  # fmt: skip
            skyline_rows.put(self.book, known.name, kept)
        failed = self._keep_crowns(known, wood, progress=progress)
        progress("skyline", steps, steps)
        made = self.skyline(spot)
        return replace(made, note="; ".join(filter(None, (made.note, failed))))

    def _keep_crowns(self, spot: Spot, wood: Wood, *, progress: Progress) -> str:
        """Work out the crowns round a spot and keep them; say why when that cannot be."""
        places = _places(spot)
        made = []
        try:
            for number, (seen_from, position) in enumerate(places.items()):
                progress(f"crowns round the {seen_from}", len(places) + number, 2 * len(places))
                made.append(
                    crowns_from_rasters(
                        raster_rows.of_wood(self.book, wood.name), wood, position,
                        eye_height_m=_eye_height_m(spot, seen_from), seen_from=seen_from,
                        made_utc=self.now_utc,
                    )
                )  # fmt: skip
        except ShivelightError as why:
            return f"crowns were not worked out: {why}"
        finally:
            # What was worked out before stood on other rasters, or elsewhere.
            with self.book.writing():
                crown_rows.drop(self.book, spot.name)
                for kept in made:
                    if kept is not None:
                        crown_rows.put(self.book, spot.name, kept)
        return ""

    def crowns_of(self, spot: Spot, *, seen_from: str = "subject") -> StoredCrowns | None:
        """Crowns worked out for a spot where it now is; None when there are none.

        Parameters
        ----------
        spot : Spot
            Which spot.
        seen_from : {"stand point", "subject"}
            A spot without a subject of its own has one place.
        """
        apart = seen_from == "subject" and spot.subject_position is not None
        kept = crown_rows.get(self.book, spot.name, "subject" if apart else "stand point")
        if kept is None or not stands_at(kept, at_subject(spot) if apart else spot.position):
            return None
        return kept

    def skyline_of(self, spot: Spot, *, seen_from: str = "stand point") -> Skyline:
        """Put a spot's typed and worked-out skylines together; level where nothing is known.

        Parameters
        ----------
        spot : Spot
            Which spot.
        seen_from : {"stand point", "subject"}
            For the subject the worked-out skyline seen from there is used where there is one.
        """
        kept = skyline_rows.get(self.book, spot.name, seen_from)
        if kept is None and seen_from == "subject":
            kept = skyline_rows.get(self.book, spot.name, "stand point")
        worked = above_level_where_near(kept.skyline) if kept else None
        typed = skyline_from_typed(spot.sights) if spot.sights else None
        if worked is not None and typed is not None:
            return combine(worked, typed)
        return worked or typed or level_skyline()

    def ground_height_m(self, spot: Spot, wood: Wood) -> float:
        """Height of a spot above the sea: typed, else from its raster, else the wood's. [m]."""
        if spot.position.ground_height_m is not None:
            return spot.position.ground_height_m
        kept = skyline_rows.get(self.book, spot.name, "stand point")
        if kept is not None and "ground_height_m" in kept.parameters:
            return float(kept.parameters["ground_height_m"])
        return wood.ground_height_m

    def _note(self, spot: Spot) -> str:
        kept = skyline_rows.get(self.book, spot.name, "stand point")
        if kept is None:
            return "" if spot.sights else "nothing typed or worked out: taken as level all round"
        here = (spot.position.latitude_deg, spot.position.longitude_deg)
        there = tuple(float(kept.parameters[key]) for key in ("latitude_deg", "longitude_deg"))
        if not np.allclose(here, there, atol=1e-6):
            return "the spot has moved since its skyline was worked out: work it out again"
        crowns = self.crowns_of(spot, seen_from="stand point")
        said = f"from {kept.parameters['files']}{reach_words(kept.skyline)}"
        return f"{said}; {crowns_words(crowns)}" if crowns else said


def skyline_from_typed(sights: Sequence[Sight]) -> Skyline:
    """Skyline through typed heights; gaps of more than 45° stay unknown."""
    return skyline_from_sights(
        [one.azimuth_deg for one in sights], [one.altitude_deg for one in sights]
    )


def above_level_where_near(skyline: Skyline) -> Skyline:
    """Raise a worked-out skyline to the level horizon where its ground was not seen far.

    A raster that ends on a falling slope shows sky where the country goes on; only ground seen
    out to :data:`FAR_ENOUGH_M` can vouch for a skyline below the level.
    """
    if skyline.reach_m is None:
        return skyline
    near = (skyline.reach_m < FAR_ENOUGH_M) & (skyline.altitude_deg < 0.0)
    return replace(skyline, altitude_deg=np.where(near, 0.0, skyline.altitude_deg))


def reach_words(skyline: Skyline) -> str:
    """Say how far the ground was seen, by bearing."""
    if skyline.reach_m is None or not np.isfinite(skyline.reach_m).any():
        return ""
    low_km, high_km = (float(one) / 1000.0 for one in np.nanquantile(skyline.reach_m, [0.0, 1.0]))
    return f"; ground seen {low_km:.1f} to {high_km:.1f} km out, by bearing"


def report(spot: Spot, skyline: Skyline, note: str) -> SkylineReport:
    """Describe a skyline."""
    known = np.isfinite(skyline.altitude_deg)
    top = int(np.nanargmax(skyline.altitude_deg)) if known.any() else 0
    return SkylineReport(
        spot=spot.name,
        altitude_deg=skyline.altitude_deg,
        origin=skyline.origin,
        unknown=unknown_arcs(skyline.altitude_deg),
        highest_deg=float(skyline.altitude_deg[top]) if known.any() else 0.0,
        highest_toward_deg=float(skyline.azimuth_deg[top]),
        note=note,
    )


def unknown_arcs(altitude_deg: FloatArray) -> tuple[tuple[float, float], ...]:
    """Bearings from and to which nothing is known, clockwise."""
    unknown = ~np.isfinite(altitude_deg)
    if not unknown.any():
        return ()
    step_deg = 360.0 / altitude_deg.size
    if unknown.all():
        return ((0.0, 360.0),)
    begins = np.flatnonzero(unknown & ~np.roll(unknown, 1))
    ends = np.flatnonzero(unknown & ~np.roll(unknown, -1))
    if ends[0] < begins[0]:
        ends = np.roll(ends, -1)
    return tuple(
        (float(begin * step_deg), float(wrap_deg(end * step_deg)))
        for begin, end in zip(begins, ends, strict=True)
    )


def _places(spot: Spot) -> dict[str, Position]:
    """Places of a spot that skylines are seen from."""
    places = {"stand point": spot.position}
    if spot.subject_position is not None:
        places["subject"] = spot.subject_position
    return places


def _eye_height_m(spot: Spot, seen_from: str) -> float:
    return spot.lens_height_m if seen_from == "stand point" else SUBJECT_HEIGHT_M


def at_subject(spot: Spot) -> Position:
    """Where the light is wanted: the subject, or the stand point when that is not known."""
    return spot.subject_position or spot.position
