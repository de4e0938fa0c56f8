# SPDX-License-Identifier: MIT
"""The one table of colours, type sizes and spacing; nothing else names a colour.

Each colour means one thing (see ``Theme``).  Text keeps a contrast of at least 4.5 to paper and
panel, lines at least 3.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette

from solver.errors import FarcabinError

#: Spacing unit, and the smaller one inside a field [px].
SPACE = 8
HALF_SPACE = 4
#: Corner radius of fields and labels [px].
RADIUS = 6
#: Text sizes [px]: base, units and secondary lines, a panel's one headline number.
BASE_PX = 13
SMALL_PX = 11
HEADLINE_PX = 17


@dataclass(frozen=True)
class Theme:
    """Colours by what they mean, as ``#RRGGBB``.

    Attributes
    ----------
    name : str
        One of ``NAMES``.
    dark : bool
        Light text on a dark sheet.
    paper, panel : str
        The drawing sheet; everything round it.
    ink, soft : str
        Symbols and text; secondary text, units, dimensions.
    grid, room : str
        Grid, hairlines and the outlines of rooms; the floor of a room.
    fresh, sea : str
        Fresh-water and sea-water runs (blue and green by ISO 14726).
    accent : str
        Selection, focus, the one thing to press.
    good, warn, bad : str
        Within limits; look at this; will not work, or harm.  Always with a shape or word.
    """

    name: str
    dark: bool
    paper: str
    panel: str
    ink: str
    soft: str
    grid: str
    room: str
    fresh: str
    sea: str
    accent: str
    good: str
    warn: str
    bad: str

    def of_severity(self, severity: str) -> str:
        """Return the colour of a finding's severity (``bad``, ``warn`` or ``note``)."""
        return {"bad": self.bad, "warn": self.warn}.get(severity, self.soft)


_THEMES = {
    one.name: one
    for one in (
        Theme(
            name="light",
            dark=False,
            paper="#FAF8F3",
            panel="#FFFFFF",
            ink="#1F2A33",
            soft="#5B6770",
            grid="#E6E1D6",
            room="#F3EFE5",
            fresh="#1E6091",
            sea="#3E7D32",
            accent="#B4541A",
            good="#2F6F5E",
            warn="#8A5A00",
            bad="#A3262A",
        ),
        Theme(
            name="dark",
            dark=True,
            paper="#12181D",
            panel="#1A2229",
            ink="#E8E6E0",
            soft="#9AA7B0",
            grid="#222C34",
            room="#182027",
            fresh="#6FB3E0",
            sea="#8CC97A",
            accent="#F0A06A",
            good="#7CCBB2",
            warn="#E5B45A",
            bad="#F08A84",
        ),
        Theme(
            name="print",
            dark=False,
            paper="#FFFFFF",
            panel="#FFFFFF",
            ink="#1F2A33",
            soft="#5B6770",
            grid="#D9D5CC",
            room="#F5F3EE",
            fresh="#1E6091",
            sea="#3E7D32",
            accent="#B4541A",
            good="#2F6F5E",
            warn="#8A5A00",
            bad="#A3262A",
        ),
        Theme(
            name="contrast_light",
            dark=False,
            paper="#FFFFFF",
            panel="#FFFFFF",
            ink="#000000",
            soft="#333A40",
            grid="#D4D4D4",
            room="#F1F1F1",
            fresh="#003F7F",
            sea="#1B5500",
            accent="#8A2D00",
            good="#004D3A",
            warn="#5C3A00",
            bad="#8A0010",
        ),
        Theme(
            name="contrast_dark",
            dark=True,
            paper="#000000",
            panel="#000000",
            ink="#FFFFFF",
            soft="#D6DCE0",
            grid="#3A3A3A",
            room="#121212",
            fresh="#8FD0FF",
            sea="#A5F08C",
            accent="#FFB77D",
            good="#8CF0CC",
            warn="#FFD066",
            bad="#FFA09A",
        ),
    )
}

#: Names that ``theme`` knows; "print" is the light theme on white paper.
#: The paper of a scanned plan, which a picture with clear parts is laid on.
BLANK_SHEET = "#FFFFFF"
NAMES = tuple(_THEMES)


def theme(name: str) -> Theme:
    """Return the theme of that name.

    Raises
    ------
    FarcabinError
        The name is none of ``NAMES``.
    """
    try:
        return _THEMES[name]
    except KeyError:
        raise FarcabinError(f"no theme {name!r}; accepted: {', '.join(NAMES)}") from None


def ui_font(px: int = BASE_PX, *, bold: bool = False) -> QFont:
    """Return the system's user interface font with figures of equal width.

    Parameters
    ----------
    px : int
        Height in device-independent pixels.
    bold : bool
        Weight for emphasis.
    """
    font = QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont)
    font.setPixelSize(px)
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def mixed(colour: str, other: str, share: float) -> QColor:
    """Return ``colour`` with ``share`` (0 to 1) of ``other`` in it."""
    a, b = QColor(colour), QColor(other)
    return QColor.fromRgbF(
        a.redF() + (b.redF() - a.redF()) * share,
        a.greenF() + (b.greenF() - a.greenF()) * share,
        a.blueF() + (b.blueF() - a.blueF()) * share,
    )


def palette(theme: Theme) -> QPalette:
    """Return the palette of the panels and menus."""
    role, group = QPalette.ColorRole, QPalette.ColorGroup
    found = QPalette()
    for one, colour in (
        (role.Window, theme.panel),
        (role.WindowText, theme.ink),
        (role.Base, theme.panel),
        (role.AlternateBase, theme.room),
        (role.ToolTipBase, theme.panel),
        (role.ToolTipText, theme.ink),
        (role.PlaceholderText, theme.soft),
        (role.Text, theme.ink),
        (role.Button, theme.panel),
        (role.ButtonText, theme.ink),
        (role.BrightText, theme.bad),
        (role.Link, theme.fresh),
        (role.LinkVisited, theme.fresh),
        (role.Highlight, theme.accent),
        (role.HighlightedText, theme.paper),
        (role.Accent, theme.accent),
        (role.Light, theme.panel),
        (role.Midlight, theme.grid),
        (role.Mid, theme.grid),
        (role.Dark, theme.soft),
        (role.Shadow, theme.ink),
    ):
        found.setColor(one, QColor(colour))
    for one in (role.WindowText, role.Text, role.ButtonText):
        found.setColor(group.Disabled, one, mixed(theme.soft, theme.panel, 0.35))
    return found
