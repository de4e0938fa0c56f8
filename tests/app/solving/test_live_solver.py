# SPDX-License-Identifier: MIT
"""The live solver: when it solves, what it shows meanwhile, and what it says when there is no answer."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from math import inf
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.solving.live_solver import LiveSolver, is_current
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from solver.errors import NotSolvableError
from solver.results import HeatResults, Results
from solver.solve import solve
from solver.vessel.edits import remove, set_field
from solver.vessel.file import write_vessel
from solver.vessel.vessel import Vessel
from tests.app.cooled_loop import cooled_loop
from tests.app.small_loop import small_loop, unsolvable_loop
from tests.solver.small_vessels import sound_vessel


class Bench:
    """A document with its live solver and everything it told."""

    def __init__(
        self,
        solve_with: Callable[..., Results] = solve,
        patience_ms: int = 0,
        sync: bool = True,
        quick_ms: float = inf,
    ) -> None:
        self.asked_heat: list[object] = []
        self.asked: list[tuple[Vessel, Results | None]] = []
        self.document = Document(small_loop())
        self.store = ResultsStore()
        self.worker = Worker(force_sync=sync)

        def noted(vessel: Vessel, *, warm_start: Results | None = None, heat: Any = False) -> Results:
            self.asked.append((vessel, warm_start))
            self.asked_heat.append(heat)
            return solve_with(vessel, warm_start=warm_start, heat=heat)

        self.live = LiveSolver(
            self.document,
            self.store,
            self.worker,
            noted,
            delay_ms=0,
            patience_ms=patience_ms,
            quick_ms=quick_ms,
        )
        self.told: list[tuple[Any, bool, str, tuple[str, ...]]] = []
        self.store.results_changed.connect(lambda *told: self.told.append(told))

    def edit(self, tag: str, field: str, value: object) -> None:
        self.document.edit("Edit", lambda vessel: set_field(vessel, (tag,), field, value))

    def stop(self) -> None:
        self.live.stop()
        self.worker.stop()


@pytest.fixture
def bench(qtbot: QtBot) -> Iterator[Bench]:
    bench = Bench()
    bench.live.solve_now()
    yield bench
    bench.stop()


def test_it_solves_the_vessel_as_it_is(bench: Bench) -> None:
    assert bench.store.results is not None
    assert bench.store.results.vessel is bench.document.vessel
    assert not bench.store.behind
    assert bench.asked[0][1] is None


def test_a_hydraulic_edit_is_solved_from_the_last_results(bench: Bench) -> None:
    first = bench.store.results
    bench.told.clear()
    bench.edit("RV-2", "setting", 4.0)
    assert [behind for _results, behind, _reason, _tags in bench.told] == [True, False]
    assert bench.asked[-1] == (bench.document.vessel, first)
    assert bench.store.results is not first
    assert first is not None
    assert bench.store.results.air_handlers["AH-2"].flow_L_s > first.air_handlers["AH-2"].flow_L_s


@pytest.mark.parametrize(
    ("field", "value"), [("at", (50.0, 210.0)), ("notes", "new impeller"), ("name", "P")]
)
def test_layout_and_text_leave_the_results_valid(bench: Bench, field: str, value: object) -> None:
    results = bench.store.results
    asked = len(bench.asked)
    bench.edit("P-1", field, value)
    assert bench.store.results is results
    assert not bench.store.behind
    assert len(bench.asked) == asked
    assert results is not None
    assert is_current(results, bench.document.vessel)


def test_undo_and_redo_are_solved_too(bench: Bench) -> None:
    before = bench.store.results
    bench.edit("RV-2", "setting", 4.0)
    bench.document.undo()
    assert bench.store.results is not None
    assert before is not None
    flow = bench.store.results.air_handlers["AH-2"].flow_L_s
    assert flow == pytest.approx(before.air_handlers["AH-2"].flow_L_s, rel=1e-6)


def test_a_vessel_without_answer_keeps_the_last_numbers_dimmed_and_says_why(bench: Bench) -> None:
    good = bench.store.results
    bench.document.edit("Remove EX-1", lambda vessel: remove(vessel, ("EX-1",)))
    assert bench.store.results is good
    assert bench.store.behind
    assert bench.store.reason
    assert bench.store.findings
    bench.document.undo()
    assert not bench.store.behind
    assert bench.store.reason == ""


def test_another_vessel_never_shows_the_numbers_of_the_one_before(bench: Bench) -> None:
    bench.told.clear()
    bench.document.show(unsolvable_loop())
    assert bench.store.results is None
    assert all(results is None for results, *_rest in bench.told)
    assert bench.store.reason


def test_an_empty_vessel_is_not_solved(bench: Bench) -> None:
    asked = len(bench.asked)
    bench.document.new()
    assert len(bench.asked) == asked
    assert bench.store.results is None
    assert bench.store.reason == ""


def test_a_defect_of_the_solver_is_told_and_the_next_solve_works(qtbot: QtBot) -> None:
    fails = True

    def fragile(vessel: Vessel, *, warm_start: Results | None = None, heat: Any = False) -> Results:
        if fails:
            raise ZeroDivisionError("by zero")
        return solve(vessel, warm_start=warm_start, heat=heat)

    bench = Bench(fragile)
    bench.live.solve_now()
    assert "ZeroDivisionError" in bench.store.reason
    fails = False
    bench.edit("RV-2", "setting", 4.0)
    assert bench.store.reason == ""
    assert bench.store.results is not None
    bench.stop()


def test_tags_of_the_refusal_are_marked(qtbot: QtBot) -> None:
    def refuse(vessel: Vessel, **_asked: object) -> Results:
        raise NotSolvableError("P-1 is dead-headed", ("P-1",))

    bench = Bench(refuse)
    bench.live.solve_now()
    assert (bench.store.reason, bench.store.tags) == ("P-1 is dead-headed", ("P-1",))
    bench.stop()


def test_quick_answers_are_never_shown_dimmed(qtbot: QtBot) -> None:
    bench = Bench(patience_ms=10_000, sync=False)
    bench.live.solve_now()
    qtbot.waitUntil(lambda: bench.store.results is not None)
    bench.told.clear()
    first = bench.store.results
    for setting in (2.0, 3.0, 4.0):
        bench.edit("RV-2", "setting", setting)
    qtbot.waitUntil(
        lambda: bench.store.results is not None and bench.store.results.vessel is bench.document.vessel
    )
    assert bench.store.results is not first
    assert not any(behind for _results, behind, _reason, _tags in bench.told)
    bench.stop()


def test_a_slow_answer_dims_the_old_numbers(qtbot: QtBot) -> None:
    bench = Bench(patience_ms=1, sync=False)
    bench.live.solve_now()
    qtbot.waitUntil(lambda: bench.store.results is not None)
    bench.told.clear()
    lane = bench.worker
    # Work that keeps the one thread busy for as long as the test wants.
    go_on = threading.Event()
    lane.submit("other", lambda: go_on.wait(10))
    bench.edit("RV-2", "setting", 4.0)
    qtbot.waitUntil(lambda: bench.store.behind)
    go_on.set()
    qtbot.waitUntil(lambda: not bench.store.behind)
    assert bench.store.results is not None
    assert bench.store.results.vessel is bench.document.vessel
    bench.stop()


def test_opening_a_file_solves_it(bench: Bench, tmp_path: Path) -> None:
    path = tmp_path / "boat.farcabin"
    write_vessel(set_field(small_loop(), ("P-1",), "speed_percent", 70.0), path)
    bench.document.open(path)
    assert bench.store.results is not None
    assert bench.store.results.pumps["P-1"].speed_percent == 70.0
    assert bench.asked[-1][1] is None


def test_numbers_during_a_drag_are_of_the_value_then_or_the_last_one_before(qtbot: QtBot) -> None:
    bench = Bench(patience_ms=10_000, sync=False)
    bench.live.solve_now()
    qtbot.waitUntil(lambda: bench.store.results is not None)
    shown: list[tuple[float, float, bool]] = []

    def note(results: Results, behind: bool, _reason: str, _tags: object) -> None:
        pump = bench.document.vessel.component_by_tag["P-1"]
        shown.append((results.pumps["P-1"].speed_percent, pump.speed_percent, behind))

    bench.store.results_changed.connect(note)
    for speed in range(98, 50, -4):
        bench.edit("P-1", "speed_percent", float(speed))
        QCoreApplication.processEvents()
    qtbot.waitUntil(
        lambda: bench.store.results is not None and bench.store.results.vessel is bench.document.vessel
    )
    # The speed only falls: what is shown never runs ahead of the hand, nor back to an earlier answer.
    answered = [results for results, _hand, _behind in shown]
    assert answered == sorted(answered, reverse=True)
    assert all(results >= hand for results, hand, _behind in shown)
    assert shown[-1][:2] == (54.0, 54.0)
    assert not bench.store.behind
    bench.stop()


def test_an_unfinished_circuit_does_not_keep_the_other_from_being_solved(qtbot: QtBot) -> None:
    document, store, worker = Document(), ResultsStore(), Worker(force_sync=True)
    live = LiveSolver(document, store, worker, delay_ms=0, patience_ms=0, quick_ms=inf)
    document.show(remove(sound_vessel(), ("TH-1", "OB-1")))
    assert store.results is not None
    assert store.reason == ""
    assert store.findings[0].rule == "not_solved"
    assert all(each.flow_L_s > 0 for each in store.results.air_handlers.values())
    live.stop()
    worker.stop()


def heated(bench: Bench) -> HeatResults:
    assert bench.store.results is not None
    assert bench.store.results.heat is not None
    return bench.store.results.heat


def test_temperatures_come_with_the_flows_where_that_is_quick(qtbot: QtBot) -> None:
    bench = Bench()
    bench.document.show(cooled_loop())
    assert not bench.store.heat_behind
    before = heated(bench).cabins["C-2"].temp_C
    bench.edit("RV-2", "setting", 4.0)
    assert heated(bench).cabins["C-2"].temp_C < before - 1.0
    assert bench.store.results is not None
    assert is_current(bench.store.results, bench.document.vessel)
    bench.stop()


def test_where_it_is_not_flows_come_first_and_temperatures_when_the_hand_rests(qtbot: QtBot) -> None:
    bench = Bench(quick_ms=0)
    bench.document.show(cooled_loop())
    assert bench.store.results is not None
    assert bench.store.results.heat is None
    assert bench.store.heat_is_old
    qtbot.waitUntil(lambda: not bench.store.heat_behind)
    first, flow = heated(bench), bench.store.results.air_handlers["AH-2"].flow_L_s
    bench.edit("RV-2", "setting", 4.0)
    shown = bench.store.results
    assert shown.vessel is bench.document.vessel
    assert shown.air_handlers["AH-2"].flow_L_s > 1.5 * flow
    # The last temperatures stay, and are told as such.
    assert shown.heat is first
    assert (bench.store.behind, bench.store.heat_behind) == (False, True)
    qtbot.waitUntil(lambda: not bench.store.heat_behind)
    assert heated(bench).cabins["C-2"].temp_C < first.cabins["C-2"].temp_C - 1.0
    # With the water as warm as before the flows were nearly right at once.
    after = bench.store.results.air_handlers["AH-2"].flow_L_s
    assert after == pytest.approx(shown.air_handlers["AH-2"].flow_L_s, rel=1e-2)
    bench.stop()


def test_a_hand_that_goes_on_is_not_held_up_by_temperatures(qtbot: QtBot) -> None:
    bench = Bench(quick_ms=0)
    bench.document.show(cooled_loop())
    qtbot.waitUntil(lambda: not bench.store.heat_behind)
    before = len(bench.asked_heat)
    for setting in (1.5, 2.0, 2.5, 3.0):
        bench.edit("RV-2", "setting", setting)
    assert bench.asked_heat[before:] == ["as_before"] * 4
    qtbot.waitUntil(lambda: not bench.store.heat_behind)
    assert bench.asked_heat[before:] == ["as_before"] * 4 + [True]
    bench.stop()


def test_without_a_balance_the_last_temperatures_stay_dimmed_with_the_reason(qtbot: QtBot) -> None:
    bench = Bench()
    bench.document.show(cooled_loop())
    good = heated(bench)
    # A coil cannot dry air more than it cools it in all: no coil has such a rating.
    bench.edit("AH-1", "capacity_total_kW", 0.5)
    assert bench.store.reason == ""
    assert not bench.store.behind
    assert bench.store.heat_behind
    assert "AH-1" in bench.store.no_heat
    assert heated(bench) is good
    assert bench.store.findings[0].rule == "no_temperatures"
    bench.document.undo()
    assert (bench.store.heat_behind, bench.store.no_heat) == (False, "")
    bench.stop()


def test_without_a_chiller_there_is_nothing_to_dim(bench: Bench) -> None:
    assert bench.store.results is not None
    assert bench.store.results.heat is None
    assert not bench.store.heat_behind
    assert "chiller" in bench.store.no_heat
