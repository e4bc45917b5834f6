"""The layer stair: risers as high as the steps, tones, merging pairs, words, refusals."""

import re

import pytest

from shivelight.basis.errors import BadInputError
from shivelight.drawing.layer_stair import (
    STOP_PX,
    Layer,
    layer_stair_figure,
    layer_stair_svg,
    stair_sentence,
)
from tests.pages.snapshots import compare

LAYERS = tuple(
    Layer(name=name, distance_m=distance)
    for name, distance in (
        ("Plumb", 7.0), ("Lean", 13.0), ("Pale", 24.0), ("Ash", 45.0), ("Last", 90.0),
    )
)  # fmt: skip
RANGES_M = (120.0, 260.0, 900.0)


def test_steps_are_written_to_a_hundredth_and_merging_ones_marked() -> None:
    # Common practice, by the visual-range law: layers at 7, 13, 24, 45 and 90 m.
    svg = layer_stair_svg(LAYERS, (120.0,))
    for step in ("0.63", "0.61", "0.53", "0.38"):
        assert f">{step}<" in svg
    assert re.findall(r'font-weight="700"[^>]*>(0\.\d\d)<', svg) == ["0.38"]
    assert svg.count('stroke-width="3.2"') == 1
    assert 'stroke-width="3.2"' not in layer_stair_svg(LAYERS, (260.0,))


def test_risers_are_as_high_as_their_steps() -> None:
    svg = layer_stair_svg(LAYERS, (120.0,))
    found = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" fill="none" stroke="#', svg)
    risers = [float(y) - float(top) for x, y, end, top in found if x == end and y != top]
    assert risers == pytest.approx([STOP_PX * one for one in (0.63, 0.61, 0.53, 0.38)], abs=0.5)


def test_uprights_pale_with_distance() -> None:
    svg = layer_stair_svg(LAYERS, (120.0,))
    tones = [float(one) for one in re.findall(r'fill="#2A2E27" opacity="([\d.]+)"', svg)]
    assert tones == pytest.approx(
        [0.95 * 0.05 ** (one.distance_m / 120.0) for one in LAYERS], abs=0.006
    )


def test_sentence_says_steps_merging_pair_wish_and_doubt() -> None:
    said = stair_sentence(LAYERS, RANGES_M)
    assert said.startswith("At 120 m: steps of 0.63, 0.61, 0.53, 0.38 stops; Ash and Last merge.")
    assert "At 260 m: steps of 0.56, 0.62, 0.64, 0.61 stops; all part." in said
    assert "At 900 m: steps of 0.33, 0.45, 0.57, 0.70 stops; Plumb and Lean merge." in said
    assert re.search(r"as a wish, mist \d+ to \d+ m\.", said)
    assert said.endswith("Rough: dark trunks, even light, even mist.")
    assert "every layer merges with the next" in stair_sentence(LAYERS, (10_000.0, 8.0))


@pytest.mark.parametrize("style", ["paper", "narrow", "print"])
def test_every_stair_says_that_it_is_rough(style: str) -> None:
    svg = layer_stair_svg(LAYERS, RANGES_M, style=style)
    shown = re.sub(r"<(title|desc)>.*?</\1>", "", svg)
    assert shown.count("Rough.") == 3
    for reach in ("120", "260", "900"):
        assert f">sight {reach} m<" in svg
    compare(f"layer-stair-{style}.svg", svg)


def test_the_table_holds_every_step_of_every_stair() -> None:
    figure = layer_stair_figure(LAYERS, RANGES_M)
    assert figure.headers == ("step", "sight 120 m", "sight 260 m", "sight 900 m")
    assert figure.rows[3] == ("Ash, 45 m, to Last, 90 m", "0.38 stops", "0.61 stops", "0.70 stops")
    assert len(figure.rows) == 4
    assert figure.sentence in figure.page


def test_a_long_name_is_cut_to_its_room() -> None:
    long = (Layer(name="The Beech With The Broken Crown", distance_m=7.0), *LAYERS[1:])
    assert re.search(r">The[^<]*\.\.\.<", layer_stair_svg(long, RANGES_M))


def test_one_layer_or_no_range_is_refused() -> None:
    with pytest.raises(BadInputError, match="give the distance of a second one"):
        layer_stair_svg(LAYERS[:1], (120.0,))
    for ranges_m in ((), (1.0, 2.0, 3.0, 4.0)):
        with pytest.raises(BadInputError, match="one range to three"):
            layer_stair_svg(LAYERS, ranges_m)
    with pytest.raises(BadInputError, match="from near to far"):
        layer_stair_svg(LAYERS[::-1], (120.0,))
