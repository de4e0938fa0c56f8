# SPDX-License-Identifier: MIT
"""The tables that ship are those the script makes."""

import json

import numpy as np
import pytest

from solver.media.fit_tables import DATA, LETTERS, RECIPES, make


@pytest.mark.regression
@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.kind)
def test_the_script_makes_the_tables_that_ship(recipe):
    shipped = json.loads((DATA / f"{recipe.kind}.json").read_text(encoding="utf-8"))
    lines: list[str] = []
    made = make(recipe, lines.append)
    assert list(made) == list(shipped)
    for quantity in LETTERS:
        scale = np.max(np.abs(shipped[quantity]))
        np.testing.assert_allclose(made[quantity], shipped[quantity], rtol=0, atol=1e-10 * scale)
    assert [line.split(":")[0] for line in lines] == [f"{recipe.kind} {quantity}" for quantity in LETTERS]
    assert all(float(line.split(":")[1]) < 2e-8 for line in lines)
