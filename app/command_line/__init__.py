# SPDX-License-Identifier: MIT
"""The command line: one file a verb.  Qt is loaded by ``draw`` alone, where it paints."""
