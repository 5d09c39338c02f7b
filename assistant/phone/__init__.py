"""The phone in the pocket as microphone and loudspeaker: one page, one connection, one more device."""
