# SPDX-License-Identifier: MIT
"""Heat on board: the sun, design conditions, what warms a cabin, and the load of all cabins by hour."""
