# SPDX-License-Identifier: MIT
"""The drawing on screen: what is drawn where, the scene, the view and its mouse tools.

``picture`` holds what is drawn and paints it with any painter; ``scene`` and ``view`` show it in a window.
"""
