# SPDX-License-Identifier: MIT
"""The window: canvas in the middle, panels round it, actions, files, appearance."""
