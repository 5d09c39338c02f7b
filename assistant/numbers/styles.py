"""How numbers are spoken."""

from __future__ import annotations

from enum import Enum


class NumberStyle(Enum):
    """How numbers are spoken."""

    WHOLE = "whole"
    TRADE = "short"
    DIGITS = "digit by digit"
