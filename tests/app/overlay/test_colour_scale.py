# SPDX-License-Identifier: MIT
"""Colours of values: told apart from the paper, in order of lightness, the ends where they belong."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.overlay.colour_scale import STEPS, ColourScale, Kind, contrast
from app.theme import theme

#: First and last colour of cividis in viridisLite 0.4 (documentation of ``cividis``, from memory); its
#: table and that of the paper differ by rounding in the last steps.
_CIVIDIS_ENDS = ("#00204D", "#FFEA46")

_SCALES: list[tuple[Kind, bool]] = [
    ("one_sided", False),
    ("one_sided", True),
    ("deviation", False),
    ("deviation", True),
]


def _lightness(colour: str) -> float:
    """CIE 1976 L* from the contrast to black, which is (Y + 0.05) / 0.05."""
    y = contrast(colour, "#000000") * 0.05 - 0.05
    return 116 * y ** (1 / 3) - 16 if y > 216 / 24389 else y * 24389 / 27


def _far_apart(one: str, other: str) -> float:
    return max(abs(int(one[at : at + 2], 16) - int(other[at : at + 2], 16)) for at in (1, 3, 5))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # WCAG 2.2, relative luminance; #767676 is the often quoted lightest grey of 4.5 on white.
        ("#000000", "#FFFFFF", 21.0),
        ("#777777", "#FFFFFF", 4.48),
        ("#767676", "#FFFFFF", 4.54),
    ],
)
def test_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize(("kind", "dark"), _SCALES)
def test_every_colour_stands_out_from_the_paper(kind: Kind, dark: bool) -> None:
    names = ("dark", "contrast_dark") if dark else ("light", "print", "contrast_light")
    for colour in ColourScale(kind, 0.0, 1.0, dark=dark).colours:
        assert all(contrast(colour, theme(name).paper) >= 3 for name in names)


@pytest.mark.parametrize("dark", [False, True])
def test_more_stands_out_more(dark: bool) -> None:
    colours = ColourScale("one_sided", 0.0, 1.0, dark=dark).colours
    paper = theme("dark" if dark else "light").paper
    ratios = [contrast(colour, paper) for colour in colours]
    assert ratios == sorted(ratios)
    steps = [abs(a - b) for a, b in zip(map(_lightness, colours), map(_lightness, colours[1:]), strict=False)]
    # Perceptually even: no step in lightness is twice the mean.
    assert max(steps) < 2 * sum(steps) / len(steps)


@pytest.mark.parametrize("dark", [False, True])
def test_deviations_are_even_on_both_sides_of_a_neutral_middle(dark: bool) -> None:
    colours = ColourScale("deviation", 0.5, 1.5, dark=dark).colours
    ends = _lightness(colours[0]), _lightness(colours[-1])
    assert abs(ends[0] - ends[1]) < 4
    middle = colours[STEPS // 2]
    parts = [int(middle[at : at + 2], 16) for at in (1, 3, 5)]
    assert max(parts) - min(parts) < 24
    red, blue = int(colours[0][1:3], 16), int(colours[0][5:7], 16)
    assert red > blue + 60
    red, blue = int(colours[-1][1:3], 16), int(colours[-1][5:7], 16)
    assert blue > red + 60


@pytest.mark.reference
def test_the_full_ends_are_those_of_cividis() -> None:
    assert _far_apart(ColourScale("one_sided", 0, 1, dark=False).colours[-1], _CIVIDIS_ENDS[0]) <= 2
    assert _far_apart(ColourScale("one_sided", 0, 1, dark=True).colours[-1], _CIVIDIS_ENDS[1]) <= 14


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.lists(st.floats(-1e7, 1e7), min_size=1))
def test_steps_rise_with_the_value_and_stop_at_the_ends(low: float, span: float, values: list[float]) -> None:
    scale = ColourScale("one_sided", low, low + span, dark=False)
    steps = scale.steps(sorted(values))
    assert steps == sorted(steps)
    assert all(0 <= step < STEPS for step in steps)
    assert scale.steps([low, low + span, low - span, low + 2 * span]) == [0, STEPS - 1, 0, STEPS - 1]


def test_a_range_of_no_width_has_one_colour() -> None:
    assert ColourScale("one_sided", 0.0, 0.0, dark=False).steps([0.0, 5.0]) == [STEPS - 1] * 2
    assert ColourScale("deviation", 1.0, 1.0, dark=False).steps([math.pi]) == [STEPS // 2]
