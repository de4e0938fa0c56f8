# SPDX-License-Identifier: MIT
"""The document while it is edited: the current vessel, the steps that led to it, its file and its journal.

Knows nothing of windows: QtCore only.
"""
