"""What is in the bag: bodies and lenses, as far as the evening needs them."""

from dataclasses import dataclass

from shivelight.basis.errors import require_range
from shivelight.outing.woods import require_name


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A camera body, described and never branded."""

    name: str
    sensor_width_mm: float
    sensor_height_mm: float
    pixels_across: int
    base_iso: int = 100

    def __post_init__(self) -> None:
        require_name("body", self.name)
        require_range("sensor width", self.sensor_width_mm, 1.0, 200.0, "mm")
        require_range("sensor height", self.sensor_height_mm, 1.0, 200.0, "mm")
        require_range("pixels across", self.pixels_across, 100, 100_000)
        require_range("base ISO", self.base_iso, 6, 25_600)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLens:
    """A lens of the kit; a prime has equal ends."""

    name: str
    shortest_mm: float
    longest_mm: float
    widest_f_number: float
    nearest_focus_m: float = 0.5

    def __post_init__(self) -> None:
        require_name("lens", self.name)
        require_range("shortest focal length", self.shortest_mm, 1.0, 2000.0, "mm")
        require_range("longest focal length", self.longest_mm, self.shortest_mm, 2000.0, "mm")
        require_range("widest f-number", self.widest_f_number, 0.7, 64.0)
        require_range("nearest focus", self.nearest_focus_m, 0.01, 100.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """Everything that may be carried."""

    bodies: tuple[Body, ...] = ()
    lenses: tuple[KitLens, ...] = ()

    def lens_for(self, focal_length_mm: float) -> KitLens | None:
        """Lens that reaches a focal length, the shortest zoom first; None when none does."""
        fits = [
            lens for lens in self.lenses if lens.shortest_mm <= focal_length_mm <= lens.longest_mm
        ]
        return min(fits, key=lambda lens: lens.longest_mm - lens.shortest_mm, default=None)
