# SPDX-License-Identifier: MIT
"""The picture follows the vessel from value to value as if it were drawn anew."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtGui import QImage, QPainter

from app.canvas.detail import Level, level_at
from app.canvas.grid import spacing
from app.canvas.picture import Picture
from app.canvas.tiles import touches
from app.shipped import shipped
from app.theme import NAMES, theme
from solver.errors import FarcabinError
from solver.vessel.edits import remove
from solver.vessel.file import read_vessel
from solver.vessel.footprint import Rect, body
from solver.vessel.vessel import Cabin, Vessel
from tests.app.parts_drawn import part, pixels, results, run
from tests.app.small_loop import small_loop
from tests.strategies import vessels

_SAMPLES = sorted(path.name for path in shipped("sample_vessels").glob("*.farcabin"))
_EVERYWHERE = Rect(-1e4, -1e4, 1e4, 1e4)


def _picture(vessel: Vessel) -> Picture:
    picture = Picture()
    picture.show_vessel(vessel)
    return picture


def _painted(picture: Picture, scale: float = 1.0, size: tuple[int, int] = (640, 480)) -> QImage:
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(0)
    painter = QPainter(image)
    painter.translate(150 * scale, 150 * scale)
    painter.scale(scale, scale)
    picture.lay_out_labels(scale, _EVERYWHERE)
    picture.paint_cabins(painter, _EVERYWHERE, scale)
    picture.paint_runs(painter, _EVERYWHERE, scale)
    picture.paint_components(painter, _EVERYWHERE, scale)
    picture.paint_labels(painter, _EVERYWHERE)
    painter.end()
    return image


@st.composite
def _edited(draw: st.DrawFn) -> list[Vessel]:
    """The small loop after each of some edits: parts moved, turned, removed, runs bent, joined anew."""
    values = [small_loop()]
    for _ in range(draw(st.integers(1, 6))):
        vessel = values[-1]
        part = draw(st.sampled_from(vessel.components))
        run = draw(st.sampled_from(vessel.runs)) if vessel.runs else None
        kind = draw(st.sampled_from(["move", "turn", "remove", "bend", "resize", "swap", "rooms"]))
        if kind == "remove" and len(vessel.components) > 2:
            values.append(remove(vessel, (part.tag,)))
        elif kind == "rooms":
            corners = ((0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0))
            values.append(msgspec.structs.replace(vessel, cabins=(Cabin(tag="C-9", outline=corners),)))
        elif kind in ("move", "turn"):
            step = 10.0 * draw(st.integers(-20, 20))
            changed = msgspec.structs.replace(
                part,
                at=(part.at[0] + step, part.at[1] - step),
                turn=(part.turn + (kind == "turn")) % 4,
            )
            others = tuple(changed if each is part else each for each in vessel.components)
            values.append(msgspec.structs.replace(vessel, components=others))
        elif run is not None and kind in ("bend", "resize", "swap"):
            change = {
                "bend": {"bends": ((run.length_m * 10.0, 50.0), (run.length_m * 10.0, 300.0))},
                "resize": {"size": "35x1.2"},
                "swap": {"start": run.end, "end": run.start},
            }[kind]
            changed_run = msgspec.structs.replace(run, **change)
            runs = tuple(changed_run if each is run else each for each in vessel.runs)
            values.append(msgspec.structs.replace(vessel, runs=runs))
    return values


@given(_edited())
def test_after_any_edits_the_drawing_is_that_of_the_last_vessel(values: list[Vessel]) -> None:
    picture = Picture()
    for vessel in values:
        picture.show_vessel(vessel)
        assert picture.drawn_as() == _picture(vessel).drawn_as()


@given(st.lists(vessels(), min_size=2, max_size=3))
def test_any_vessel_can_follow_any_other(values: list[Vessel]) -> None:
    picture = Picture()
    for vessel in values:
        picture.show_vessel(vessel)
        assert picture.drawn_as() == _picture(vessel).drawn_as()
        assert picture.bounds() == _picture(vessel).bounds()


@given(_edited())
@settings(max_examples=10)
def test_after_any_edits_it_is_painted_as_anew(values: list[Vessel]) -> None:
    picture = Picture()
    for vessel in values:
        picture.show_vessel(vessel)
        _painted(picture)
    assert pixels(_painted(picture)) == pixels(_painted(_picture(values[-1])))


@given(vessels(), st.sampled_from([0.02, 0.2, 0.3, 1.0, 8.0]))
def test_any_vessel_can_be_painted(vessel: Vessel, scale: float) -> None:
    _painted(_picture(vessel), scale)


def test_only_what_changed_is_drawn_anew() -> None:
    vessel = small_loop()
    picture = _picture(vessel)
    before = dict(picture.components.items)
    pump, *others = vessel.components
    moved = msgspec.structs.replace(pump, at=(20.0, 200.0))
    picture.show_vessel(msgspec.structs.replace(vessel, components=(moved, *others)))
    changed = {tag for tag, item in picture.components.items.items() if item is not before[tag]}
    assert changed == {"P-1"}


def test_the_same_vessel_changes_nothing() -> None:
    picture = _picture(small_loop())
    assert picture.show_vessel(picture.vessel) == []


def test_the_areas_told_cover_what_changed() -> None:
    vessel = small_loop()
    picture = _picture(vessel)
    pump, *others = vessel.components
    moved = msgspec.structs.replace(pump, at=(20.0, 200.0))
    areas = picture.show_vessel(msgspec.structs.replace(vessel, components=(moved, *others)))
    for needed in (body(pump), body(moved), picture.runs.items["R-1"].rect, picture.runs.items["R-9"].rect):
        assert any(touches(area, needed) for area in areas)


def test_crossing_runs_hop_and_stop_hopping_when_one_moves_away() -> None:
    ends = [
        part("tee", "T-1", at=(0.0, 100.0)),
        part("tee", "T-2", at=(200.0, 100.0)),
        part("tee", "T-3", at=(100.0, 0.0), turn=1),
        part("tee", "T-4", at=(100.0, 200.0), turn=1),
    ]
    runs = (
        run("R-1", ("T-1", "run_2"), ("T-2", "run_1")),
        run("R-2", ("T-3", "run_2"), ("T-4", "run_1")),
    )
    vessel = Vessel(name="Cross", components=tuple(ends), runs=runs)
    picture = _picture(vessel)
    assert picture.runs.items["R-1"].hops == ((100.0, 100.0),)
    assert picture.runs.items["R-2"].hops == ()
    picture.show_vessel(remove(vessel, ("R-2",)))
    assert picture.runs.items["R-1"].hops == ()


def test_ports_without_a_run_are_drawn_open() -> None:
    vessel = small_loop()
    picture = _picture(vessel)
    assert picture.components.items["P-1"].open_ports == ()
    picture.show_vessel(remove(vessel, ("R-1",)))
    assert picture.components.items["P-1"].open_ports == ("outlet",)


def test_an_unknown_overlay_is_refused_and_changes_nothing() -> None:
    picture = _picture(small_loop())
    picture.set_overlay("flow")
    with pytest.raises(FarcabinError, match="no overlay 'colours'"):
        picture.set_overlay("colours")
    assert picture.overlay_name == "flow"


def test_theme_overlay_units_and_marks_change_the_picture() -> None:
    picture = _picture(small_loop())
    shown = [_painted(picture)]
    picture.show_results(results(picture.vessel, shares={"AH-1": 1.0, "AH-2": 0.4}))
    shown.append(_painted(picture))
    for overlay in ("flow", "share", "velocity"):
        picture.set_overlay(overlay)
        shown.append(_painted(picture))
    picture.set_units("us")
    picture.set_overlay("flow")
    shown.append(_painted(picture))
    for name in NAMES[1:]:
        picture.set_theme(theme(name))
        shown.append(_painted(picture))
    picture.mark({"R-5": "bad"})
    shown.append(_painted(picture))
    picture.show_results(picture.results, behind=True)
    shown.append(_painted(picture))
    assert len({pixels(image) for image in shown}) == len(shown)


def test_findings_that_are_notes_are_not_marked() -> None:
    picture = _picture(small_loop())
    plain = pixels(_painted(picture))
    picture.mark({"R-5": "note", "P-1": "note"})
    assert pixels(_painted(picture)) == plain


@pytest.mark.parametrize("scale", [0.15, 0.3, 0.5, 0.8, 1.0, 1.6, 3.0])
@pytest.mark.parametrize("name", _SAMPLES)
def test_on_a_sample_no_label_lies_on_a_symbol_or_on_another(name: str, scale: float) -> None:
    vessel = read_vessel(str(shipped("sample_vessels") / name))
    picture = _picture(vessel)
    units = [each.tag for each in vessel.components if each.tag in picture.components.items]
    picture.show_results(results(vessel, shares=dict.fromkeys(units, 0.77)))
    picture.set_overlay("velocity")
    picture.lay_out_labels(scale, _EVERYWHERE)
    boxes = [Rect(*placed.box) for _, placed in picture.labels.shown().values()]
    assert boxes
    symbols = [
        Rect(*(edge * scale for edge in item.body))
        for item in picture.components.items.values()
        if item.large or level_at(scale) is not Level.FAR
    ]
    for number, box in enumerate(boxes):
        assert not any(_overlap(box, symbol) for symbol in symbols)
        assert not any(_overlap(box, other) for other in boxes[:number])


def _overlap(one: Rect, other: Rect) -> bool:
    apart = one.left >= other.right or other.left >= one.right
    return not (apart or one.top >= other.bottom or other.top >= one.bottom)


def test_labels_thin_out_with_the_zoom_and_air_handlers_stay_last() -> None:
    vessel = read_vessel(str(shipped("sample_vessels") / "motor_yacht_27m.farcabin"))
    picture = _picture(vessel)
    shown = {}
    for scale in (2.0, 1.0, 0.5, 0.26):
        picture.lay_out_labels(scale, _EVERYWHERE)
        shown[scale] = set(picture.labels.shown())
    assert len(shown[2.0]) > len(shown[1.0]) > len(shown[0.5]) > len(shown[0.26])
    last = {picture.components.items[tag].kind for tag in shown[0.26]}
    assert last == {"air_handler", "chiller"}


def test_a_changing_figure_moves_no_label() -> None:
    picture = _picture(small_loop())
    places = []
    for share in (0.62, 0.63):
        picture.show_results(results(picture.vessel, shares={"AH-1": share, "AH-2": 1.0}))
        picture.lay_out_labels(1.0, _EVERYWHERE)
        places.append({tag: placed for tag, (_, placed) in picture.labels.shown().items()})
    assert places[0] == places[1]
    assert picture.labels.shown()["AH-1"][0].value == "63 %"


def test_the_name_of_a_room_keeps_clear_of_what_stands_in_it() -> None:
    corners = ((100.0, -60.0), (200.0, -60.0), (200.0, 40.0), (100.0, 40.0))
    room = Cabin(tag="C-1", name="Aft cabin", outline=corners)
    picture = _picture(msgspec.structs.replace(small_loop(), cabins=(room,)))
    boxes = picture.cabins.items["C-1"].title_boxes(1.0, ("Aft cabin",))
    assert len(boxes) == 4
    assert all(100 < box.left < box.right < 200 and -60 < box.top < box.bottom < 40 for box in boxes)
    assert picture.cabins.items["C-1"].title_boxes(0.1, ("Aft cabin",)) == []


def test_a_cabin_without_an_outline_is_not_drawn() -> None:
    picture = _picture(small_loop())
    assert picture.vessel.cabins
    assert picture.cabins.items == {}


def test_grid_lines_are_round_and_never_dense() -> None:
    for power in range(-9, 4):
        for figure in (1.0, 1.7, 3.0, 6.0):
            scale = figure * 10.0**power
            step = spacing(scale)
            assert step * scale >= 36 or step == 10.0
            assert f"{step / 10:.0e}"[0] in "15"


def test_results_that_come_before_their_vessel_colour_it() -> None:
    vessel = small_loop()
    found = results(vessel, shares={"AH-1": 1.0, "AH-2": 0.45})
    picture = Picture()
    picture.set_overlay("share")
    picture.show_results(found)
    assert not picture.overlay or not picture.overlay.values
    picture.show_vessel(vessel)
    assert picture.overlay is not None
    assert picture.overlay.values["AH-2"] == 0.45
