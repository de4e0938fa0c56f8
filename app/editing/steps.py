# SPDX-License-Identifier: MIT
"""The undo stack: a list of vessels with the name of the step that led to each.

Nothing has to be reversed, because a vessel is a value: undo shows an older one, redo a newer one.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from solver.vessel.vessel import Vessel


@dataclass(frozen=True)
class Step:
    """A vessel, what was done to get it, and the key under which further edits merge into it."""

    name: str
    vessel: Vessel
    merge_key: Hashable = None


class Steps:
    """An unlimited stack of steps with a mark at the saved one.

    Parameters
    ----------
    vessel : Vessel
        What the stack starts from; it cannot be undone.
    clean : bool
        Whether that first vessel is as it is on disk.
    """

    def __init__(self, vessel: Vessel, clean: bool = True) -> None:
        self._steps = [Step("", vessel)]
        self._at = 0
        self._clean_at: int | None = 0 if clean else None

    def __len__(self) -> int:
        """Number of steps that can be undone or redone."""
        return len(self._steps) - 1

    @property
    def vessel(self) -> Vessel:
        """The vessel shown."""
        return self._steps[self._at].vessel

    @property
    def undo_name(self) -> str:
        """Name of the step that undo would take back; empty if there is none."""
        return self._steps[self._at].name if self._at > 0 else ""

    @property
    def redo_name(self) -> str:
        """Name of the step that redo would make again; empty if there is none."""
        return self._steps[self._at + 1].name if self._at + 1 < len(self._steps) else ""

    @property
    def is_clean(self) -> bool:
        """Whether the vessel shown is the saved one."""
        return self._at == self._clean_at

    def push(self, name: str, vessel: Vessel, merge_key: Hashable = None) -> None:
        """Put a vessel on top; what could be redone is gone.

        A step whose key is the key of the step shown takes its place, unless that step is the saved one:
        then the way back to what is on disk has to stay.
        """
        merges = (
            merge_key is not None
            and merge_key == self._steps[self._at].merge_key
            and self._at != self._clean_at
            and self._at == len(self._steps) - 1
        )
        if self._clean_at is not None and self._clean_at > self._at:
            self._clean_at = None
        del self._steps[self._at + (0 if merges else 1) :]
        self._steps.append(Step(name, vessel, merge_key))
        self._at = len(self._steps) - 1

    def undo(self) -> bool:
        """Show the vessel before; False if there is none."""
        if self._at == 0:
            return False
        self._at -= 1
        return True

    def redo(self) -> bool:
        """Show the vessel after; False if there is none."""
        if self._at + 1 >= len(self._steps):
            return False
        self._at += 1
        return True

    def mark_clean(self) -> None:
        """Remember the vessel shown as the saved one."""
        self._clean_at = self._at
