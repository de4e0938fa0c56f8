# SPDX-License-Identifier: MIT
"""Links of the pages lead somewhere, and the developers' module map names what is there."""

import re
from pathlib import Path

import pytest

_ROOT = Path(__file__).resolve().parents[2]
_PAGES = [_ROOT / "README.md", _ROOT / "DEVELOPERS.md", *sorted((_ROOT / "docs").rglob("*.md"))]
_MAP = (_ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Module map")[1].split("```")[1]


@pytest.mark.parametrize("page", _PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    for link in re.findall(r"\]\(([^)\s]+)\)", text):
        place, _, heading = link.partition("#")
        target = (page.parent / place).resolve() if place else page
        assert target.exists(), f"{page.name} links to {link}"
        if heading:
            heads = re.findall(r"^#+ (.*)$", target.read_text(encoding="utf-8"), re.MULTILINE)
            assert heading in {re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-") for head in heads}, link


def test_every_file_on_the_module_map_is_there() -> None:
    files = {path.name for package in ("app", "solver") for path in (_ROOT / package).rglob("*.py")}
    named = set(re.findall(r"\b\w+\.py\b", _MAP))
    assert len(named) > 30
    assert named <= files


@pytest.mark.parametrize("package", ["app", "solver"])
def test_every_module_at_the_top_is_on_the_map(package: str) -> None:
    for path in (_ROOT / package).iterdir():
        if path.suffix == ".py" and path.name != "__init__.py":
            assert path.name in _MAP
        elif path.is_dir() and (path / "__init__.py").exists():
            assert f"{path.name}/" in _MAP
