# SPDX-License-Identifier: MIT
"""What a pipe's surface does in the air round it, in words: by how far it is from the dew point."""

from __future__ import annotations

from app.translation import tr
from app.units import System, show

#: Below this margin a little more moisture in the air is enough for dew (common practice) [K].
NEAR_K = 1.0


def condensation_words(margin_K: float, system: System) -> str:
    """Return what a margin of surface over dew point means, such as ``drips -1.2 K``.

    Examples
    --------
    >>> condensation_words(-1.2, "si"), condensation_words(0.4, "si"), condensation_words(3.0, "us")
    ('drips -1.2 K', 'near dew point +0.40 K', 'dry +5.4 °F')
    """
    sign = "+" if margin_K > 0 else ""
    figure = sign + show(margin_K, "temperature_difference", system)
    if margin_K < 0:
        return tr("drips {0}").format(figure)
    return (tr("near dew point {0}") if margin_K < NEAR_K else tr("dry {0}")).format(figure)
