# SPDX-License-Identifier: MIT
"""The command ``farcabin``: its words, its help, and what each ending means."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import NoReturn

from app import __version__
from app.command_line import cabins, check, draw, pulldown, sample, schema, solve
from app.command_line.console import BAD_USE, NOT_SOLVABLE, UsageError, complain
from solver.errors import FarcabinError, NotSolvableError

_VERBS = {
    "solve": solve,
    "cabins": cabins,
    "pulldown": pulldown,
    "check": check,
    "draw": draw,
    "schema": schema,
    "sample": sample,
}

_DESCRIPTION = """\
Chilled-water air conditioning of boats: solve the fresh-water loop of a vessel file.

  farcabin                opens the window
  farcabin FILE.farcabin  opens the window with that vessel
  farcabin VERB ...       works without a window
"""
_EPILOG = """\
Exit status: 0 solved (or done), 1 the loop cannot be solved, 2 bad file or bad use of the command.
`farcabin VERB --help` tells about a verb.
"""


class _Parser(argparse.ArgumentParser):
    """A parser whose refusals are one plain paragraph."""

    def error(self, message: str) -> NoReturn:
        self.exit(complain(f"{message}. `{self.prog} --help` tells what is accepted.", BAD_USE))


def run(words: Sequence[str]) -> int:
    """Carry out a command and return its exit status: 0 done, 1 not solvable, 2 bad file or use.

    Parameters
    ----------
    words : sequence of str
        The words after ``farcabin``.
    """
    parser = _parser()
    if words and not words[0].startswith("-") and words[0] not in _VERBS:
        return complain(_unknown_verb(words[0]), BAD_USE)
    try:
        arguments = parser.parse_args(words)
        status = _VERBS[arguments.verb].run(arguments)
        sys.stdout.flush()
    except SystemExit as ending:
        return ending.code if isinstance(ending.code, int) else 0
    except BrokenPipeError:
        # The reader (head, less) has gone; nothing may be written at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except NotSolvableError as problem:
        return complain(problem.reason, NOT_SOLVABLE)
    except (FarcabinError, UsageError) as problem:
        return complain(str(problem), BAD_USE)
    except OSError as problem:
        return complain(f"{problem.filename or 'output'}: {problem.strerror or problem}", BAD_USE)
    except KeyboardInterrupt:
        return complain("stopped", BAD_USE)
    return int(status)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="farcabin",
        description=_DESCRIPTION,
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"farcabin {__version__}")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    for name, module in _VERBS.items():
        description = (module.__doc__ or "").strip()
        verb = verbs.add_parser(
            name,
            help=module.HELP,
            description=description,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        module.add_arguments(verb)
    return parser


def _unknown_verb(word: str) -> str:
    near = get_close_matches(word, _VERBS, n=1)
    hint = f" ({near[0]}?)" if near else ""
    return f"there is no verb {word}{hint}; known: {', '.join(_VERBS)}. `farcabin --help` tells what they do."
