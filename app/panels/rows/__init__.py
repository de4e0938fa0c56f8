# SPDX-License-Identifier: MIT
"""The rows of a sheet: what edits one field, one kind a file.

A row shows the field's value of one or more structs ("mixed" where they differ) and says what the user
committed; it changes nothing itself.  What cannot be read stays as typed, with the reason under it.
"""
