# SPDX-License-Identifier: MIT
"""Labels never lie on symbols or on each other, whatever lies where."""

import math

from hypothesis import given
from hypothesis import strategies as st

from app.overlay.placing import GAP, Box, Boxes, Wish, place

_numbers = st.integers(0, 400).map(float)


@st.composite
def _boxes(draw: st.DrawFn, largest: int = 60) -> Box:
    x, y = draw(_numbers), draw(_numbers)
    return (x, y, x + draw(st.integers(2, largest)), y + draw(st.integers(2, largest)))


@st.composite
def _sheets(draw: st.DrawFn) -> tuple[list[Wish], list[Box], list[Box]]:
    """Parts close together, some with a label and some along a run, and legs of runs between them."""
    symbols = draw(st.lists(_boxes(), min_size=1, max_size=25))
    legs = draw(st.lists(_boxes(4), max_size=10))
    wishes = [
        Wish(f"X-{number}", symbol, float(draw(st.integers(20, 120))), 18.0)
        for number, symbol in enumerate(symbols)
        if draw(st.booleans())
    ]
    wishes += [Wish(f"R-{number}", leg, 60.0, 18.0, along=True) for number, leg in enumerate(legs)]
    return wishes, symbols, legs


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@given(_sheets())
def test_no_label_lies_on_a_symbol_or_on_another_label(
    sheet: tuple[list[Wish], list[Box], list[Box]],
) -> None:
    wishes, symbols, legs = sheet
    found = place(wishes, symbols, legs)
    boxes = [placed.box for placed in found.values()]
    for number, box in enumerate(boxes):
        assert not any(_overlap(box, symbol) for symbol in symbols)
        assert not any(_overlap(box, other) for other in boxes[:number])


@given(_sheets())
def test_labels_have_their_size_and_lie_near_their_parts(
    sheet: tuple[list[Wish], list[Box], list[Box]],
) -> None:
    wishes, symbols, legs = sheet
    found = place(wishes, symbols, legs)
    for wish in wishes:
        if wish.tag in found:
            box, leader = found[wish.tag]
            assert math.isclose(box[2] - box[0], wish.width)
            assert math.isclose(box[3] - box[1], wish.height)
            reach = 60.0 if leader else GAP + 0.01
            grown = (box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach)
            assert _overlap(grown, wish.anchor)
            assert not (wish.along and leader)


@given(_sheets())
def test_the_same_sheet_gives_the_same_places(sheet: tuple[list[Wish], list[Box], list[Box]]) -> None:
    wishes, symbols, legs = sheet
    assert place(wishes, symbols, legs) == place(wishes, list(symbols), list(legs))


@given(_sheets())
def test_leaders_cross_no_symbol(sheet: tuple[list[Wish], list[Box], list[Box]]) -> None:
    wishes, symbols, legs = sheet
    anchors = {wish.tag: wish.anchor for wish in wishes}
    for tag, (_, leader) in place(wishes, symbols, legs).items():
        if leader is not None:
            x1, y1, x2, y2 = leader
            points = [(x1 + (x2 - x1) * step / 20, y1 + (y2 - y1) * step / 20) for step in range(2, 19)]
            for left, top, right, bottom in symbols:
                if (left, top, right, bottom) != anchors[tag]:
                    inside = [left < x < right and top < y < bottom for x, y in points]
                    assert not any(inside), (tag, leader)


@given(_sheets(), _boxes(120))
def test_labels_keep_off_those_already_placed(
    sheet: tuple[list[Wish], list[Box], list[Box]], kept: Box
) -> None:
    wishes, symbols, legs = sheet
    for placed in place(wishes, symbols, legs, [kept]).values():
        assert not _overlap(placed.box, kept)


def test_a_free_label_stands_centred_on_its_first_side() -> None:
    found = place(
        [Wish("AH-1", (100.0, 100.0, 160.0, 140.0), 80.0, 18.0)], [(100.0, 100.0, 160.0, 140.0)], []
    )
    assert found["AH-1"].box == (90.0, 100.0 - GAP - 18.0, 170.0, 100.0 - GAP)
    assert found["AH-1"].leader is None


def test_a_run_under_the_first_place_sends_the_label_to_the_second() -> None:
    symbol = (100.0, 100.0, 160.0, 140.0)
    found = place([Wish("AH-1", symbol, 80.0, 18.0)], [symbol], [(120.0, 0.0, 124.0, 100.0)])
    assert found["AH-1"].box[1] == 140.0 + GAP


def test_the_more_important_label_gets_the_place() -> None:
    symbols = [(100.0, 100.0, 120.0, 120.0), (122.0, 100.0, 142.0, 120.0)]
    first, second = (Wish(f"V-{n}", symbol, 100.0, 18.0, ("top",)) for n, symbol in enumerate(symbols))
    assert place([first, second], symbols, [])["V-0"].box[1] == 100.0 - GAP - 18.0
    assert place([second, first], symbols, [])["V-1"].box[1] == 100.0 - GAP - 18.0


def test_a_part_hemmed_in_has_no_label() -> None:
    symbols = [(20.0 * x, 20.0 * y, 20.0 * x + 20.0, 20.0 * y + 20.0) for x in range(15) for y in range(15)]
    assert place([Wish("V-1", symbols[112], 60.0, 18.0)], symbols, []) == {}


def test_strict_labels_do_not_move_away_from_their_parts() -> None:
    # Above the part there is a gap for a leader between two others, but none for a label.
    symbols = [(100.0, 100.0, 120.0, 120.0), (30.0, 75.0, 106.0, 98.0), (114.0, 75.0, 190.0, 98.0)]
    wish = Wish("V-1", symbols[0], 60.0, 18.0, ("top",))
    assert place([wish], symbols, [])["V-1"].leader == (110.0, 53.0, 110.0, 100.0)
    assert place([wish], symbols, [], strict=True) == {}


def test_strict_labels_do_not_come_close_to_other_parts() -> None:
    symbols = [(100.0, 100.0, 120.0, 120.0), (60.0, 75.0, 160.0, 75.5)]
    wish = Wish("V-1", symbols[0], 60.0, 18.0, ("top",))
    assert place([wish], symbols, [])["V-1"].box[1] == 77.0
    assert place([wish], symbols, [], strict=True) == {}


@given(st.lists(_boxes(), max_size=30), _boxes(200))
def test_boxes_are_found_by_place(boxes: list[Box], asked: Box) -> None:
    index = Boxes(boxes)
    assert index.hit(asked) == any(_overlap(box, asked) for box in boxes)
    assert index.count(asked) == len({box for box in boxes if _overlap(box, asked)})


def test_a_box_over_the_whole_world_is_found_too() -> None:
    index = Boxes([(-1e9, 0.0, 1e9, 4.0)])
    assert index.hit((5e8, 2.0, 5e8 + 10.0, 9.0))
    assert not index.hit((5e8, 5.0, 5e8 + 10.0, 9.0))
