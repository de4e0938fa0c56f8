# SPDX-License-Identifier: MIT
"""Who may import what, beyond the import contracts of pyproject.toml: parts of PySide6, and when.

Imports inside functions hide cycles and delay failures; the few that keep Qt out of the command line
are named here.
"""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

_ROOT = Path(__file__).resolve().parents[1]

#: File -> modules it may import inside functions: those that load Qt, only where something is painted.
_LATE = {
    "app/__main__.py": {"app.window.main"},
    "app/command_line/draw.py": {"PySide6.QtWidgets", "app.paper.drawing_sheet"},
}


class _Import(NamedTuple):
    file: str
    line: int
    module: str
    late: bool


def _imports(tree: ast.AST, file: str, late: bool = False) -> Iterator[_Import]:
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Import):
            yield from (_Import(file, node.lineno, alias.name, late) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            module = node.module or ""
            # `from PySide6 import QtWidgets` names a module of its own.
            names = [f"{module}.{alias.name}" for alias in node.names] if module == "PySide6" else [module]
            yield from (_Import(file, node.lineno, name, late) for name in names)
        else:
            inside = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            yield from _imports(node, file, late or inside)


def _all_imports() -> list[_Import]:
    found: list[_Import] = []
    for package in ("app", "solver"):
        for path in sorted((_ROOT / package).rglob("*.py")):
            file = path.relative_to(_ROOT).as_posix()
            found += _imports(ast.parse(path.read_text(encoding="utf-8")), file)
    return found


_ALL = _all_imports()


def _told(broken: list[_Import]) -> list[str]:
    return [f"{found.file}:{found.line} imports {found.module}" for found in broken]


def _is_of(module: str, package: str) -> bool:
    return module == package or module.startswith(package + ".")


def test_the_files_are_seen() -> None:
    files = {found.file for found in _ALL}
    assert "solver/vessel/components.py" in files
    assert "app/command_line/main.py" in files
    assert any(found.module == "solver.errors" for found in _ALL)


@pytest.mark.parametrize(
    "source",
    [
        "import os\nfrom PySide6 import QtWidgets",
        "def f():\n    if 1:\n        import a.b",
        "class A:\n    import c",
    ],
)
def test_an_import_is_found_wherever_it_stands(source: str) -> None:
    found = list(_imports(ast.parse(source), "x.py"))
    assert [(one.module, one.late) for one in found] in (
        [("os", False), ("PySide6.QtWidgets", False)],
        [("a.b", True)],
        [("c", False)],
    )


def test_the_solver_knows_neither_qt_nor_the_program() -> None:
    forbidden = ("PySide6", "shiboken6", "app", "CoolProp")
    broken = [
        found
        for found in _ALL
        if found.file.startswith("solver/")
        and any(_is_of(found.module, name) for name in forbidden)
        # The script that makes the property tables is run by hand, with the test packages.
        and (found.file, found.module) != ("solver/media/fit_tables.py", "CoolProp.CoolProp")
    ]
    assert not _told(broken)


def test_editing_and_solving_have_no_widgets() -> None:
    broken = [
        found
        for found in _ALL
        if found.file.startswith(("app/editing/", "app/solving/", "app/units/"))
        and _is_of(found.module, "PySide6.QtWidgets")
    ]
    assert not _told(broken)


def test_units_and_the_command_line_load_no_qt_with_themselves() -> None:
    plain = ("app/__main__.py", "app/__init__.py", "app/shipped.py", "app/units/", "app/command_line/")
    broken = [
        found
        for found in _ALL
        if found.file.startswith(plain) and not found.late and _is_of(found.module, "PySide6")
    ]
    assert not _told(broken)


def test_nothing_is_imported_inside_a_function_but_what_is_named_here() -> None:
    late = [found for found in _ALL if found.late]
    assert not _told([found for found in late if found.module not in _LATE.get(found.file, set())])
    unused = {(file, module) for file, modules in _LATE.items() for module in modules}
    assert not unused - {(found.file, found.module) for found in late}


def test_imports_are_absolute() -> None:
    assert not _told([found for found in _ALL if not found.module])


def test_the_command_line_loads_no_qt() -> None:
    code = (
        "import sys\n"
        "from app.__main__ import main\n"
        "status = main(['solve', sys.argv[1], '--json'])\n"
        "unwanted = {'PySide6', 'shiboken6', 'CoolProp'} & {name.split('.')[0] for name in sys.modules}\n"
        "sys.exit(f'loaded {unwanted}' if unwanted else status)"
    )
    sample = _ROOT / "sample_vessels" / "motor_yacht_27m.farcabin"
    done = subprocess.run(
        [sys.executable, "-c", code, str(sample)], cwd=_ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
