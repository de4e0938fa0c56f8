# SPDX-License-Identifier: MIT
"""How parts join, and the hydraulic solve: nodes, links, Newton, Hardy-Cross, the check after it.

A network can be built in code, without a vessel.
"""
