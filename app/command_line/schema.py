# SPDX-License-Identifier: MIT
"""Print the JSON Schema of the vessel file, for editors and for programs that write vessels."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from app.command_line.console import SOLVED
from solver.vessel.schema import schema

HELP = "print the JSON Schema of the vessel file"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    parser.add_argument("-o", "--output", metavar="FILE", help="write it there (default: print it)")


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status."""
    text = json.dumps(schema(), indent=2, ensure_ascii=False)
    if arguments.output is None:
        print(text)
    else:
        Path(arguments.output).write_text(text + "\n", encoding="utf-8")
        print(f"wrote {arguments.output}")
    return SOLVED
