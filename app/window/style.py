# SPDX-License-Identifier: MIT
"""The style sheet of the window, made from the theme: hairlines, one spacing unit, no boxes in boxes."""

from __future__ import annotations

from pathlib import Path
from string import Template

from app.theme import HALF_SPACE, HEADLINE_PX, RADIUS, SMALL_PX, SPACE, Theme, mixed

_ICONS = (Path(__file__).parent / "icons").as_posix()

_SHEET = Path(__file__).parent / "style.qss"


def style_sheet(theme: Theme) -> str:
    """Return the style sheet for a theme."""
    return Template(_SHEET.read_text(encoding="utf-8")).substitute(
        small=SMALL_PX,
        headline=HEADLINE_PX,
        space=SPACE,
        space2=2 * SPACE,
        half=HALF_SPACE,
        less=HALF_SPACE - 1,
        less8=SPACE - 1,
        radius=RADIUS,
        icons=_ICONS,
        shade="dark" if theme.dark else "light",
        line=mixed(theme.grid, theme.soft, 0.25).name(),
        handle=mixed(theme.panel, theme.soft, 0.35).name(),
        hover=mixed(theme.panel, theme.grid, 0.6).name(),
        chosen=mixed(theme.panel, theme.accent, 0.18).name(),
        ring=mixed(theme.paper, theme.accent, 0.75).name(),
        faint=mixed(theme.soft, theme.panel, 0.35).name(),
        paper=theme.paper,
        panel=theme.panel,
        ink=theme.ink,
        soft=theme.soft,
        grid=theme.grid,
        room=theme.room,
        accent=theme.accent,
        good=theme.good,
        warn=theme.warn,
        bad=theme.bad,
    )
