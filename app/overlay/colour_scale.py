# SPDX-License-Identifier: MIT
"""Colours of values: a one-sided map and one for deviations, each for light and for dark paper.

One-sided: cividis (Nuñez, Anderton & Renslow 2018, PLoS ONE 13(7) e0199239), clipped at the end that
would vanish on the paper, and turned so that more stands out more.  Deviations: brown to blue over a
neutral middle, straight lines in Oklab (Ottosson 2020, bottosson.github.io/posts/oklab) between three
colours, both ends equally light.  Every colour keeps a contrast of 3 to the paper (WCAG 2.2, 1.4.11).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

import numpy as np

#: Colours a map is drawn in; few enough that runs of one colour are painted together.
STEPS = 24

# Samples of cividis at equal distances; for light paper its lower 19/32, for dark its upper 19/32.
# fmt: off
_CIVIDIS_LOW = [
    "#00224E", "#00285B", "#002E6A", "#053371", "#1A386F", "#273E6E", "#32436D", "#3B496C",
    "#434E6C", "#4B546C", "#535A6D", "#5A5F6E", "#61656F", "#686A71", "#6F7073", "#767676",
    "#7D7C78", "#848279", "#8C8878", "#938E78",
]
_CIVIDIS_HIGH = [
    "#686A71", "#6F7073", "#767676", "#7D7C78", "#848279", "#8C8878", "#938E78", "#9B9476",
    "#A39A74", "#ABA072", "#B4A76F", "#BCAE6C", "#C4B468", "#CDBB63", "#D5C25E", "#DEC958",
    "#E7D150", "#F0D846", "#F9E03A", "#FEE838",
]
_DEVIATION_LIGHT = [
    "#7B3A00", "#7D4419", "#7F4D2A", "#815739", "#826048", "#846955", "#847163", "#857A70",
    "#85837E", "#787D82", "#6A7786", "#5D708A", "#4F6A8D", "#426390", "#335C92", "#235494",
    "#0E4C96",
]
_DEVIATION_DARK = [
    "#EBA35C", "#DD9E62", "#CF9966", "#C0946A", "#B28F6D", "#A48A70", "#968472", "#887F74",
    "#7A7976", "#7B8186", "#7C8A95", "#7D92A5", "#7D9AB5", "#7DA2C5", "#7DAAD6", "#7DB3E6",
    "#7CBBF7",
]

# fmt: on

#: Of temperatures the cold end is the blue one, and of dry to wet the wet one, as people expect.
Kind = Literal["one_sided", "deviation", "cold_to_warm", "wet_to_dry"]

_TABLES: dict[tuple[Kind, bool], list[str]] = {
    ("one_sided", False): _CIVIDIS_LOW[::-1],
    ("one_sided", True): _CIVIDIS_HIGH,
    ("deviation", False): _DEVIATION_LIGHT,
    ("deviation", True): _DEVIATION_DARK,
    ("cold_to_warm", False): _CIVIDIS_LOW,
    ("cold_to_warm", True): _CIVIDIS_HIGH,
    ("wet_to_dry", False): _DEVIATION_LIGHT[::-1],
    ("wet_to_dry", True): _DEVIATION_DARK[::-1],
}


class Limits(NamedTuple):
    """Limits of a quantity; None where there is none."""

    low: float | None = None
    high: float | None = None


class ColourScale:
    """Colours for values from ``low`` to ``high``; values outside take the colour of the end.

    Parameters
    ----------
    kind : {"one_sided", "deviation", "cold_to_warm", "wet_to_dry"}
    low, high : float
        Values at the ends; equal ends give one colour.
    dark : bool
        For dark paper.
    """

    def __init__(self, kind: Kind, low: float, high: float, *, dark: bool) -> None:
        self.kind, self.low, self.high = kind, low, high
        table = _TABLES[kind, dark]
        self.colours = tuple(_between(table, step / (STEPS - 1)) for step in range(STEPS))

    def steps(self, values: Iterable[float]) -> list[int]:
        """Return which of the ``colours`` each value has."""
        if self.high <= self.low:
            middle = STEPS - 1 if self.kind == "one_sided" else STEPS // 2
            return [middle for _ in values]
        shares = (np.fromiter(values, float) - self.low) / (self.high - self.low)
        steps: list[int] = np.rint(np.clip(shares, 0.0, 1.0) * (STEPS - 1)).astype(int).tolist()
        return steps

    def colour(self, value: float) -> str:
        """Return the colour of a value as ``#RRGGBB``."""
        return self.colours[self.steps((value,))[0]]


def contrast(colour: str, other: str) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""
    light, dark = sorted((_luminance(colour), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _between(table: list[str], share: float) -> str:
    """Return the colour at a share of a table, on the straight line between its neighbours."""
    at = share * (len(table) - 1)
    index = min(int(at), len(table) - 2)
    part = at - index
    mixed = (
        round(int(table[index][c : c + 2], 16) * (1 - part) + int(table[index + 1][c : c + 2], 16) * part)
        for c in (1, 3, 5)
    )
    return "#" + "".join(f"{one:02X}" for one in mixed)
