# SPDX-License-Identifier: MIT
"""Fixtures of these tests."""

from tests.app.left_behind import nothing_left_behind

__all__ = ["nothing_left_behind"]
