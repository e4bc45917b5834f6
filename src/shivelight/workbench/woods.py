"""Woods and spots, kit and access: what is put into the field book by hand."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.outing.found import said_against_found
from shivelight.outing.kept import RasterNote
from shivelight.outing.kit import Body, Kit, KitLens
from shivelight.outing.spots import Spot, SpotState
from shivelight.outing.woods import AccessFact, Privacy, Wood
from shivelight.store import found as found_rows
from shivelight.store import kit as kit_rows
from shivelight.store import rasters as raster_rows
from shivelight.store import spots as spot_rows
from shivelight.store import woods as wood_rows
from shivelight.wood.stands import find_stand
from shivelight.workbench.desk import Desk, Progress, silent
from shivelight.workbench.fields import plainly
from shivelight.workbench.given import fair_pairs
from shivelight.workbench.results import WoodPage

LOOK_AGAIN_DAYS = 180
"""An access fact older than half a year is to be looked at again (a house rule)."""
FAR_FROM_WOOD_M = 3000.0
"""A spot farther than this from its wood's parking, with no outline, is surely a slip."""
CHECK_RADIUS_M = 500.0


class WoodDesk(Desk):
    """Kit, woods and spots."""

    def kit(self) -> Kit:
        """Everything in the bag."""
        return kit_rows.get(self.book)

    def add_body(self, body: Body) -> Kit:
        """Add a camera body."""
        kit = self.kit()
        self.check_new_name("body", body.name, tuple(one.name for one in kit.bodies))
        return self._keep_kit(replace(kit, bodies=(*kit.bodies, body)))

    def add_lens(self, lens: KitLens) -> Kit:
        """Add a lens."""
        kit = self.kit()
        self.check_new_name("lens", lens.name, tuple(one.name for one in kit.lenses))
        return self._keep_kit(replace(kit, lenses=(*kit.lenses, lens)))

    def drop_from_kit(self, name: str) -> Kit:
        """Take a body or lens out of the kit."""
        kit = self.kit()
        left = Kit(
            bodies=tuple(one for one in kit.bodies if one.name.casefold() != name.casefold()),
            lenses=tuple(one for one in kit.lenses if one.name.casefold() != name.casefold()),
        )
        if left == kit:
            raise NotFoundError(f"The kit holds nothing named {name!r}.")
        return self._keep_kit(left)

    def _keep_kit(self, kit: Kit) -> Kit:
        kit_rows.replace(self.book, kit)
        return kit

    def woods(self) -> tuple[WoodPage, ...]:
        """Every wood with its spots and counts."""
        return tuple(self.wood(one.name) for one in wood_rows.every(self.book))

    def wood(self, name: str) -> WoodPage:
        """One wood with its spots, rasters, logs and counts of said against found."""
        wood = wood_rows.get(self.book, name)
        return WoodPage(
            wood=wood,
            spots=spot_rows.of_wood(self.book, wood.name),
            rasters=raster_rows.of_wood(self.book, wood.name),
            counts=said_against_found(fair_pairs(self.book, wood.name, of="morning")),
            logs=found_rows.of_wood(self.book, wood.name),
            stale_access=stale_access(wood, self.today(wood)),
        )

    def add_wood(self, wood: Wood) -> WoodPage:
        """Put a new wood into the book."""
        find_stand(wood.stand)
        wood_rows.add(self.book, wood)
        return self.wood(wood.name)

    def change_wood(self, name: str, **changes: Any) -> WoodPage:
        """Change some of a wood's values; the rest stays."""
        changed = replace(wood_rows.get(self.book, name), **changes)
        find_stand(changed.stand)
        wood_rows.replace(self.book, changed)
        return self.wood(changed.name)

    def add_access(self, name: str, fact: AccessFact) -> WoodPage:
        """Note one more thing about getting into a wood."""
        wood = wood_rows.get(self.book, name)
        return self.change_wood(name, access=(*wood.access, fact))

    def remove_wood(self, name: str) -> None:
        """Take a wood out of the book; refused while anything belongs to it."""
        wood_rows.remove(self.book, name)

    def attach_raster(
        self,
        wood: str,
        paths: Sequence[Path],
        *,
        kind: str = "ground",
        height_unit: str | None = None,
        crs: str | None = None,
        progress: Progress = silent,
    ) -> tuple[RasterNote, ...]:
        """Say where a wood's rasters lie, after reading them around a place of the wood.

        Parameters
        ----------
        wood : str
            Which wood.
        paths : sequence of Path
            One file or several tiles.
        kind : {"ground", "canopy", "surface"}
            What the heights are.
        height_unit : {"m", "ft"}, optional
            Where the file does not say.
        crs : str, optional
            Coordinate system of files that do not say it ("EPSG:27700").
        progress : callable
            Told of the steps.

        Raises
        ------
        MissingDataError
            If they cover neither the parking place nor a spot of the wood.
        """
        known = wood_rows.get(self.book, wood)
        progress("reading the raster", 0, 1)
        first = str(paths[0]) if paths else wood
        unsaid = RasterNote(kind=kind, path=first, height_unit=height_unit or "", crs=crs or "")
        self._check_raster(known, list(paths), unsaid)
        for path in paths:
            whole = str(path.expanduser().resolve())
            raster_rows.attach(self.book, known.name, replace(unsaid, path=whole))
        progress("reading the raster", 1, 1)
        return raster_rows.of_wood(self.book, known.name)

    def _check_raster(self, wood: Wood, paths: list[Path], note: RasterNote) -> None:
        """Read rasters around the parking place or a spot, whichever they cover first."""
        from shivelight.intake.elevation import (  # noqa: PLC0415  loads GDAL
            read_canopy,
            read_ground,
        )

        reader = read_canopy if note.kind == "canopy" else read_ground
        refused: list[MissingDataError] = []
        for place in (wood.parking, *(spot.position for spot in self.spots(wood.name))):
            try:
                reader(
                    paths,
                    around=place,
                    radius_m=CHECK_RADIUS_M,
                    height_unit=note.height_unit or None,
                    crs=note.crs or None,
                )
            except MissingDataError as why:
                refused.append(why)
            else:
                return
        unlike = [why for why in refused if "cover" not in str(why)]  # a hole, no place at all
        if unlike:
            raise unlike[0]
        named = paths[0].name if len(paths) == 1 else "These rasters"
        verb = "covers" if len(paths) == 1 else "cover"
        raise MissingDataError(
            f"{named} {verb} neither the parking place of {wood.name} nor any of its spots; give "
            "one that does, or check the positions."
        ) from refused[0]

    def spots(self, wood: str | None = None) -> tuple[Spot, ...]:
        """Every spot, or those of one wood."""
        if wood is None:
            return spot_rows.every(self.book)
        return spot_rows.of_wood(self.book, wood)

    def spot(self, name: str) -> Spot:
        """One spot."""
        return spot_rows.get(self.book, name)

    def add_spot(self, spot: Spot) -> Spot:
        """Put a new spot into the book, after checking that it lies in its wood."""
        self._check_inside(spot)
        spot_rows.add(self.book, as_quiet_as(spot, self.wood_of(spot)))
        return self.spot(spot.name)

    def change_spot(self, name: str, **changes: Any) -> Spot:
        """Change some of a spot's values; the rest stays."""
        changed = replace(self.spot(name), **changes)
        if "position" in changes or "wood" in changes:
            self._check_inside(changed)
        changed = as_quiet_as(changed, self.wood_of(changed))
        spot_rows.replace(self.book, changed)
        return changed

    def wish(self, spot: str, text: str, *, must: bool) -> Spot:
        """Add a wish, in words; the same wish again only changes between must and would like."""
        wish = plainly.wish(text, must=must)
        old = self.spot(spot)
        kept = tuple(one for one in old.wishes if one.words != wish.words)
        return self.change_spot(spot, wishes=(*kept, wish))

    def unwish(self, spot: str, text: str) -> Spot:
        """Take a wish back."""
        words = plainly.wish(text, must=True).words
        old = self.spot(spot)
        kept = tuple(one for one in old.wishes if one.words != words)
        if len(kept) == len(old.wishes):
            has = "; ".join(one.words for one in old.wishes) or "nothing yet"
            raise NotFoundError(f"{old.name} does not wish for {words!r}; it wishes for {has}.")
        return self.change_spot(spot, wishes=kept)

    def remove_spot(self, name: str) -> Spot:
        """Mark a spot as lost: nothing is ever deleted, and it is no longer judged first."""
        return self.change_spot(name, state=SpotState.LOST)

    def _check_inside(self, spot: Spot) -> None:
        wood = self.wood_of(spot)
        if wood.outline:
            if not inside(wood.outline, spot.position):
                raise BadInputError(
                    f"{spot.name} lies outside the outline of {wood.name}; check its position, "
                    "or draw the outline again."
                )
            return
        away_m, _ = distance_and_azimuth(wood.parking, spot.position)
        if away_m > FAR_FROM_WOOD_M:
            raise BadInputError(
                f"{spot.name} is {away_m / 1000:.1f} km from the parking place of {wood.name}; "
                "check its position, or give the wood an outline."
            )


def as_quiet_as(spot: Spot, wood: Wood) -> Spot:
    """Give a spot its wood's privacy class where its own is less quiet."""
    order = list(Privacy)
    if order.index(spot.privacy) >= order.index(wood.privacy):
        return spot
    return replace(spot, privacy=wood.privacy)


def inside(outline: Sequence[tuple[float, float]], position: Position) -> bool:
    """Whether a position lies in an outline of (latitude, longitude) corners or on its edge."""
    from shapely.geometry import Point, Polygon  # noqa: PLC0415  wanted only when a spot is placed

    polygon = Polygon([(longitude, latitude) for latitude, longitude in outline])
    return bool(polygon.covers(Point(position.longitude_deg, position.latitude_deg)))


def stale_access(wood: Wood, today: dt.date) -> tuple[str, ...]:
    """Access facts that are to be looked at again, in words."""
    return tuple(
        f"{fact.what}: checked {fact.noted_on.day} {fact.noted_on:%B %Y}, look again"
        for fact in wood.access
        if (today - fact.noted_on).days > LOOK_AGAIN_DAYS
    )
