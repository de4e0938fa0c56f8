# SPDX-License-Identifier: MIT
"""Every error the library raises on purpose.

One root, a shallow tree below it.  Each error carries the tags and numbers it talks about, so that
the window can mark the parts and the command line can print them.
"""

from __future__ import annotations


class FarcabinError(Exception):
    """Root of all errors raised on purpose."""


class FileError(FarcabinError, ValueError):
    """A file was refused.

    Attributes
    ----------
    path : str
        The file as the user named it.
    place : str
        Where in the file, such as ``components[3].speed_percent`` (AH-7 is named where known).
    problem : str
        What is wrong there.
    value : str
        The refused value as text, empty if there is none (a missing key).
    accepted : str
        What is accepted there.
    others : tuple of FileError
        Further problems of the same file, in file order; their lines follow in the text.
    """

    def __init__(
        self,
        path: str,
        place: str,
        problem: str,
        value: str = "",
        accepted: str = "",
        others: tuple[FileError, ...] = (),
    ):
        self.path, self.place, self.problem = path, place, problem
        self.value, self.accepted, self.others = value, accepted, others
        parts = [f"{path}: {place}: {problem}" if place else f"{path}: {problem}"]
        if value:
            parts.append(f"found {value}")
        if accepted:
            parts.append(f"accepted: {accepted}")
        super().__init__("\n".join(["; ".join(parts), *map(str, others)]))


class EditError(FarcabinError, ValueError):
    """An edit of the vessel was refused; the vessel is as it was."""

    def __init__(self, problem: str, tags: tuple[str, ...] = ()):
        self.tags = tags
        super().__init__(problem)


class PartError(FarcabinError, ValueError):
    """A part's data make no sense (a pump curve of one point, a size that is not in its series)."""

    def __init__(self, problem: str, tags: tuple[str, ...] = ()):
        self.tags = tags
        super().__init__(problem)


class LiquidError(FarcabinError, ValueError):
    """A liquid is asked for outside the range its property tables cover."""


class AirError(FarcabinError, ValueError):
    """Moist air is asked for outside the range its formulas cover."""


class NotSolvableError(FarcabinError):
    """The network has no answer, found by looking at it before the solve.

    Attributes
    ----------
    reason : str
        What is missing or in conflict, with the tags in it.
    tags : tuple of str
        The parts to mark.
    """

    def __init__(self, reason: str, tags: tuple[str, ...] = ()):
        self.reason, self.tags = reason, tags
        super().__init__(reason)


class UnconvergedError(NotSolvableError):
    """The solve ended without an answer that passes the check.

    Attributes
    ----------
    iterations : int
        Steps made.
    mass_residual : float
        Largest mass imbalance left at a node [kg/s].
    pressure_residual : float
        Largest pressure error left along a link [Pa].
    """

    def __init__(
        self,
        reason: str,
        tags: tuple[str, ...] = (),
        iterations: int = 0,
        mass_residual: float = float("nan"),
        pressure_residual: float = float("nan"),
    ):
        self.iterations = iterations
        self.mass_residual, self.pressure_residual = mass_residual, pressure_residual
        super().__init__(reason, tags)


class CancelledError(FarcabinError):
    """A long job was told to stop."""
