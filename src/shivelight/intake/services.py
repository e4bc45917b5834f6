"""The forecast services that can be asked: where, for what, and on which terms."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from shivelight.basis.errors import NotFoundError
from shivelight.basis.places import Position

_HOURLY = (
    "temperature_2m,dew_point_2m,relative_humidity_2m,wind_speed_10m,wind_gusts_10m,"
    "cloud_cover,cloud_cover_low,precipitation,pressure_msl,visibility"
)
_HOURLY_MEMBERS = (
    "temperature_2m,dew_point_2m,wind_speed_10m,wind_gusts_10m,cloud_cover,precipitation,"
    "pressure_msl"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """One forecast service.

    Attributes
    ----------
    name, title : str
        As typed and as shown.
    kind : str
        The reader of :func:`shivelight.intake.forecast.read_forecast`.
    url : str
        Address without a query.
    query : mapping of str to str
        What is asked for, apart from the place.
    place_names : tuple of three str
        What the service calls latitude, longitude and height ("" where it takes none).
    needs_contact : bool
        Whether its terms ask how to reach the caller.
    fresh_s : float
        How long an answer is held fresh when its headers say nothing. [s]
    credit : str
        The credit that its licence asks for.
    """

    name: str
    title: str
    kind: str
    url: str
    query: Mapping[str, str] = field(default_factory=dict)
    place_names: tuple[str, str, str]
    needs_contact: bool = False
    fresh_s: float = 900.0
    credit: str


SERVICES: dict[str, Service] = {
    service.name: service
    for service in (
        Service(
            name="open-meteo",
            title="Open-Meteo",
            kind="openmeteo",
            url="https://api.open-meteo.com/v1/forecast",
            query={
                "hourly": _HOURLY,
                "wind_speed_unit": "ms",
                "timezone": "GMT",
                "past_days": "1",
                "forecast_days": "9",
            },
            place_names=("latitude", "longitude", "elevation"),
            credit="Weather data by Open-Meteo.com, CC BY 4.0",
        ),
        Service(
            name="open-meteo-ensemble",
            title="Open-Meteo's ensemble",
            kind="openmeteo",
            url="https://ensemble-api.open-meteo.com/v1/ensemble",
            query={
                "models": "icon_seamless",
                "hourly": _HOURLY_MEMBERS,
                "wind_speed_unit": "ms",
                "timezone": "GMT",
                "past_days": "1",
                "forecast_days": "8",
            },
            place_names=("latitude", "longitude", "elevation"),
            credit="Weather data by Open-Meteo.com, CC BY 4.0",
        ),
        Service(
            name="met-norway",
            title="MET Norway",
            kind="metno",
            url="https://api.met.no/weatherapi/locationforecast/2.0/complete",
            place_names=("lat", "lon", "altitude"),
            needs_contact=True,
            credit="Data from MET Norway, CC BY 4.0",
        ),
    )
}


def service_named(service: str | Service) -> Service:
    """Find a service by its name; a service is given back.

    Raises
    ------
    NotFoundError
        If there is none of that name.
    """
    if isinstance(service, Service):
        return service
    if service not in SERVICES:
        raise NotFoundError(
            f"There is no forecast service {service!r}; there are {', '.join(SERVICES)}."
        )
    return SERVICES[service]


def query_for(service: Service, position: Position) -> dict[str, str]:
    """Build the query; the place with at most four decimals, as MET Norway's terms ask."""
    latitude, longitude, height = service.place_names
    longitude_deg = (position.longitude_deg + 180.0) % 360.0 - 180.0
    query = {
        latitude: f"{position.latitude_deg:.4f}".rstrip("0").rstrip("."),
        longitude: f"{longitude_deg:.4f}".rstrip("0").rstrip("."),
    }
    if height and position.ground_height_m is not None:
        query[height] = f"{position.ground_height_m:.0f}"
    return {**query, **service.query}
