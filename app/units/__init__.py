# SPDX-License-Identifier: MIT
"""The only converter between the units of the document and those a person reads and types.

Documents and results keep one unit a quantity, named in the field (``flow_L_s``).  The window and the
command line show SI or US customary, and take whatever unit of the right kind is typed: ``3.2 gpm``,
``1 1/2 in``, ``3+2 m``, ``0,5 bar``.  A difference of temperature is a quantity of its own.
"""

from app.units.quantities import System, UnitError, quantity_of, to_document, to_shown, unit
from app.units.showing import NONE_TEXT, clock, entry, number, show
from app.units.typed import parse

__all__ = [
    "NONE_TEXT",
    "System",
    "UnitError",
    "clock",
    "entry",
    "number",
    "parse",
    "quantity_of",
    "show",
    "to_document",
    "to_shown",
    "unit",
]
