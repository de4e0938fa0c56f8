# SPDX-License-Identifier: MIT
"""Solving while the user edits: one worker thread, the newest request wins, stale answers are dropped."""
