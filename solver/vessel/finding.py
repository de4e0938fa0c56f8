# SPDX-License-Identifier: MIT
"""Finding parts by what the user types: a tag or a piece of one, a name, a kind, a model."""

from __future__ import annotations

import re

from solver.vessel.components import kind_name
from solver.vessel.parts import Part
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel

_NOUGHTS = re.compile(r"(?<!\d)0+(?=\d)")


def find_tags(vessel: Vessel, text: str) -> list[str]:
    """Return the tags of parts that a text fits, the best first.

    The tag itself comes before tags that begin with the text, then names, then tags and names that
    have it inside, then kinds, models and notes.  Capitals do not matter, nor do spaces, dashes and
    leading noughts in tags: ``ah3`` finds AH-03.  Among equals the order is that of the vessel.

    Examples
    --------
    >>> from solver.vessel.components import Tee
    >>> find_tags(Vessel(name="Tern", components=(Tee(tag="T-12"), Tee(tag="T-1"))), "t1")
    ['T-1', 'T-12']
    """
    wanted, plain = text.casefold().strip(), _plain(text)
    if not wanted:
        return []
    ranked: list[tuple[int, int, str]] = []
    parts: tuple[Part, ...] = (*vessel.components, *vessel.runs, *vessel.cabins)
    for number, part in enumerate(parts):
        rank = _rank(part, wanted, plain)
        if rank is not None:
            ranked.append((rank, number, part.tag))
    return [tag for _, _, tag in sorted(ranked)]


def _rank(part: Part, wanted: str, plain: str) -> int | None:
    tag, name = part.tag.casefold(), "" if isinstance(part, Run) else part.name.casefold()
    plain_tag = _plain(part.tag)
    rules = (
        tag == wanted,
        bool(plain) and plain_tag == plain,
        name == wanted,
        tag.startswith(wanted) or (bool(plain) and plain_tag.startswith(plain)),
        name.startswith(wanted),
        any(word.startswith(wanted) for word in name.split()),
        wanted in tag,
        wanted in name,
        any(wanted in words for words in _more_words(part)),
    )
    return next((rank for rank, fits in enumerate(rules) if fits), None)


def _more_words(part: Part) -> tuple[str, ...]:
    if isinstance(part, Run):
        return ("run", part.service, part.size.casefold(), part.notes.casefold())
    if isinstance(part, Cabin):
        return ("cabin", part.notes.casefold())
    kind = kind_name(part).replace("_", " ")
    return (kind, part.model.casefold(), part.notes.casefold())


def _plain(text: str) -> str:
    """Return a tag's letters and digits alone, numbers without leading noughts."""
    return _NOUGHTS.sub("", "".join(letter for letter in text.casefold() if letter.isalnum()))
