# SPDX-License-Identifier: MIT
"""Mouse tools of the view, one a file; one is in hand at a time."""
