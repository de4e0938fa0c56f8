# SPDX-License-Identifier: MIT
"""New components with figures to begin with, and tags for several new parts."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.errors import EditError, PartError
from solver.vessel import edits
from solver.vessel.components import KINDS, kind_name
from solver.vessel.edits.tags import free_tags
from solver.vessel.parts_list import read_parts_list
from solver.vessel.vessel import Vessel
from tests.solver.vessel.drawings import drawn, part, refused

ROOM = drawn(part("AH-3", "air_handler", (0, 0)), part("T-1", "tee", (100, 0)))


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_made_and_placed_as_it_is(kind: str) -> None:
    made = edits.new_component(ROOM, kind, (300, 200), turn=3, deck="Main")
    assert (kind_name(made), made.at, made.turn, made.deck) == (kind, (300, 200), 3, "Main")
    assert made.tag == edits.free_tag(ROOM, kind)
    assert edits.place(ROOM, made).components[-1] is not None


def test_a_model_is_that_of_the_parts_list() -> None:
    made = edits.new_component(ROOM, "air_handler", (0, 0), model="Air handler 3.5 kW")
    assert made.model == "Air handler 3.5 kW"
    with pytest.raises(PartError, match="Air handler 99 kW"):
        edits.new_component(ROOM, "air_handler", (0, 0), model="Air handler 99 kW")


def test_without_a_model_it_is_the_size_of_the_pipe_or_a_middling_one() -> None:
    models = [row.model for row in read_parts_list().of_kind("regulating_valve")]
    sizes = {int(model.split("DN ")[1].split()[0]) for model in models}
    for bore in (13.0, 21.0, 60.0):
        made = edits.new_component(ROOM, "regulating_valve", (0, 0), bore_mm=bore)
        nominal = int(made.model.split("DN ")[1].split()[0])
        assert abs(nominal - bore) == min(abs(size - bore) for size in sizes)
    assert edits.new_component(ROOM, "regulating_valve", (0, 0)).model == models[len(models) // 2]


def test_a_list_of_ones_own_that_lacks_a_kind_leaves_it_to_the_one_that_ships(tmp_path: Path) -> None:
    shipped = read_parts_list()
    own = tmp_path / "own.csv"
    lines = Path(shipped.path).read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if "circulation_pump" not in line]
    own.write_text("\n".join(kept) + "\n", encoding="utf-8")
    made = edits.new_component(ROOM, "circulation_pump", (0, 0), parts=read_parts_list(own))
    assert made.model == edits.new_component(ROOM, "circulation_pump", (0, 0)).model


def test_a_kind_that_is_not_known() -> None:
    error = refused(edits.new_component, ROOM, "air_handlr", (0, 0))
    assert str(error) == 'no kind of component is called "air_handlr"; accepted: air_handler? one of ' + (
        ", ".join(KINDS)
    )


def test_two_parts_do_not_stand_at_one_place() -> None:
    error = refused(edits.place, ROOM, part("T-2", "tee", (100, 0)))
    assert str(error) == "T-1 stands there already"
    assert error.tags == ("T-1",)


def test_tags_for_several_new_parts_go_on_from_each_other() -> None:
    assert free_tags(ROOM, ["air_handler", "tee", "air_handler", "run", "tee"]) == [
        "AH-4",
        "T-2",
        "AH-5",
        "R-1",
        "T-3",
    ]
    noughts = Vessel(name="x", components=(part("AH-009", "air_handler", (0, 0), deck=""),))
    assert free_tags(noughts, ["air_handler", "air_handler"]) == ["AH-010", "AH-011"]
    with pytest.raises(EditError, match="no kind of part is called"):
        free_tags(ROOM, ["cabin", "cabn"])
