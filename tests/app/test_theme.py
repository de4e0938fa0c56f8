# SPDX-License-Identifier: MIT
"""The colour table: contrast of every theme, and no colour named anywhere else."""

import re
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QPalette
from pytestqt.qtbot import QtBot

from app.overlay.colour_scale import contrast
from app.theme import BASE_PX, NAMES, SMALL_PX, mixed, palette, theme, ui_font
from solver.errors import FarcabinError

_APP = Path(__file__).resolve().parents[2] / "app"
#: A colour as text, or one of Qt's own.
_COLOUR = re.compile(
    r"#[0-9A-Fa-f]{6}\b|QColor\(\s*[\"'\d]|GlobalColor\.(?!transparent)|Qt\.(?:red|blue|black|white|gray)\b"
)
_TABLES = {"theme.py", "overlay/colour_scale.py"}


@pytest.mark.parametrize("name", NAMES)
def test_text_and_lines_stand_out_from_paper_and_panel(name: str) -> None:
    # WCAG 2.2, 1.4.3 (text 4.5) and 1.4.11 (graphics 3).
    one = theme(name)
    for ground in (one.paper, one.panel, one.room):
        for text in (one.ink, one.soft, one.good, one.warn, one.bad):
            assert contrast(text, ground) >= 4.5
        for line in (one.fresh, one.sea, one.accent):
            assert contrast(line, ground) >= (3 if ground == one.room else 4.5)


@pytest.mark.parametrize("name", NAMES)
def test_the_grid_is_there_but_quiet(name: str) -> None:
    one = theme(name)
    assert 1.05 < contrast(one.grid, one.paper) < 2
    assert 1.0 < contrast(one.room, one.paper) < 1.2


def test_each_colour_of_a_theme_means_one_thing() -> None:
    for name in NAMES:
        one = theme(name)
        meanings = [one.ink, one.soft, one.fresh, one.sea, one.accent, one.good, one.warn, one.bad]
        assert len(set(meanings)) == len(meanings)


def test_the_severities_have_their_colours() -> None:
    one = theme("light")
    assert [one.of_severity(name) for name in ("bad", "warn", "note")] == [one.bad, one.warn, one.soft]


def test_an_unknown_theme_is_refused_with_the_known_ones() -> None:
    with pytest.raises(FarcabinError, match="no theme 'pink'; accepted: light, dark"):
        theme("pink")


def test_no_other_file_of_the_program_names_a_colour() -> None:
    named = {
        path.relative_to(_APP).as_posix(): _COLOUR.findall(path.read_text(encoding="utf-8"))
        for path in _APP.rglob("*.py")
    }
    assert {file: found for file, found in named.items() if found and file not in _TABLES} == {}
    assert named["theme.py"]


def test_fonts_have_the_size_and_weight_asked_for(qtbot: QtBot) -> None:
    plain, bold = ui_font(), ui_font(SMALL_PX, bold=True)
    assert (plain.pixelSize(), bold.pixelSize()) == (BASE_PX, SMALL_PX)
    assert bold.weight() > plain.weight()


def test_colours_mix_in_proportion() -> None:
    assert mixed("#000000", "#FFFFFF", 0.5).red() in (127, 128)
    assert mixed("#102030", "#FFFFFF", 0.0) == QColor("#102030")


@pytest.mark.parametrize("name", NAMES)
def test_the_palette_takes_its_colours_from_the_theme(name: str, qtbot: QtBot) -> None:
    one = theme(name)
    found = palette(one)
    assert found.color(QPalette.ColorRole.Window).name().upper() == one.panel
    assert found.color(QPalette.ColorRole.Highlight).name().upper() == one.accent
    for ground, text in (
        (QPalette.ColorRole.Window, QPalette.ColorRole.WindowText),
        (QPalette.ColorRole.Base, QPalette.ColorRole.Text),
        (QPalette.ColorRole.Button, QPalette.ColorRole.ButtonText),
        (QPalette.ColorRole.Highlight, QPalette.ColorRole.HighlightedText),
    ):
        assert contrast(found.color(text).name(), found.color(ground).name()) >= 4.5
