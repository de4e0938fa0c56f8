# SPDX-License-Identifier: MIT
"""The pipe of runs to come: its series, size and insulation, and what it passes through."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.other_rows import ChoiceRow
from app.panels.run_size import series_choices, size_choices
from app.panels.shown import Shown
from app.translation import tr
from app.units import System
from solver.parts.pipe_sizes import pipe_series
from solver.vessel.edits import RunDefaults

_FIELDS = ("series", "size", "insulation", "surroundings")


class PipeForm(Form):
    """Edits what new runs are like.

    Attributes
    ----------
    changed : Signal(RunDefaults)
        Another pipe was chosen.
    pipe : RunDefaults
        As it is.
    """

    changed = Signal(object)

    def __init__(self, pipe: RunDefaults, shown: Shown, parent: QWidget) -> None:
        super().__init__(shown.units, parent)
        self.pipe = pipe
        self.add_heading(tr("Pipe"))
        fields = [field for field in fields_of(RunDefaults) if field.key.partition(".")[0] in _FIELDS]
        self.add_fields(fields, {"series": series_choices(), "size": size_choices([pipe], shown.units)})
        self.committed.connect(self._commit)
        self.show_pipe(pipe)

    def show_pipe(self, pipe: RunDefaults) -> None:
        """Show another pipe."""
        self.pipe = pipe
        size = self.rows["size"]
        assert isinstance(size, ChoiceRow)
        size.set_choices(size_choices([pipe], self._system))
        self.show_structs((pipe,))

    def set_units(self, system: System) -> None:
        super().set_units(system)
        self.show_pipe(self.pipe)

    def _commit(self, field: Field, value: object, _key: object) -> None:
        key, _, inner = field.key.partition(".")
        if inner:
            value = msgspec.structs.replace(getattr(self.pipe, key), **{inner: value})
        pipe = msgspec.structs.replace(self.pipe, **{key: value})
        if key == "series":
            pipe = msgspec.structs.replace(pipe, size=_nearest_size(self.pipe, pipe.series))
        self.show_pipe(pipe)
        self.changed.emit(pipe)


def _nearest_size(pipe: RunDefaults, series: str) -> str:
    """Return the size of another series whose bore is nearest to that of a pipe."""
    bore = next(size.bore_mm for size in pipe_series(pipe.series).sizes if size.size == pipe.size)
    return min(pipe_series(series).sizes, key=lambda size: abs(size.bore_mm - bore)).size
