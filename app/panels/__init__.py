# SPDX-License-Identifier: MIT
"""The panels round the canvas, one a file: property sheet, findings, duty point, outline, tables.

Each follows the document, the results and what is shown (units, theme, selection), and none knows another.
"""
