# SPDX-License-Identifier: MIT
"""Drawings as files: valid, of the right size, with what every sheet must say."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest
from PySide6.QtGui import QColor, QImage

from app.paper.drawing_sheet import draw, worst_by_tag
from app.shipped import shipped
from app.theme import theme
from solver.errors import FarcabinError
from solver.results import Finding, Results
from solver.vessel.file import read_vessel
from solver.vessel.samples import ship
from solver.vessel.vessel import Vessel
from tests.app.parts_drawn import pixels, results
from tests.app.small_loop import small_loop

_SVG = "{http://www.w3.org/2000/svg}"


def _solved() -> tuple[Vessel, Results]:
    vessel = small_loop()
    return vessel, results(vessel, shares={"AH-1": 1.0, "AH-2": 0.45})


def _drawn(path: Path, **how: Any) -> Path:
    draw(*_solved(), path, **{"date": "2026-05-01", **how})
    return path


def _texts(path: Path) -> list[str]:
    return [each.text or "" for each in ElementTree.parse(path).iter(f"{_SVG}text")]


def _pages(path: Path) -> list[tuple[float, float]]:
    """Return the pages of a pdf as width and height [mm]."""
    boxes = re.findall(rb"/MediaBox \[([\d. ]+)\]", path.read_bytes())
    return [tuple(float(edge) / 72 * 25.4 for edge in box.split()[2:]) for box in boxes]  # type: ignore[misc]


@pytest.mark.parametrize("size", [(1600, 1000), (640, 480), (320, 200)])
def test_a_png_has_the_size_asked_for(size: tuple[int, int], tmp_path: Path) -> None:
    image = QImage(str(_drawn(tmp_path / "boat.png", size=size)))
    assert (image.width(), image.height()) == size
    # Within the frame lies paper, and more than paper.
    assert image.pixelColor(4, 4) == QColor(theme("light").paper)
    assert len({image.pixel(x, y) for x in range(0, size[0], 3) for y in range(0, size[1], 3)}) > 10


def test_paper_overlay_units_and_figures_change_the_picture(tmp_path: Path) -> None:
    ways: list[dict[str, Any]] = [
        {},
        {"dark": True},
        {"overlay": None},
        {"overlay": "velocity"},
        {"units": "us"},
        {"date": "2026-05-02"},
    ]
    shown = {pixels(QImage(str(_drawn(tmp_path / f"{n}.png", **way)))) for n, way in enumerate(ways)}
    assert len(shown) == len(ways)
    assert QImage(str(tmp_path / "1.png")).pixelColor(4, 4) == QColor(theme("dark").paper)


def test_the_same_drawing_gives_the_same_file(tmp_path: Path) -> None:
    one, other = _drawn(tmp_path / "one.png"), _drawn(tmp_path / "other.png")
    assert one.read_bytes() == other.read_bytes()


def test_an_svg_says_what_a_sheet_must(tmp_path: Path) -> None:
    path = _drawn(tmp_path / "boat.svg")
    root = ElementTree.parse(path).getroot()
    assert root.get("viewBox") == "0 0 1600 1000"
    texts = _texts(path)
    for text in ("Test boat", "Summer", "as drawn", "SI", "Solved in 7 steps", "2026-05-01"):
        assert text in texts
    for text in ("AH-2", "45 %", "Share of design flow", "P-1"):
        assert text in texts
    assert not [each for each in root.iter(f"{_SVG}path") if not each.get("d")]


def test_units_are_the_vessels_own_unless_asked_for(tmp_path: Path) -> None:
    vessel, found = _solved()
    us = msgspec.structs.replace(vessel, units="us")
    draw(us, found, tmp_path / "own.svg")
    assert "US customary" in _texts(tmp_path / "own.svg")
    draw(us, found, tmp_path / "asked.svg", units="si")
    assert "SI" in _texts(tmp_path / "asked.svg")


def test_a_vessel_without_results_is_drawn_with_the_reason(tmp_path: Path) -> None:
    draw(small_loop(), None, tmp_path / "boat.svg", reason="nothing sets the pressure of the loop.")
    words = " ".join(_texts(tmp_path / "boat.svg"))
    assert "Not solved: nothing sets the pressure of the loop." in words
    assert "45 %" not in words


def test_an_empty_vessel_is_an_empty_sheet(tmp_path: Path) -> None:
    for kind in ("png", "svg", "pdf"):
        draw(Vessel(name="Nothing yet"), None, tmp_path / f"empty.{kind}")
        assert (tmp_path / f"empty.{kind}").stat().st_size > 1000


def test_a_small_loop_takes_one_page_of_a4(tmp_path: Path) -> None:
    (width, height), *others = _pages(_drawn(tmp_path / "boat.pdf"))
    assert (width, height) == (pytest.approx(297, abs=0.5), pytest.approx(210, abs=0.5))
    assert others == []
    content = (tmp_path / "boat.pdf").read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")


def test_the_paper_can_be_chosen(tmp_path: Path) -> None:
    [(width, height)] = _pages(_drawn(tmp_path / "boat.pdf", sheet="A3"))
    assert (width, height) == (pytest.approx(420, abs=0.5), pytest.approx(297, abs=0.5))


def test_a_large_drawing_takes_a3_and_pages_with_its_parts(tmp_path: Path) -> None:
    yacht = read_vessel(str(shipped("sample_vessels") / "motor_yacht_45m.farcabin"))
    draw(yacht, None, tmp_path / "yacht.pdf")
    assert [round(width) for width, _ in _pages(tmp_path / "yacht.pdf")] == [420]
    draw(ship(250), None, tmp_path / "ship.pdf")
    assert len(_pages(tmp_path / "ship.pdf")) > 3


@pytest.mark.parametrize("name", ["boat.jpg", "boat", "boat.PNG.txt"])
def test_an_unknown_ending_is_refused_with_the_known_ones(name: str, tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match=r"cannot draw into a file .*; accepted: \.png, \.svg, \.pdf"):
        _drawn(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_a_file_that_cannot_be_written_is_told(kind: str, tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match=f"missing.boat.{kind}: the drawing cannot be written: No such"):
        _drawn(tmp_path / "missing" / f"boat.{kind}")


def test_an_unknown_overlay_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match="no overlay 'noise'"):
        _drawn(tmp_path / "boat.png", overlay="noise")


def test_a_part_is_marked_by_the_worst_finding_about_it() -> None:
    findings = (
        Finding("a", "bad", "", tags=("P-1",)),
        Finding("b", "note", "", tags=("P-1", "R-1")),
        Finding("c", "warn", "", tags=("R-1", "R-2")),
    )
    found = msgspec.structs.replace(_solved()[1], findings=findings)
    assert worst_by_tag(found) == {"P-1": "bad", "R-1": "warn", "R-2": "warn"}


def test_a_script_without_an_application_can_draw(tmp_path: Path) -> None:
    code = (
        "from app.paper.drawing_sheet import draw; from tests.app.small_loop import small_loop; "
        f"draw(small_loop(), None, {str(tmp_path / 'boat.png')!r}, size=(400, 300))"
    )
    unwanted = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {name: value for name, value in os.environ.items() if name not in unwanted}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert QImage(str(tmp_path / "boat.png")).width() == 400
