# SPDX-License-Identifier: MIT
"""The program: command line, window and canvas.  Everything it computes comes from ``solver``."""

__version__ = "0.1.0"
