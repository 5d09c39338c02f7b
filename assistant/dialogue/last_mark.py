"""Yes, no and a number while marking: at the last mark of a rail they answer whether the tape agrees that so much is left to the far post.

“Next” goes on without an answer.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import answers, commands
from assistant.dialogue.asking import at_last_mark
from assistant.dialogue.marking import at_mark, step
from assistant.dialogue.subjects.far_post import FAR_POST
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act


def agrees(turn: Turn, intent: Intent) -> None:
    """Yes: on to what comes next."""
    if at_last_mark(turn.state):
        step(+1)(turn, intent)
    else:
        commands.nothing_to_confirm(turn, intent)


def disagrees(turn: Turn, intent: Intent) -> None:
    """No: how far it is then."""
    if at_last_mark(turn.state):
        turn.begin(FAR_POST, bay=at_mark(turn).set_out.bay.number)
    else:
        commands.take_off(turn, intent)


def corrected(turn: Turn, intent: Intent) -> None:
    """“No, …”: how far it is."""
    if at_last_mark(turn.state) and turn.state.redo is None:
        tape_says(turn, intent)
    else:
        answers.correct(turn, intent)


def tape_says(turn: Turn, intent: Intent) -> None:
    """What the tape says is left from the mark that is being called."""
    if at_mark(turn).set_out.gate is None:
        answers.take(turn, replace(intent, act=Act.TAPE_SAYS))
    else:
        turn.say("A leaf is built to its marks; there is no far post to measure to.")
