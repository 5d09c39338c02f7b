"""What the ears were not sure of: two numbers are put to the user as a choice, everything else is asked for once more.

Crosses the border: a state and an utterance with its doubt come in; the state and the effects of the question go out.  Nothing that was
in doubt is ever taken.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.answers import TAKERS
from assistant.dialogue.asking import listened_for, question
from assistant.dialogue.reprompts import not_understood
from assistant.dialogue.state import Cautioning, Choosing, Doubting, State
from assistant.dialogue.turn import Turn
from assistant.events import Effect, Utterance
from assistant.language.understanding import Intent, understand
from assistant.language.vocabulary import Stage
from assistant.numbers import SpokenLength

SAY_AGAIN = "Say that again."


def unsure(state: State, utterance: Utterance) -> tuple[State, tuple[Effect, ...]]:
    """The question that the doubt needs."""
    turn = Turn(replace(state, misses=0), " ".join(utterance.words))
    meant = [understand(words, *listened_for(state)) for words in utterance.doubt]
    intents = [one for one in meant if isinstance(one, Intent) and one.act in TAKERS and isinstance(one.length, SpokenLength)]
    if len(intents) == 2 and not isinstance(state.focus, (Choosing, Doubting, Cautioning)):
        lengths = tuple(dict.fromkeys(one.length.mm for one in intents if isinstance(one.length, SpokenLength)))
        if len(lengths) == 2:
            turn.focus(Choosing(intents[0], lengths, state.focus))
            turn.say(question(turn.state))
            return turn.done()
    turn.note(misses=state.misses + 1)
    if state.stage is not Stage.WALK:  # while marking a tone is enough
        turn.say(SAY_AGAIN if state.misses == 0 else not_understood(state.stage, state.misses + 1, question(state)))
    after, effects = turn.done()
    return replace(after, said=state.said), effects
