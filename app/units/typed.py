# SPDX-License-Identifier: MIT
"""What a person types, read as a value of the document.

Numbers are read the same way everywhere: a point is the decimal sign; so is a single comma, unless
exactly three digits follow it, which could mean thousands and is asked about.  Fractions
(``1 1/2``, ``1-1/2``), sums (``3+2 m``) and feet with inches (``6 ft 2 in``) are understood.
"""

from __future__ import annotations

import math
import re
import unicodedata
from typing import NamedTuple

from app.units.quantities import Quantity, System, UnitError, find_quantity, scale_and_offset, unit
from app.units.tables import KINDS, SPELLINGS, TWO_GALLONS, plain_spelling

_VULGAR_FRACTION = re.compile(r"(?<=\d)(?=[¼-¾⅐-⅞])")
_COEFFICIENT_FIRST = re.compile(r"^\s*(kv|cv)\s*=?\s*(?=\d)(.*)$", re.IGNORECASE)
_SIGN = re.compile(r"\s*([+-])\s*")
_NUMBER = re.compile(
    r"\s*(?:(?P<whole>\d+)(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?![\d.,])"
    r"|\s*(?P<plain>\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?![\d.,])|(?:\d[\d.,]*|[.,]\d+)(?:e[+-]?\d+)?)",
    re.IGNORECASE,
)


def _unit_pattern(spelling: str) -> str:
    parts = []
    for character in re.sub(r"\s+", " ", spelling):
        if character == " ":
            parts.append(r"\s*")
        elif character == "/":
            parts.append(r"(?:\s*/\s*|\s+per\s+)")
        else:
            parts.append(re.escape(character))
    return "".join(parts)


def _all_spellings() -> list[str]:
    names = [name for _, units in KINDS.values() for key in units for name in key.split("|")]
    return sorted({*names, *TWO_GALLONS}, key=len, reverse=True)


_UNIT = re.compile(
    r"\s*(?P<unit>" + "|".join(_unit_pattern(name) for name in _all_spellings()) + r")(?![\w/%°])",
    re.IGNORECASE,
)
# A foot or inch mark may be followed by the next figure at once, as in 6'2".
_MARK = re.compile(r"\s*(?P<unit>''|′′|\"|″|'|′)")


_LONGEST = 80


class _Term(NamedTuple):
    figure: float
    unit: str


def parse(text: str, quantity: str, system: System) -> float:
    """Read what was typed as a value of the document.

    Parameters
    ----------
    text : str
        A number, a fraction or a sum, with any unit of the right kind; without a unit it is in
        the unit shown.
    quantity : str
        As ``quantity_of`` gives it.
    system : {"si", "us"}
        Says what a number without a unit is in.

    Returns
    -------
    float
        In the document's unit.

    Raises
    ------
    UnitError
        Not a number, a unit of another kind, or a unit that can be meant two ways; the text says
        what is accepted.

    Examples
    --------
    >>> round(parse("3.2 gpm", "flow", "si"), 4), parse("1 1/2 in", "bore", "si")
    (0.2019, 38.1)
    >>> parse("3+2", "length", "si"), parse("25 %", "percent", "si")
    (5.0, 25.0)
    """
    wanted = find_quantity(quantity)
    plain = _plain(text)
    if not plain:
        raise UnitError(f"{wanted.name} is missing, such as {wanted.examples}")
    if len(plain) > _LONGEST:
        raise UnitError(f"{len(plain)} characters are too many for a number; up to {_LONGEST} are accepted")
    terms = _terms(plain, text.strip(), wanted)
    value = _in_document_unit(terms, wanted, unit(quantity, system), text.strip())
    if not math.isfinite(value):
        raise UnitError(f"{text.strip()} is too large")
    if quantity == "count" and value != int(value):
        raise UnitError(f"{text.strip()} is not a whole number")
    # Twelve digits: 1 1/2 in is 38.1 mm, not 38.099999999999994.
    return float(f"{value:.12g}")


def _plain(text: str) -> str:
    """Return the text with one spelling of each sign: spaces, minus, fractions, raised figures."""
    text = _VULGAR_FRACTION.sub(" ", text.replace("º", "°").replace("’", "'"))
    text = unicodedata.normalize("NFKC", text).replace("\u2044", "/")
    text = re.sub("[\u2212\u2010-\u2014]", "-", text).strip()
    moved = _COEFFICIENT_FIRST.match(text)
    return f"{moved[2]} {moved[1]}" if moved else text


def _terms(text: str, typed: str, wanted: Quantity) -> list[_Term]:
    """Return the figures with the units named beside them, in order."""
    terms: list[_Term] = []
    place, sign = 0, 1.0
    while place < len(text):
        signed = _SIGN.match(text, place)
        if signed:
            sign = -1.0 if signed[1] == "-" else 1.0
            place = signed.end()
        elif terms and not (terms[-1].unit and wanted.kind == "length"):
            raise UnitError(_unreadable(text[place:], typed, wanted))
        found = _NUMBER.match(text, place)
        if not found:
            raise UnitError(_unreadable(text[place:], typed, wanted))
        place = found.end()
        named = _MARK.match(text, place) or _UNIT.match(text, place)
        unit_name = ""
        if named:
            unit_name = _unit_of(named["unit"], f"{found[0].strip()} {named['unit']}", wanted)
            place = named.end()
        elif terms and not signed:
            raise UnitError(f"{typed}: the unit of {found[0].strip()} is missing, as in 6 ft 2 in")
        terms.append(_Term(sign * _figure(found, typed), unit_name))
    return terms


def _figure(found: re.Match[str], typed: str) -> float:
    if found["top"]:
        bottom = int(found["bottom"])
        if bottom == 0:
            raise UnitError(f"{typed}: a fraction cannot have 0 below the stroke")
        return int(found["whole"] or 0) + int(found["top"]) / bottom
    text = _with_point(re.sub(r"[ ']", "", found["plain"]))
    try:
        return float(text)
    except ValueError:
        raise UnitError(f"{text} is not a number") from None


def _with_point(text: str) -> str:
    """Return a figure with a point as its decimal sign and nothing between thousands."""
    digits, exponent = re.fullmatch(r"([\d.,]*)(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
    if "." in digits and "," in digits:
        decimal = max(".", ",", key=digits.rfind)
        grouping = "," if decimal == "." else "."
        whole, _, fraction = digits.rpartition(decimal)
        if decimal in whole or grouping in fraction or not _is_grouped(whole, grouping):
            raise UnitError(f"{text} is not a number")
        digits = f"{whole.replace(grouping, '')}.{fraction}"
    elif digits.count(",") == 1:
        whole, fraction = digits.split(",")
        if len(fraction) == 3 and whole.strip("0"):
            raise UnitError(
                f"{text} can be read two ways; {whole}{fraction} or {whole}.{fraction} is accepted"
            )
        digits = f"{whole}.{fraction}"
    elif "," in digits:
        if not _is_grouped(digits, ","):
            raise UnitError(f"{text} is not a number")
        digits = digits.replace(",", "")
    return digits + exponent


def _is_grouped(whole: str, mark: str) -> bool:
    return re.fullmatch(rf"\d{{1,3}}(?:{re.escape(mark)}\d{{3}})+", whole) is not None


def _unit_of(spelled: str, term: str, wanted: Quantity) -> str:
    """Return the unit's name where it is of the kind wanted."""
    plain = plain_spelling(spelled)
    if plain in TWO_GALLONS:
        if wanted.kind not in ("volume", "flow"):
            kind = "flow" if "/" in plain else "volume"
            raise UnitError(_wrong_kind(term, kind, wanted))
        ending = "/min" if "/" in plain else ""
        raise UnitError(
            f"{term}: which gallon? US gal{ending} (3.785 L) and imp gal{ending} (4.546 L) are accepted"
        )
    kinds = SPELLINGS[plain]
    if wanted.kind in kinds:
        return kinds[wanted.kind]
    raise UnitError(_wrong_kind(term, next(iter(kinds)), wanted))


def _wrong_kind(term: str, kind: str, wanted: Quantity) -> str:
    return f"{term} is {KINDS[kind][0]}; {wanted.name} is expected here, such as {wanted.examples}"


def _unreadable(rest: str, typed: str, wanted: Quantity) -> str:
    problem = f"'{rest.strip()}' is not understood" if rest.strip() else "a number is missing"
    return f"{typed}: {problem}; {wanted.name} is expected here, such as {wanted.examples}"


def _in_document_unit(terms: list[_Term], wanted: Quantity, shown: str, typed: str) -> float:
    """Add the terms up; one without a unit has that of the next, else the last, else the one shown."""
    units = [term.unit for term in terms]
    if len({name for name in units if name}) > 1 and wanted.kind == "temperature":
        raise UnitError(f"{typed}: temperatures in two units cannot be added")
    if wanted.kind == "temperature":
        name = next((name for name in units if name), shown)
        scale, offset = scale_and_offset(wanted, name)
        return sum(term.figure for term in terms) * scale + offset
    total = 0.0
    following = next((name for name in reversed(units) if name), shown)
    for term in reversed(terms):
        following = term.unit or following
        total += term.figure * scale_and_offset(wanted, following)[0]
    return total
