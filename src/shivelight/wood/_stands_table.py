"""The stand types as figures. Each is marked where it comes from.

Marks: **source** names one; **memory** is recalled, unconfirmed; **judgement** is our own guess.

- Leaf area of beech 4.5 to 5.1 and sycamore 4.0: litter traps, J. For. Res. 2020 no. 3 (source,
  as quoted in the project's check tables). Broadleaved stands 0.5 to 8: Le Dantec et al.,
  For. Ecol. Manage. 134 (2000) 71 (source, same). All other leaf areas: judgement, chosen so
  that the floor light by 2E₃ falls in the recalled spans for summer (beech 1 to 5 in 100, oak 3
  to 10, birch 10 to 25; memory) and for leafless woods (40 to 70 in 100; memory).
- Wood area index 0.7 to 1.5: memory.
- Wind at leaf height: openings 1 to 6 tree heights wide in a 20 m stand measured about 1/20 of
  the wind above the canopy (westernsnowconference.org/node/890, source); inside a wood in leaf
  0.1 to 0.3 of the open 10 m wind (memory). Single figures: judgement.
- Days of the year, for lowland at 50 to 55° N, with the usual order birch, hazel, beech, oak,
  larch (common practice): memory and judgement. A wood can shift three weeks between years.
- Heights of crowns: judgement; measure your own.
- Cautions: the brittle failure of dying ash (a county's ash-dieback advice, source in the
  project's notes); still-day limb drop of old trees, beech above all (trade knowledge); ticks
  and wet ground: common practice.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StandType:
    """One usual kind of wood.

    Attributes
    ----------
    name : str
        As it is typed.
    also : tuple of str
        Other words that find it.
    leaf_area_index : float
        In full leaf, one-sided. [m²/m²]
    wood_area_index : float
        Twigs and stems. [m²/m²]
    extinction : float
        For :func:`shivelight.wood.canopy.canopy_transmittance_frac`.
    evergreen : bool
        In leaf all the year; the days below then mean nothing.
    flush_day, full_day, turning_day, peak_day, drop_day, bare_day : int
        Day of the year, temperate north, on which each leaf stage usually begins.
    wind_in_leaf_frac, wind_bare_frac : float
        Wind at leaf height as a share of the open 10 m wind.
    crown_base_m, crown_top_m : float
        Where crowns begin and end. [m]
    cautions : tuple of str
        What to look out for, in sentences.
    marks : str
        Where the figures come from, in a few words.
    """

    name: str
    also: tuple[str, ...] = ()
    leaf_area_index: float
    wood_area_index: float = 1.0
    extinction: float = 0.5
    evergreen: bool = False
    flush_day: int = 110
    full_day: int = 138
    turning_day: int = 281
    peak_day: int = 301
    drop_day: int = 311
    bare_day: int = 330
    wind_in_leaf_frac: float = 0.15
    wind_bare_frac: float = 0.30
    crown_base_m: float = 6.0
    crown_top_m: float = 20.0
    cautions: tuple[str, ...] = ()
    marks: str = "leaf area, wind, days and heights: memory and judgement"


_LIMBS = "Old trees, beech above all, can drop limbs on a still day; look up first."
_ASH = "Ash among them may be dying: its limbs break without warning in any wind."
_SHALLOW = "Shallow roots: trees here go over in gales and can fall days later."
_WET = "Wet, soft ground and slimy roots; the banks give way."
_STEMS = "Cut stems at shin height and loose brash; hazel whips reach the eyes."

STANDS: tuple[StandType, ...] = (
    StandType(
        name="beech",
        also=("beech hanger", "hanger"),
        leaf_area_index=4.8,
        extinction=0.6,
        flush_day=115,
        full_day=140,
        turning_day=284,
        peak_day=303,
        drop_day=313,
        bare_day=332,
        wind_in_leaf_frac=0.12,
        wind_bare_frac=0.25,
        crown_base_m=9.0,
        crown_top_m=28.0,
        cautions=(_LIMBS,),
        marks="leaf area: source (4.5 to 5.1); extinction: source (0.53 to 0.67); rest as above",
    ),
    StandType(
        name="oak",
        also=("oakwood", "gorge oak", "wet gorge"),
        leaf_area_index=3.6,
        extinction=0.55,
        flush_day=114,
        full_day=144,
        turning_day=290,
        peak_day=309,
        drop_day=319,
        bare_day=342,
        crown_base_m=5.0,
        crown_top_m=20.0,
        cautions=(_LIMBS, _ASH),
        marks="extinction: source (0.53 to 0.67); rest memory and judgement",
    ),
    StandType(
        name="birch",
        also=("birch heath",),
        leaf_area_index=2.0,
        wood_area_index=0.7,
        flush_day=102,
        full_day=128,
        turning_day=268,
        peak_day=290,
        drop_day=300,
        bare_day=320,
        wind_in_leaf_frac=0.30,
        wind_bare_frac=0.45,
        crown_base_m=4.0,
        crown_top_m=14.0,
        cautions=("Birch snags rot from the top; do not lean on or stand below dead stems.",),
    ),
    StandType(
        name="pine",
        also=("pinewood", "pine belt"),
        leaf_area_index=2.6,
        evergreen=True,
        wind_in_leaf_frac=0.25,
        wind_bare_frac=0.25,
        crown_base_m=9.0,
        crown_top_m=20.0,
        cautions=(_SHALLOW,),
    ),
    StandType(
        name="spruce",
        also=("plantation", "conifer plantation"),
        leaf_area_index=6.0,
        wood_area_index=1.2,
        evergreen=True,
        wind_in_leaf_frac=0.08,
        wind_bare_frac=0.08,
        crown_base_m=8.0,
        crown_top_m=24.0,
        cautions=(_SHALLOW, "Felling is common in such stands; obey every sign and tape."),
    ),
    StandType(
        name="larch",
        also=("larch and birch",),
        leaf_area_index=3.0,
        wood_area_index=0.9,
        flush_day=95,
        full_day=125,
        turning_day=295,
        peak_day=313,
        drop_day=322,
        bare_day=342,
        wind_in_leaf_frac=0.20,
        wind_bare_frac=0.35,
        crown_base_m=8.0,
        crown_top_m=22.0,
        cautions=(_SHALLOW, "Larch is often felled for disease; obey every sign and tape."),
    ),
    StandType(
        name="alder-carr",
        also=("alder", "carr", "alder carr"),
        leaf_area_index=3.2,
        flush_day=106,
        full_day=132,
        turning_day=286,
        peak_day=300,
        drop_day=306,
        bare_day=324,
        crown_base_m=3.0,
        crown_top_m=13.0,
        cautions=(_WET,),
    ),
    StandType(
        name="hazel-coppice",
        also=("coppice", "hazel", "hazel under oak"),
        leaf_area_index=3.8,
        wood_area_index=1.1,
        flush_day=94,
        full_day=124,
        turning_day=283,
        peak_day=304,
        drop_day=312,
        bare_day=330,
        wind_in_leaf_frac=0.12,
        wind_bare_frac=0.25,
        crown_base_m=1.0,
        crown_top_m=7.0,
        cautions=(_STEMS,),
    ),
    StandType(
        name="wood-pasture",
        also=("old park", "parkland", "ancient wood pasture"),
        leaf_area_index=2.2,
        wood_area_index=0.7,
        flush_day=114,
        full_day=143,
        turning_day=286,
        peak_day=306,
        drop_day=316,
        bare_day=336,
        wind_in_leaf_frac=0.45,
        wind_bare_frac=0.60,
        crown_base_m=3.0,
        crown_top_m=16.0,
        cautions=(_LIMBS, "Keep off the roots of veterans: about 15 trunk widths round each."),
    ),
    StandType(
        name="mixed",
        also=("mixed broadleaf", "broadleaf", "ash"),
        leaf_area_index=3.6,
        extinction=0.55,
        cautions=(_ASH, _LIMBS),
        marks="extinction: source (0.53 to 0.67); rest memory and judgement",
    ),
    StandType(
        name="open",
        also=("heath", "glade", "clearing", "none"),
        leaf_area_index=0.0,
        wood_area_index=0.0,
        wind_in_leaf_frac=0.70,
        wind_bare_frac=0.70,
        crown_base_m=0.0,
        crown_top_m=1.0,
        marks="wind at 1.5 m over short growth, about 0.7 of that at 10 m: judgement",
    ),
)
