# SPDX-License-Identifier: MIT
"""Parts cut out of a vessel as text, and put into one again, the same or another."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from app.translation import tr
from solver.errors import EditError
from solver.vessel.components import AirHandler, AnyComponent, kind_name
from solver.vessel.edits import add, free_tag
from solver.vessel.fields import Point
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel

#: What the clipboard calls a clip.
CLIP_MIME = "application/x-farcabin-clip+json"


class Clip(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parts of a vessel; its runs end at its components, runs that led outside are named in ``left_out``."""

    components: tuple[AnyComponent, ...] = ()
    runs: tuple[Run, ...] = ()
    left_out: tuple[str, ...] = ()


def clip_of(vessel: Vessel, tags: Iterable[str]) -> Clip:
    """Return the components with these tags and the runs between them."""
    wanted = set(tags)
    components = tuple(part for part in vessel.components if part.tag in wanted)
    inside = {part.tag for part in components}
    runs = tuple(run for run in vessel.runs if run.start.tag in inside and run.end.tag in inside)
    left_out = tuple(run.tag for run in vessel.runs if (run.start.tag in inside) != (run.end.tag in inside))
    return Clip(components, runs, left_out)


def clip_text(clip: Clip) -> bytes:
    """Return a clip as JSON."""
    return msgspec.json.encode(clip)


def read_clip(text: bytes) -> Clip:
    """Return the clip in a text.

    Raises
    ------
    EditError
        It is none.
    """
    try:
        return msgspec.json.decode(text, type=Clip)
    except msgspec.DecodeError as error:
        raise EditError(tr("The clipboard holds no parts: {0}").format(error)) from error


def table_of(clip: Clip) -> str:
    """Return a clip as lines of a spreadsheet: tag, kind, name, model; tag, run, size, length in metres."""
    lines = [f"{part.tag}\t{kind_name(part)}\t{part.name}\t{part.model}" for part in clip.components]
    lines += [f"{run.tag}\trun\t{run.size}\t{run.length_m:g}" for run in clip.runs]
    return "\n".join(lines) + "\n"


def middle_of(clip: Clip) -> Point:
    """Return the middle of a clip, on the grid."""
    xs = [part.at[0] for part in clip.components]
    ys = [part.at[1] for part in clip.components]
    return (round((min(xs) + max(xs)) / 20) * 10.0, round((min(ys) + max(ys)) / 20) * 10.0)


def pasted(vessel: Vessel, clip: Clip, dx: float, dy: float) -> tuple[Vessel, tuple[str, ...]]:
    """Return the vessel with a clip put in, moved by so much, and the new tags.

    Every part gets the next free tag of its kind; decks and cabins that the vessel has not are left out.

    Raises
    ------
    EditError
        The parts are not accepted.
    """
    decks = {deck.name for deck in vessel.decks}
    cabins = {cabin.tag for cabin in vessel.cabins}
    before, new_tags = vessel, {}
    for part in clip.components:
        tag = new_tags[part.tag] = free_tag(vessel, kind_name(part))
        changes: dict[str, object] = {"tag": tag, "at": (part.at[0] + dx, part.at[1] + dy)}
        if part.deck not in decks:
            changes["deck"] = ""
        if isinstance(part, AirHandler):
            changes["cabins"] = tuple(cabin for cabin in part.cabins if cabin in cabins)
        vessel = add(vessel, components=(msgspec.structs.replace(part, **changes),))
    for run in clip.runs:
        tag = free_tag(vessel, "run")
        moved = msgspec.structs.replace(
            run,
            tag=tag,
            start=End(new_tags[run.start.tag], run.start.port),
            end=End(new_tags[run.end.tag], run.end.port),
            bends=tuple((x + dx, y + dy) for x, y in run.bends),
        )
        vessel = add(vessel, runs=(moved,))
    added = (*vessel.components[len(before.components) :], *vessel.runs[len(before.runs) :])
    return vessel, tuple(part.tag for part in added)
