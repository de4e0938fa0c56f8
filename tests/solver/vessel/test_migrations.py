# SPDX-License-Identifier: MIT
"""Old formats are brought up to date step by step.

No format older than the first exists; the mechanism is shown with invented ones below it.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from solver.errors import FileError
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.migrations import MIGRATIONS
from solver.vessel.vessel import FORMAT
from tests.solver.vessel.boats import line


def from_litres_a_second(values: dict[str, Any]) -> dict[str, Any]:
    """Turn an invented format 0 into 1: it wrote ``flow_lps`` for ``flow_L_s``."""
    components = [
        {("flow_L_s" if key == "flow_lps" else key): value for key, value in component.items()}
        for component in values["components"]
    ]
    return {**values, "components": components}


def from_parts(values: dict[str, Any]) -> dict[str, Any]:
    """Turn an invented format -1 into 0: it wrote ``parts`` for ``components``."""
    rest = {key: value for key, value in values.items() if key != "parts"}
    return {**rest, "components": values["parts"]}


VALVE = {"kind": "constant_flow_valve", "tag": "CF-1", "flow_lps": 0.4}


def old_file(number: int, **keys: Any) -> bytes:
    return json.dumps({"format": number, "name": "Tern", **keys}).encode()


def test_every_format_since_the_first_can_be_read() -> None:
    assert sorted(MIGRATIONS) == list(range(1, FORMAT))


def test_an_old_format_is_brought_up_to_date(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(MIGRATIONS, 0, from_litres_a_second)
    vessel = parse_vessel(old_file(0, components=[VALVE]), "old.farcabin")
    assert vessel.format == FORMAT
    assert vessel.components[0].flow_L_s == 0.4
    assert b'"format": 1' in format_vessel(vessel)


def test_steps_follow_each_other(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(MIGRATIONS, 0, from_litres_a_second)
    monkeypatch.setitem(MIGRATIONS, -1, from_parts)
    vessel = parse_vessel(old_file(-1, parts=[VALVE]), "old.farcabin")
    assert vessel.components[0].flow_L_s == 0.4


def test_a_present_file_meets_no_migration(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(values: dict[str, Any]) -> dict[str, Any]:
        raise AssertionError(values)

    monkeypatch.setitem(MIGRATIONS, 0, never)
    assert parse_vessel(format_vessel(line()), "x") == line()


def test_what_is_wrong_after_the_steps_is_told_as_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(MIGRATIONS, 0, from_litres_a_second)
    with pytest.raises(FileError) as caught:
        parse_vessel(old_file(0, components=[{**VALVE, "flow_lps": -1}]), "old.farcabin")
    assert caught.value.place == "components[0] (CF-1).flow_L_s"


@pytest.mark.parametrize("keys", [{}, {"components": 3}, {"components": [3]}, {"components": {"a": 1}}])
def test_an_old_file_that_does_not_follow_its_format(
    keys: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(MIGRATIONS, 0, from_litres_a_second)
    with pytest.raises(FileError, match="the values do not make sense in format 0") as caught:
        parse_vessel(old_file(0, **keys), "old.farcabin")
    assert caught.value.accepted == "a file that follows format 0"


def test_the_accepted_formats_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(MIGRATIONS, 0, from_litres_a_second)
    with pytest.raises(FileError) as caught:
        parse_vessel(old_file(-1), "old.farcabin")
    assert caught.value.accepted == f"a whole number from 0 to {FORMAT}"
