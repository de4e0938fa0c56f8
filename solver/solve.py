# SPDX-License-Identifier: MIT
"""Solve a vessel."""
