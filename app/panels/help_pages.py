# SPDX-License-Identifier: MIT
"""The pages of help: the documentation that comes with the program, its titles, and a search in it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

#: Panels by the name of their dock, and tools, with the page and heading that tell of each.
CONTEXTS = {
    "outline": "window.md#outline",
    "properties": "window.md#properties",
    "parts": "window.md#parts",
    "decks": "window.md#decks",
    "findings": "findings.md",
    "duty_point": "window.md#duty-point",
    "tables": "window.md#tables",
    "circuit": "window.md#circuit",
    "steps": "window.md#steps",
    "compare": "window.md#compare",
    "cabins": "window.md#cabins",
    "day": "window.md#load-by-hour",
    "loads": "window.md#loads",
    "heat_flow": "window.md#heat",
    "pull_down": "window.md#pull-down",
    "canvas": "window.md#the-drawing",
    "empty": "first_loop.md",
    "first_loop": "first_loop.md",
}
#: Most pages and lines a search shows.
_MOST_PAGES, _MOST_LINES = 20, 3
_HEADING = re.compile(r"^#+ +(.*)$", re.MULTILINE)


@dataclass(frozen=True)
class HelpPages:
    """The pages under a folder, by their path in it."""

    folder: Path

    @cached_property
    def texts(self) -> dict[str, str]:
        """Path of each page -> its Markdown."""
        return {
            path.relative_to(self.folder).as_posix(): path.read_text(encoding="utf-8")
            for path in sorted(self.folder.rglob("*.md"))
        }

    def title(self, page: str) -> str:
        """Return a page's first heading."""
        found = _HEADING.search(self.texts[page])
        return found[1].strip() if found else page

    def start(self, heading: str) -> str:
        """Return the start page: a list of all pages."""
        lines = [f"- [{self.title(page)}]({page})" for page in self.texts]
        return "\n".join([f"# {heading}", "", *lines])

    def search(self, words: str, heading: str, nothing: str) -> str:
        """Return a page of the pages that hold all words, those with the words in a heading first."""
        wanted = [word for word in words.casefold().split() if word]
        found: list[tuple[int, str, list[str]]] = []
        for page, text in self.texts.items():
            folded = text.casefold()
            if wanted and all(word in folded for word in wanted):
                heads = " ".join(_HEADING.findall(text)).casefold()
                rank = 0 if all(word in heads for word in wanted) else 1
                found.append((rank, page, _lines_with(text, wanted)))
        lines = [f"# {heading}", ""]
        for _rank, page, shown in sorted(found)[:_MOST_PAGES]:
            lines += [f"## [{self.title(page)}]({page})", "", *(f"- {line}" for line in shown), ""]
        return "\n".join(lines if found else [*lines, nothing])


def slug(heading: str) -> str:
    """Return the anchor of a heading, as links in the pages write it.

    Examples
    --------
    >>> slug("The drawing"), slug("F1, help & more")
    ('the-drawing', 'f1-help--more')
    """
    return re.sub(r"[^\w -]", "", heading.strip().lower()).replace(" ", "-")


def _lines_with(text: str, words: list[str]) -> list[str]:
    """Return the first plain lines that hold one of the words, without Markdown's signs."""
    found = []
    for line in text.splitlines():
        if any(word in line.casefold() for word in words) and not line.startswith(("#", "```", "|--")):
            plain = re.sub(r"\[([^\]]*)\]\([^)]*\)|[`*|]", lambda match: match[1] or " ", line)
            found.append(" ".join(plain.split()).lstrip("-! ")[:160])
        if len(found) == _MOST_LINES:
            break
    return found
