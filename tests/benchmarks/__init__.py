# SPDX-License-Identifier: MIT
"""Speed and memory, as ratios measured in one run; no test asserts a time."""
