# SPDX-License-Identifier: MIT
"""Clips of a vessel as text: for the clipboard's own kind of data, and as lines of a spreadsheet."""

from __future__ import annotations

import msgspec

from app.translation import tr
from solver.errors import EditError
from solver.vessel.components import kind_name
from solver.vessel.edits import Clip

#: What the clipboard calls a clip.
CLIP_MIME = "application/x-farcabin-clip+json"


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
    lines += [f"{cabin.tag}\tcabin\t{cabin.name}\t" for cabin in clip.cabins]
    lines += [f"{run.tag}\trun\t{run.size}\t{run.length_m:g}" for run in clip.runs]
    return "\n".join(lines) + "\n"
