"""Which phone may lend its ears: one, which brought the code from the console; the code is good for one use.

Crosses the border: codes and passes in, yes or no out.  Both are drawn from the system's randomness, 256 bits each.
"""

from __future__ import annotations

import secrets

from assistant.serving import same_secret

_BYTES = 32


class Pairing:
    """One code, and after its use one pass."""

    def __init__(self) -> None:
        self.code = secrets.token_urlsafe(_BYTES)
        """For the link on the console; worth nothing after its first use."""
        self._pass = ""

    @property
    def paired(self) -> bool:
        """Whether the code is used up."""
        return bool(self._pass)

    def redeem(self, code: str) -> str | None:
        """The pass for the code, which is then used up; None for a wrong one, and for the right one the second time."""
        if self.paired or not same_secret(self.code, code):
            return None
        self._pass = secrets.token_urlsafe(_BYTES)
        return self._pass

    def admits(self, given: str) -> bool:
        """Whether this is the phone's pass."""
        return self.paired and same_secret(self._pass, given)
