"""The bays of a job that can be set out, for everything that lists them.

Crosses the border: a job in; what stands confirmed, or the preview, of each bay out, in the order of the bays.
"""

from __future__ import annotations

from assistant.job import Job
from assistant.plan import set_out_of
from assistant.set_out import SetOut
from assistant.setout.trouble import ImpossibleError


def laid_out(job: Job) -> tuple[SetOut, ...]:
    """Every bay that can be set out."""
    return tuple(made for made in (set_out_or_reason(job, index) for index in range(len(job.bays))) if isinstance(made, SetOut))


def set_out_or_reason(job: Job, index: int) -> SetOut | ImpossibleError:
    """The set-out of a bay, or why there is none."""
    try:
        return set_out_of(job, index)
    except ImpossibleError as error:
        return error
