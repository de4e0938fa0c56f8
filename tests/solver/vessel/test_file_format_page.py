# SPDX-License-Identifier: MIT
"""docs/file_format.md is true: its tables, its example and its refusals are those of the reader."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from solver.errors import FileError
from solver.vessel.components import KINDS
from solver.vessel.file import EXTENSION, parse_vessel
from solver.vessel.key_tables import key_tables, renewed
from solver.vessel.meanings import MEANINGS, meaning
from solver.vessel.saving import PREVIOUS
from solver.vessel.schema import structs

PAGE = Path(__file__).parents[3] / "docs" / "file_format.md"


def page() -> str:
    return PAGE.read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", page(), re.DOTALL)


def test_the_tables_are_those_of_the_structs() -> None:
    assert renewed(page()) == page(), "renew them: python -m solver.vessel.key_tables docs/file_format.md"


def test_every_key_of_every_object_stands_in_a_table() -> None:
    tables = key_tables()
    for kind in structs().values():
        for key in kind.__struct_fields__:
            assert f"| `{key}` |" in tables
    for name in KINDS:
        assert f"### `{name}`" in tables


def test_no_meaning_is_written_for_a_key_that_is_not_there() -> None:
    used = set()
    for kind in structs().values():
        for key in kind.__struct_fields__:
            assert meaning(kind, key)
            used.add(f"{kind.__name__}.{key}" if f"{kind.__name__}.{key}" in MEANINGS else key)
    assert used == set(MEANINGS)


#: Endings of keys and what their meanings say, the longer endings first.
UNITS = {
    "_percent": "[%]",
    "_m3_h": "[m3/h]",
    "_Pa_m": "[Pa/m]",
    "_W_mK": "[W/(m K)]",
    "_g_kg": "[g/kg]",
    "_m_s": "[m/s]",
    "_L_s": "[L/s]",
    "_kPa": "[kPa]",
    "_rpm": "[1/min]",
    "_mm": "[mm]",
    "_kW": "[kW]",
    "_m": "[m]",
    "_C": "[degC]",
    "_L": "[L]",
    "_W": "[W]",
}


def test_the_unit_of_a_key_stands_in_its_meaning() -> None:
    seen = set()
    for kind in structs().values():
        for key in kind.__struct_fields__:
            ending = next((ending for ending in UNITS if key.endswith(ending)), None)
            if ending:
                assert UNITS[ending] in meaning(kind, key), (kind, key)
                seen.add(ending)
    assert seen == set(UNITS)


def test_the_example_reads_and_is_put_in_order_by_a_save() -> None:
    (example,) = blocks("json")
    vessel = parse_vessel(example.encode(), "tern.farcabin")
    assert len(vessel.components) == 5
    assert vessel.runs[1].length_plus_minus_percent == 15.0


def test_the_refusals_shown_are_real() -> None:
    (example,) = blocks("json")
    (shown,) = blocks("text")
    values = json.loads(example)
    values["components"][0]["speed_percent"] = 170
    spoilt = json.loads(example)
    spoilt["runs"][2]["end"] = ["AH-1", "waterin"]
    for spoilt_values, line in zip((values, spoilt), shown.strip().split("\n"), strict=True):
        with pytest.raises(FileError) as caught:
            parse_vessel(json.dumps(spoilt_values).encode(), "tern.farcabin")
        assert str(caught.value).split("\n")[0] == line


def test_names_on_the_page() -> None:
    assert EXTENSION in page()
    assert "NAME.farcabin" + PREVIOUS in page()
