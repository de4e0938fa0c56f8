# SPDX-License-Identifier: MIT
"""What docstrings say is true: their examples run, and the parameters they name are there."""

import ast
import doctest
import importlib
import re
from pathlib import Path

import pytest

_ROOT = Path(__file__).resolve().parents[1]
_FILES = [path for package in ("app", "solver") for path in sorted((_ROOT / package).rglob("*.py"))]
_SOURCES = {path.relative_to(_ROOT).as_posix(): path.read_text(encoding="utf-8") for path in _FILES}
_SECTION = re.compile(r"^Parameters\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("file", [file for file, source in _SOURCES.items() if ">>>" in source])
def test_examples_run(file: str) -> None:
    module = importlib.import_module(file.removesuffix(".py").replace("/", ".").removesuffix(".__init__"))
    found = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize("file", [file for file, source in _SOURCES.items() if "Parameters\n" in source])
def test_the_parameters_named_are_those_of_the_signature(file: str) -> None:
    for owner in ast.walk(ast.parse(_SOURCES[file])):
        named = _named_parameters(owner)
        if named is None:
            continue
        assert named == [name for name in _own_parameters(owner) if name in named], _place(file, owner)


def _named_parameters(owner: ast.AST) -> list[str] | None:
    """Return the names under Parameters of a docstring, None without such a section."""
    if not isinstance(owner, ast.FunctionDef | ast.ClassDef):
        return None
    found = _SECTION.search(ast.get_docstring(owner) or "")
    if not found:
        return None
    heads = [line.split(":")[0] for line in found[1].splitlines() if line and not line[0].isspace()]
    return [name.strip().lstrip("*") for head in heads for name in head.split(",")]


def _own_parameters(owner: ast.AST) -> list[str]:
    if isinstance(owner, ast.ClassDef):
        fields = [
            node.target.id
            for node in owner.body
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name)
        ]
        start = [node for node in owner.body if isinstance(node, ast.FunctionDef) and node.name == "__init__"]
        return fields + [name for node in start for name in _own_parameters(node)]
    assert isinstance(owner, ast.FunctionDef)
    own = owner.args
    every = [*own.posonlyargs, *own.args, own.vararg, *own.kwonlyargs, own.kwarg]
    return [argument.arg for argument in every if argument and argument.arg not in ("self", "cls")]


def _place(file: str, owner: ast.AST) -> str:
    assert isinstance(owner, ast.FunctionDef | ast.ClassDef)
    return f"{file}:{owner.lineno} {owner.name} has {_own_parameters(owner)}"
