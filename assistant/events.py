"""The values that cross between the pure core and the edges.

Events are past tense (something happened); effects are imperative (do this). Neither side imports the other.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Utterance:
    """One stretch of speech between two endpoints, as words."""

    words: tuple[str, ...]
    """Recognised words in order, lower case; empty when nothing was made out."""
    start: float
    """Seconds from the beginning of the audio to the first word."""
    end: float
    """Seconds from the beginning of the audio to the end of the last word."""
    understood: bool = True
    """False when the recogniser heard speech outside its grammar (garbage or a decoy word)."""
