"""Every error the assistant raises on purpose.

AssistantError                 a sentence the user can act on; the command line prints it and exits with 2
├── LengthError                a written length that cannot be read
├── SetoutError                a set-out that cannot exist (the sentence names the nearest possible)
├── AudioError                 a sound file or device that cannot be used
├── ModelError                 a speech model that is missing or broken
├── SynthesisError             speech could not be rendered
├── PhoneError                 the phone's page cannot be served
└── RecordError                the job record cannot be read or written
"""

from __future__ import annotations


class AssistantError(Exception):
    """Something the user can put right; the message says what was wrong and what to do."""


class LengthError(AssistantError):
    """A written length that cannot be read."""


class SetoutError(AssistantError):
    """A set-out that cannot exist."""


class AudioError(AssistantError):
    """A sound file or device that cannot be used."""


class ModelError(AssistantError):
    """A speech model that is missing or broken."""


class SynthesisError(AssistantError):
    """Speech could not be rendered."""


class PhoneError(AssistantError):
    """The phone's page cannot be served."""


class RecordError(AssistantError):
    """The job record cannot be read or written."""
