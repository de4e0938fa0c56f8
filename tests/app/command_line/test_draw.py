# SPDX-License-Identifier: MIT
"""``farcabin draw`` in a process of its own, without a display: pictures of every kind."""

import os
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from PySide6.QtWidgets import QApplication

_ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def draw(farcabin: Callable[..., Any], qapp: QApplication) -> Callable[..., Any]:
    """Return the verb as a function of its words, in the tests' own application."""

    def verb(*words: object) -> Any:
        return farcabin("draw", *words)

    return verb


def _png_size(path: Path) -> tuple[int, int]:
    head = path.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", head[16:24])
    return width, height


def test_without_a_display_a_png_has_the_size_asked_for(boat: Path, tmp_path: Path) -> None:
    unwanted = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    done = subprocess.run(
        [sys.executable, "-m", "app", "draw", boat, "-o", tmp_path / "boat.png", "--size", "1280x800"],
        cwd=_ROOT,
        env={name: value for name, value in os.environ.items() if name not in unwanted},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == f"wrote {tmp_path / 'boat.png'}\n"
    assert _png_size(tmp_path / "boat.png") == (1280, 800)


def test_overlay_paper_and_units_change_the_picture(
    draw: Callable[..., Any], boat: Path, tmp_path: Path
) -> None:
    pictures = set()
    for name, words in {
        "plain": [],
        "dark": ["--dark"],
        "share": ["--overlay", "share"],
        "us": ["--units", "us"],
    }.items():
        path = tmp_path / f"{name}.png"
        assert draw(boat, "-o", path, *words).status == 0
        assert _png_size(path) == (1600, 1000)
        pictures.add(path.read_bytes())
    assert len(pictures) == 4


def test_an_svg_is_whole_and_names_the_air_handlers(
    draw: Callable[..., Any], boat: Path, tmp_path: Path
) -> None:
    path = tmp_path / "boat.svg"
    assert draw(boat, "-o", path).status == 0
    assert ElementTree.parse(path).getroot().tag.endswith("svg")
    assert "AH-1" in path.read_text(encoding="utf-8")


def test_a_pdf_is_written(draw: Callable[..., Any], boat: Path, tmp_path: Path) -> None:
    path = tmp_path / "boat.pdf"
    assert draw(boat, "-o", path).status == 0
    content = path.read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")


def test_a_loop_that_cannot_be_solved_is_drawn_and_told(
    draw: Callable[..., Any], no_pump: Path, tmp_path: Path
) -> None:
    path = tmp_path / "unsolved.png"
    done = draw(no_pump, "-o", path)
    assert done.status == 1
    assert done.err.startswith("farcabin: ")
    assert "Traceback" not in done.err
    assert _png_size(path) == (1600, 1000)


@pytest.mark.parametrize("name", ["boat.png", "boat.svg", "boat.pdf"])
def test_a_picture_that_cannot_be_written_is_told(
    name: str, draw: Callable[..., Any], boat: Path, tmp_path: Path
) -> None:
    (tmp_path / name).mkdir()
    done = draw(boat, "-o", tmp_path / name)
    assert done.status == 2
    assert done.err.startswith("farcabin: ")
    assert name in done.err
    assert "Traceback" not in done.err
