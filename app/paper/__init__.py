# SPDX-License-Identifier: MIT
"""The drawing as a file: picture, vector graphics, sheets to print."""
