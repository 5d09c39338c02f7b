"""Every form of the conversation by its key: those of setting out, and those of the subjects."""

from __future__ import annotations

from assistant.dialogue.forms import CORE, Form
from assistant.dialogue.subjects import SUBJECTS

FORMS: dict[str, Form] = {form.key: form for form in (*CORE, *(form for subject in SUBJECTS for form in subject.forms))}
"""Key -> form."""
