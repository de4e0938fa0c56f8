# SPDX-License-Identifier: MIT
"""What is laid over the drawing: values as colours with their legend, flow arrows, labels."""
