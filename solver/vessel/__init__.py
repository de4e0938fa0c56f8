# SPDX-License-Identifier: MIT
"""The document: a vessel with its components, runs and cabins, its edits and its file.

A vessel is an immutable value.  ``to_network`` is the only place that turns it into a network.
"""
