# SPDX-License-Identifier: MIT
"""The kinds of value that fields of the vessel hold, with the range each accepts."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta

Tag = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=40,
        # The look-ahead is for regular expressions whose $ also stands before a last line break.
        pattern=r"^[^\s:/\[\]]([^:/\[\]\n\r\t]*[^\s:/\[\]])?$(?!\n)",
        description="a tag of 1 to 40 characters, unique in its vessel; no colon, slash or square bracket, "
        "no space at its ends",
    ),
]
#: The least of what must be above 0: smaller lengths, flows and Kv are slips, and their powers
#: are beyond what a computer can count.
SMALLEST = 1e-6

Positive = Annotated[float, Meta(ge=SMALLEST)]
NonNegative = Annotated[float, Meta(ge=0)]
Percent = Annotated[float, Meta(ge=0, le=100)]
Temperature = Annotated[float, Meta(ge=-60, le=120)]
Point = tuple[float, float]
