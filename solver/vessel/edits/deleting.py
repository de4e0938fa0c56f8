# SPDX-License-Identifier: MIT
"""Deleting as a user means it: runs close again where parts stood in them and where branches ended."""

from __future__ import annotations

from collections.abc import Iterable

from solver.errors import EditError
from solver.vessel.components import AnyComponent, Component, Tee
from solver.vessel.edits.adding import remove
from solver.vessel.edits.cutting import half_length
from solver.vessel.edits.healing import Lines, are_alike
from solver.vessel.edits.locking import refuse_locked, refuse_locked_runs_at
from solver.vessel.parts import find, run_tags_at
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel


def delete(vessel: Vessel, tags: Iterable[str]) -> Vessel:
    """Return the vessel without some parts, its runs healed.

    A part in line goes and its two runs become one, unless one of them goes too.  A tee that is left
    with two runs goes as well if they are of one size, a tee left with none goes always.  Other
    components take the runs at them along.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    tags : iterable of str
        Components, runs or cabins.

    Raises
    ------
    EditError
        A tag belongs to no part, a part is locked, or a part in line stands between two sizes of pipe.
    """
    found = find(vessel, tags)
    refuse_locked((where.part for where in found.values()), "removed")
    chosen = [where.part for where in found.values() if isinstance(where.part, Component)]
    gone_runs = {tag for tag, where in found.items() if where.key == "runs"}
    in_line = {part.tag for part in chosen if _is_in_line(part) and len(run_tags_at(vessel, part)) == 2}
    gone = {part.tag for part in chosen} - in_line
    while True:
        gone_runs |= {run.tag for run in vessel.runs if run.start[0] in gone or run.end[0] in gone}
        caught = {tag for tag in in_line if gone_runs & run_tags_at(vessel, vessel.component_by_tag[tag])}
        if not caught:
            break
        in_line -= caught
        gone |= caught
    refuse_locked_runs_at(vessel, gone, "removed")
    tees = _tees_at(vessel, gone_runs) - gone
    cabins = [tag for tag, where in found.items() if where.key == "cabins"]
    changed = remove(vessel, [*gone, *gone_runs, *cabins])
    lines = Lines(changed)
    for part in chosen:
        if part.tag in in_line:
            _heal(lines, part)
    for tag in sorted(tees):
        _take_out_if_idle(lines, vessel.component_by_tag[tag])
    return lines.healed()


def _heal(lines: Lines, part: AnyComponent) -> None:
    """Take a part in line out; one in a ring of its own goes with the run."""
    runs = lines.runs_at(part)
    if len(runs) < 2:
        lines.take_out(part)
        return
    first, second = runs
    if not are_alike(first, second):
        raise EditError(
            f"{part.tag} stands between {_pipe(first)} and {_pipe(second)}, and one run has one size; "
            f"make them alike first, or delete one of them with it",
            (part.tag, first.tag, second.tag),
        )
    lines.heal(part)


def _take_out_if_idle(lines: Lines, tee: AnyComponent) -> None:
    """Take a tee out that branches nothing any more, unless it joins two sizes of pipe."""
    runs = lines.runs_at(tee)
    if tee.locked:
        return
    if not runs:
        lines.take_out(tee)
    elif len(runs) == 2 and are_alike(*runs):
        lines.heal(tee)


def _is_in_line(component: Component) -> bool:
    return len(component.ports) == 2 and half_length(component) is not None


def _tees_at(vessel: Vessel, runs: set[str]) -> set[str]:
    ends = {end.tag for tag in runs for end in (vessel.run_by_tag[tag].start, vessel.run_by_tag[tag].end)}
    return {tag for tag in ends if isinstance(vessel.component_by_tag[tag], Tee)}


def _pipe(run: Run) -> str:
    return f"{run.tag} ({run.size})"
