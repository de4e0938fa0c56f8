# SPDX-License-Identifier: MIT
"""What flows: water, glycols and sea water, from tables fitted once and kept as data."""
