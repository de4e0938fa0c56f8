# SPDX-License-Identifier: MIT
"""What water flows through: one law a file, and the tables of sizes, fittings and equipment."""
