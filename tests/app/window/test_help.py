# SPDX-License-Identifier: MIT
"""F1 and the pages of help: each context has its page and heading; search, links, back and forward."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from pytestqt.qtbot import QtBot

from app.panels.help_pages import CONTEXTS, HelpPages, slug
from app.panels.help_panel import HelpPanel, Spot, spot_of
from app.panels.help_tables import with_cards
from app.panels.shown import Shown
from app.shipped import shipped
from app.theme import theme
from app.window.main_window import MainWindow


@pytest.fixture
def pages() -> HelpPages:
    return HelpPages(shipped("docs"))


@pytest.mark.parametrize("name", CONTEXTS)
def test_every_context_has_its_page_and_heading(pages: HelpPages, name: str) -> None:
    spot = spot_of(CONTEXTS[name])
    assert spot.page in pages.texts
    if spot.anchor:
        heads = [line.lstrip("# ") for line in pages.texts[spot.page].splitlines() if line.startswith("#")]
        assert spot.anchor in {slug(head) for head in heads}


def test_every_panel_of_the_window_has_a_context(window: MainWindow) -> None:
    assert {dock.objectName() for dock in window.docks.all()} <= CONTEXTS.keys()


def test_f1_opens_help_at_what_tells_of_the_panel(window: MainWindow, boat: Path, qtbot: QtBot) -> None:
    window.document.open(boat)
    window.panes.go_to(window.docks.outline.tree)
    qtbot.keyClick(window.docks.outline.tree, Qt.Key.Key_F1)
    assert window.help.dock.isVisible()
    assert window.help.panel.spot == Spot("window.md", "outline")
    assert "Outline" in window.help.panel.browser.textCursor().block().text()


def test_links_search_and_the_way_back(window: MainWindow) -> None:
    panel = window.help.panel
    panel.show_spot(Spot())
    assert "Findings" in panel.browser.toPlainText()
    panel.browser.anchorClicked.emit(QUrl("findings.md"))
    assert panel.spot.page == "findings.md"
    panel.browser.anchorClicked.emit(QUrl("#the-rules"))
    assert panel.spot == Spot("findings.md", "the-rules")
    panel.words.setText("expansion vessel pressure")
    panel.words.returnPressed.emit()
    assert "findings.md" in panel.browser.toMarkdown()
    panel.back.click()
    assert panel.spot == Spot("findings.md", "the-rules")
    panel.forward.click()
    assert panel.spot.words == "expansion vessel pressure"
    panel.words.setText("qqqq")
    panel.words.returnPressed.emit()
    assert "Nothing found" in panel.browser.toPlainText()


def test_a_link_out_of_the_pages_leads_nowhere(window: MainWindow) -> None:
    before = window.help.panel.spot
    window.help.panel.browser.anchorClicked.emit(QUrl("../pyproject.toml"))
    assert window.help.panel.spot == before


def test_pictures_of_the_pages_are_there(pages: HelpPages) -> None:
    for page, text in pages.texts.items():
        for part in text.split("![")[1:]:
            link = part.partition("](")[2].partition(")")[0]
            assert (pages.folder / page).parent.joinpath(link).is_file(), f"{page}: {link}"


def test_wide_tables_are_written_row_by_row_where_there_is_no_room(qtbot: QtBot, pages: HelpPages) -> None:
    panel = HelpPanel(pages, Shown(theme("light")))
    qtbot.addWidget(panel)
    panel.resize(480, 700)
    panel.show()
    panel.show_spot(Spot("findings.md"))
    narrow = panel.browser.toPlainText()
    assert not panel.browser.document().rootFrame().childFrames()
    assert "severity: bad" in narrow
    for row in pages.texts["findings.md"].splitlines():
        if row.startswith("| `"):
            assert row.split("`")[1] in narrow
    panel.resize(900, 700)
    assert "severity: bad" not in panel.browser.toPlainText()
    assert panel.browser.document().rootFrame().childFrames()


_WIDE = "| a | b | c |\n|---|---|---|\n| 1 | 2 | 3 |"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("| a | b |\n|---|---|\n| 1 | 2 |", "| a | b |\n|---|---|\n| 1 | 2 |"),
        ("| a | b | c |\n|---|:-:|--:|\n| 1 | x \\| y | |", "**1**\n\n- b: x \\| y"),
        (
            "```\n| a | b | c |\n|---|---|---|\n| 1 | 2 | 3 |\n```",
            "```\n| a | b | c |\n|---|---|---|\n| 1 | 2 | 3 |\n```",
        ),
        ("| a | b | c |\n| 1 | 2 | 3 |", "| a | b | c |\n| 1 | 2 | 3 |"),
    ],
)
def test_a_table_becomes_cards_only_where_it_is_a_wide_one(text: str, wanted: str) -> None:
    assert with_cards(text, 2) == wanted


def test_pictures_are_no_wider_than_the_panel(qtbot: QtBot, pages: HelpPages) -> None:
    panel = HelpPanel(pages, Shown(theme("light")))
    qtbot.addWidget(panel)
    panel.show()
    panel.show_spot(Spot("first_loop.md"))
    for width in (480, 700, 420):
        panel.resize(width, 700)
        assert panel.browser.horizontalScrollBar().maximum() == 0


def test_a_heading_stays_on_top_while_the_panel_gets_its_size(qtbot: QtBot, pages: HelpPages) -> None:
    panel = HelpPanel(pages, Shown(theme("light")))
    qtbot.addWidget(panel)
    panel.resize(240, 300)
    panel.show()
    panel.show_context("steps")
    for size in ((480, 300), (620, 260), (300, 200)):
        panel.resize(*size)
        top = panel.browser.cursorForPosition(panel.browser.viewport().rect().topLeft()).block()
        assert top.text() == "Steps"
