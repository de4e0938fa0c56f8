# SPDX-License-Identifier: MIT
"""U-values of constructions against the resistances of ISO 6946 and well-known glazing."""

from __future__ import annotations

import pytest

from solver.parts.constructions import CONDUCTIVITY, CONSTRUCTIONS, GAP, INSIDE_FILM, OUTDOOR_FILM, u_value
from solver.vessel.cabin import GLASS, USUAL


@pytest.mark.reference
@pytest.mark.parametrize(
    ("layers", "expected", "allowed"),
    [
        # EN 673 values for uncoated float glass: 4 mm single 5.8, 4-12-4 with air 2.9 W/(m2 K).
        ([("glass", 4.0)], 5.8, 0.1),
        ([("glass", 4.0), ("pane gap", 0.0), ("glass", 4.0)], 2.9, 0.1),
    ],
)
def test_glazing(layers: list[tuple[str, float]], expected: float, allowed: float) -> None:
    resistance = sum(
        GAP.get(material, mm / 1000.0 / CONDUCTIVITY.get(material, 1.0)) for material, mm in layers
    )
    assert u_value(resistance, INSIDE_FILM["across"], OUTDOOR_FILM) == pytest.approx(expected, abs=allowed)


@pytest.mark.reference
def test_resistances_in_series_by_hand() -> None:
    # ISO 6946: 0.13 + 0.006/50 + 0.050/0.038 + 0.18 + 0.006/0.13 + 0.04 = 1.7121 m2 K/W.
    made = CONSTRUCTIONS["steel_insulated"]
    assert u_value(made.resistance, 0.13, 0.04) == pytest.approx(1.0 / 1.71206, rel=1e-4)


def test_every_layer_is_known_and_shares_are_shares() -> None:
    for name, made in CONSTRUCTIONS.items():
        assert all(material in CONDUCTIVITY or material in GAP for material, _ in made.layers), name
        assert 0.0 < made.absorptance <= 1.0
        assert 0.0 <= made.solar_gain < 1.0
        assert made.resistance > 0.0


def test_usual_constructions_fit_their_kind() -> None:
    for kind, usual in USUAL.items():
        assert (CONSTRUCTIONS[usual.construction].solar_gain > 0.0) == (kind in GLASS)


def test_more_insulation_passes_less() -> None:
    outside = [CONSTRUCTIONS[name] for name in ("steel_bare", "steel_insulated", "bulkhead_fire_steel")]
    values = [u_value(made.resistance, 0.13, 0.04) for made in outside]
    assert values == sorted(values, reverse=True)
