# SPDX-License-Identifier: MIT
"""The edit that takes a component out of a run and makes the two runs at it one."""

from __future__ import annotations

import msgspec

from solver.errors import EditError
from solver.vessel.components import AnyComponent, Tee
from solver.vessel.edits.adding import without_mentions
from solver.vessel.edits.following import is_pinned, rerouted
from solver.vessel.edits.locking import refuse_locked
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction
from solver.vessel.parts import checked, find, run_tags_at, with_lists
from solver.vessel.run import Fitting, Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Cabin, Vessel

#: From the best known to the least.
_HOW_KNOWN = ("measured", "drawing", "guessed", "assumed")


def heal(vessel: Vessel, tag: str) -> Vessel:
    """Return the vessel without a component that stands in a run, its two runs made one.

    The joined run keeps the tag of the run before the component and is drawn as both were; where the
    program found the way of both, it finds one anew.  Lengths, rises, fittings and extra losses add up.
    Readings and changes of the component and of the other run go.  A tee may have a port without a run.

    Raises
    ------
    EditError
        The component is not between exactly two runs, has other ports than theirs (but for a tee), is
        locked, or the runs differ in size.
    """
    component = find(vessel, (tag,))[tag].part
    if isinstance(component, Run | Cabin):
        raise EditError(f"{tag} is not a component", (tag,))
    lines = Lines(vessel)
    lines.heal(component)
    return lines.healed()


class Lines:
    """The runs of a vessel while components are taken out of them, one after the other.

    Many at once cost little more than one: the vessel is made anew only by ``healed``.
    """

    def __init__(self, vessel: Vessel):
        self._vessel = vessel
        self._runs = dict(vessel.run_by_tag)
        self._position = {tag: position for position, tag in enumerate(self._runs)}
        self._at: dict[str, set[str]] = {}
        self._gone: set[str] = set()

    def runs_at(self, component: AnyComponent) -> list[Run]:
        """Return the runs that end at a component now, in file order."""
        return [self._runs[tag] for tag in sorted(self._tags_at(component), key=self._position.__getitem__)]

    def take_out(self, component: AnyComponent) -> None:
        """Take a component out with the runs that still end at it; ``EditError`` if one is locked."""
        runs = self.runs_at(component)
        refuse_locked((component, *runs), "removed")
        for run in runs:
            self._take_out_run(run)
        self._gone.add(component.tag)

    def heal(self, component: AnyComponent) -> None:
        """Take a component out and make the two runs at it one; raises as ``heal`` of a vessel does."""
        tag, runs = component.tag, self.runs_at(component)
        refuse_locked((component,), "removed")
        if (len(component.ports) != 2 and not isinstance(component, Tee)) or len(runs) != 2:
            text = f"it has {len(component.ports)} ports, {len(runs)} runs"
            raise EditError(f"{tag} does not stand between two runs ({text})", (tag,))
        # Joined in the direction of a run that comes in, so that its sign of flow stays.
        before, after = runs if runs[0].end.tag == tag else (runs[1], runs[0])
        tags = (tag, before.tag, after.tag)
        if not are_alike(before, after):
            sizes = f"{before.tag} is {before.series} {before.size}, {after.tag} {after.series} {after.size}"
            raise EditError(f"one run has one size: {sizes}; make them alike first", tags)
        if before.start.tag == tag:
            before = _reversed(before)
        if after.end.tag == tag:
            after = _reversed(after)
        bends = before.bends + _corner(component, before.end.port, after.start.port) + after.bends
        routed = bool(bends) and not is_pinned(before) and not is_pinned(after)
        joined = _joined(before, after, has_height=component.height_m is not None)
        joined = checked(msgspec.structs.replace(joined, bends=bends, routed=routed), joined.tag, tags)
        self._take_out_run(after)
        self._runs[joined.tag] = joined
        for end in (joined.start, joined.end):
            self._tags_at(self._vessel.component_by_tag[end.tag]).add(joined.tag)
        self._gone.add(tag)

    def healed(self) -> Vessel:
        """Return the vessel with what was done; runs whose way the program found are led anew."""
        if not self._gone:
            return self._vessel
        components = [part for part in self._vessel.components if part.tag not in self._gone]
        changed = with_lists(self._vessel, {"components": components, "runs": self._runs.values()})
        changed = without_mentions(changed, self._gone)
        before = self._vessel.run_by_tag
        joined = [run for run in self._runs.values() if run is not before[run.tag]]
        anew = [run.tag for run in joined if not is_pinned(run)]
        return measured(rerouted(changed, anew))

    def _tags_at(self, component: AnyComponent) -> set[str]:
        if component.tag not in self._at:
            self._at[component.tag] = run_tags_at(self._vessel, component)
        return self._at[component.tag]

    def _take_out_run(self, run: Run) -> None:
        for end in (run.start, run.end):
            self._tags_at(self._vessel.component_by_tag[end.tag]).discard(run.tag)
        del self._runs[run.tag]
        self._gone.add(run.tag)


def are_alike(one: Run, other: Run) -> bool:
    """Return whether two runs are of one pipe, so that they can be made one."""
    return (one.series, one.size) == (other.series, other.size)


def _corner(component: AnyComponent, into: str, out: str) -> tuple[Point, ...]:
    """Return the bend that is left where a component with two ports at a right angle stood."""
    one, other = port_direction(component, into), port_direction(component, out)
    return (component.at,) if one[0] * other[0] + one[1] * other[1] == 0 else ()


def _reversed(run: Run) -> Run:
    rise = None if run.rise_m is None else -run.rise_m
    return msgspec.structs.replace(run, start=run.end, end=run.start, rise_m=rise, bends=run.bends[::-1])


def _joined(before: Run, after: Run, has_height: bool) -> Run:
    length = before.length_m + after.length_m
    unsure = before.length_m * before.length_plus_minus_percent
    unsure += after.length_m * after.length_plus_minus_percent
    counts: dict[str, int] = {}
    for fitting in before.fittings + after.fittings:
        counts[fitting.kind] = counts.get(fitting.kind, 0) + fitting.count
    return msgspec.structs.replace(
        before,
        end=after.end,
        length_m=length,
        length_known=max(before.length_known, after.length_known, key=_HOW_KNOWN.index),
        length_plus_minus_percent=min(unsure / length, 100.0),
        rise_m=_joined_rise(before.rise_m, after.rise_m, has_height),
        fittings=tuple(Fitting(kind, count) for kind, count in counts.items()),
        fittings_known=before.fittings_known if before.fittings_known == after.fittings_known else "typed",
        extra_k=before.extra_k + after.extra_k,
        insulation=before.insulation if before.insulation == after.insulation else None,
        service=before.service if before.service == after.service else "",
        locked=before.locked or after.locked,
        notes="\n".join(notes for notes in (before.notes, after.notes) if notes),
    )


def _joined_rise(before: float | None, after: float | None, has_height: bool) -> float | None:
    """Add up rises; a rise that came from the removed component's height is unknown again."""
    if before is not None and after is not None:
        return before + after
    if has_height or (before is None and after is None):
        return None
    return before if after is None else after
