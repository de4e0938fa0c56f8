# SPDX-License-Identifier: MIT
"""Help in the program: the shipped documentation, with a start page, search, back and forward."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import (
    QDesktopServices,
    QImageReader,
    QKeySequence,
    QResizeEvent,
    QTextCursor,
    QTextTable,
)
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QTextBrowser, QToolButton, QVBoxLayout, QWidget

from app.panels.help_pages import CONTEXTS, HelpPages, slug
from app.panels.help_tables import with_cards
from app.panels.shown import Shown
from app.theme import HALF_SPACE, SPACE
from app.translation import tr

#: Kept pages to go back to.
_MOST_BACK = 100
_KEPT = Qt.AspectRatioMode.KeepAspectRatio
#: From this width on [px] tables of so many columns can be read; in less room of fewer.
_WIDE, _WIDE_COLUMNS, _NARROW_COLUMNS = 760, 8, 4


class Spot(NamedTuple):
    """A page with a heading in it; no page is the start page, ``words`` a search."""

    page: str = ""
    anchor: str = ""
    words: str = ""


def spot_of(link: str, from_page: str = "") -> Spot:
    """Return the spot that a link of a page leads to.

    Examples
    --------
    >>> spot_of("pipes.md#bends", "physics/liquids.md")
    Spot(page='physics/pipes.md', anchor='bends', words='')
    """
    path, _, anchor = link.partition("#")
    if not path:
        return Spot(from_page, anchor)
    parts = [*from_page.split("/")[:-1], *path.split("/")]
    kept: list[str] = []
    for part in parts:
        if part == ".." and kept:
            kept.pop()
        elif part not in (".", ""):
            kept.append(part)
    return Spot("/".join(kept), anchor)


class HelpPanel(QWidget):
    """Shows a page at a heading."""

    def __init__(self, pages: HelpPages, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pages = pages
        self._way: list[Spot] = []
        self._at = -1
        self._is_wide = False
        self._scrolled_to = 0
        self.browser = QTextBrowser(self)
        self.browser.setAccessibleName(tr("Help"))
        self.browser.setOpenLinks(False)
        self.browser.anchorClicked.connect(self._follow)
        self.words = QLineEdit(self)
        self.words.setPlaceholderText(tr("Search in help"))
        self.words.setAccessibleName(tr("Search in help"))
        self.words.setClearButtonEnabled(True)
        self.words.returnPressed.connect(self._search)
        self.back = self._button(tr("Back"), QKeySequence.StandardKey.Back, lambda: self._go(-1))
        self.forward = self._button(tr("Forward"), QKeySequence.StandardKey.Forward, lambda: self._go(1))
        self.start = self._button(tr("Start"), None, lambda: self.show_spot(Spot()))
        head = QHBoxLayout()
        head.setContentsMargins(8, 4, 8, 4)
        for widget in (self.back, self.forward, self.start):
            head.addWidget(widget)
        head.addWidget(self.words, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self.browser, 1)
        shown.theme_changed.connect(self._repaint)
        self.show_spot(Spot())

    @property
    def spot(self) -> Spot:
        """What is shown."""
        return self._way[self._at]

    def show_context(self, name: str) -> None:
        """Show what tells of a panel or tool; the start page where nothing does."""
        spot = spot_of(CONTEXTS.get(name, ""))
        self.show_spot(spot if spot.page in self._pages.texts else Spot())

    def show_spot(self, spot: Spot) -> None:
        """Show a page, and keep it on the way back."""
        if self._way and spot == self.spot:
            return
        self._way = [*self._way[: self._at + 1], spot][-_MOST_BACK:]
        self._at = len(self._way) - 1
        self._show()

    def _button(self, text: str, key: QKeySequence.StandardKey | None, act: object) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        if key is not None:
            button.setShortcut(QKeySequence(key))
        button.clicked.connect(act)
        return button

    def _go(self, steps: int) -> None:
        self._at = min(max(self._at + steps, 0), len(self._way) - 1)
        self._show()

    def _search(self) -> None:
        words = self.words.text().strip()
        self.show_spot(Spot(words=words))

    def _follow(self, url: QUrl) -> None:
        if url.scheme() in ("http", "https", "mailto"):
            QDesktopServices.openUrl(url)
            return
        spot = spot_of(url.toString(), self.spot.page)
        if spot.page in self._pages.texts:
            self.show_spot(spot)

    def _repaint(self, *_theme: object) -> None:
        self._show()

    def _show(self) -> None:
        spot, pages = self.spot, self._pages
        if spot.words:
            heading = tr("Pages with “{0}”").format(spot.words)
            text = pages.search(spot.words, heading, tr("Nothing found. Fewer words find more."))
        elif spot.page:
            text = pages.texts[spot.page]
        else:
            text = pages.start(tr("Help"))
        place = pages.folder / spot.page
        folder = place.parent if spot.page else pages.folder
        self.browser.document().setBaseUrl(QUrl.fromLocalFile(f"{folder}/"))
        self.browser.setMarkdown(with_cards(text, _WIDE_COLUMNS if self._is_wide else _NARROW_COLUMNS))
        self._give_room()
        self._fit_pictures()
        self._scroll_to(spot.anchor)
        self.back.setEnabled(self._at > 0)
        self.forward.setEnabled(self._at < len(self._way) - 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._is_wide != (self.width() >= _WIDE):
            self._is_wide = not self._is_wide
            self._show()
        self._fit_pictures()
        bar = self.browser.verticalScrollBar()
        if bar.value() == min(self._scrolled_to, bar.maximum()):
            # Nobody has read on yet; the heading stays where it was put.
            self._scroll_to(self.spot.anchor)

    def _fit_pictures(self) -> None:
        """Make pictures that are wider than the panel as wide as it is."""
        document, room = self.browser.document(), self.browser.viewport().width() - 2 * SPACE
        cursor = QTextCursor(document)
        block = document.begin()
        while block.isValid():
            pieces = block.begin()
            while not pieces.atEnd():
                piece = pieces.fragment()
                if piece.charFormat().isImageFormat():
                    look = piece.charFormat().toImageFormat()
                    file = document.baseUrl().resolved(QUrl(look.name())).toLocalFile()
                    size = QImageReader(file).size()
                    if not size.isEmpty():
                        size = size.scaled(min(size.width(), room), size.height(), _KEPT)
                        look.setWidth(size.width())
                        look.setHeight(size.height())
                        cursor.setPosition(piece.position())
                        cursor.setPosition(piece.position() + piece.length(), QTextCursor.MoveMode.KeepAnchor)
                        cursor.setCharFormat(look)
                        break
                pieces += 1
            block = block.next()

    def _give_room(self) -> None:
        """Part paragraphs and cells: what Markdown makes stands too close."""
        document = self.browser.document()
        cursor = QTextCursor(document)
        block = document.begin()
        while block.isValid():
            look = block.blockFormat()
            in_table = QTextCursor(block).currentTable() is not None
            if look.headingLevel():
                look.setTopMargin(2 * SPACE if block.position() else 0)
                look.setBottomMargin(HALF_SPACE)
            elif not in_table and not look.nonBreakableLines():
                # A list stands close below its first words.
                goes_on = block.next().isValid() and block.next().textList() is not None
                look.setTopMargin(0)
                look.setBottomMargin(0 if goes_on else SPACE)
            cursor.setPosition(block.position())
            cursor.setBlockFormat(look)
            block = block.next()
        for frame in document.rootFrame().childFrames():
            if isinstance(frame, QTextTable):
                cells = frame.format().toTableFormat()
                cells.setCellPadding(HALF_SPACE)
                cells.setBottomMargin(SPACE)
                frame.setFormat(cells)

    def _scroll_to(self, anchor: str) -> None:
        block = self.browser.document().begin()
        while block.isValid():
            if anchor and block.blockFormat().headingLevel() and slug(block.text()) == anchor:
                self.browser.setTextCursor(QTextCursor(block))
                top = self.browser.document().documentLayout().blockBoundingRect(block).top()
                self.browser.verticalScrollBar().setValue(round(top))
                self._scrolled_to = self.browser.verticalScrollBar().value()
                return
            block = block.next()
        self.browser.moveCursor(QTextCursor.MoveOperation.Start)
        self._scrolled_to = 0
