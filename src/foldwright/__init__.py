"""Foldwright: small aeroplanes folded from foam board, from one design file to the plan set."""

from __future__ import annotations

__version__ = "0.1.0"
