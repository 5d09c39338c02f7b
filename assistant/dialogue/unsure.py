"""What the ears were not sure of: two numbers are put to the user as a choice, everything else is asked for once more.

Where only one of two numbers is of a likely size, whether it is that one is asked.

Crosses the border: a state and an utterance with its doubt come in; the state and the effects of the question go out.  Nothing that was
in doubt is ever taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.dialogue.accepting import likely
from assistant.dialogue.answers import TAKERS
from assistant.dialogue.asking import given_for, labelled, listened_for, question
from assistant.dialogue.reprompts import not_understood
from assistant.dialogue.sentences import carry_out
from assistant.dialogue.speaking import spoken
from assistant.dialogue.state import Cautioning, Choosing, Doubting, Kind, State
from assistant.dialogue.turn import Turn
from assistant.events import Effect, Utterance
from assistant.language.understanding import Intent, Several, Understanding, intents, understand
from assistant.language.vocabulary import Stage
from assistant.numbers import SpokenLength
from assistant.setout.lengths import Length

SAY_AGAIN = "Say that again."


def unsure(state: State, utterance: Utterance) -> tuple[State, tuple[Effect, ...]]:
    """The question that the doubt needs."""
    turn = Turn(replace(state, misses=0), " ".join(utterance.words))
    meant = [understand(words, *listened_for(state)) for words in utterance.doubt]
    numbers = [one for one in meant if isinstance(one, Intent) and one.act in TAKERS and isinstance(one.length, SpokenLength)]
    if len(numbers) == 2 and not isinstance(state.focus, (Choosing, Doubting, Cautioning)):
        lengths = tuple(dict.fromkeys(one.length.mm for one in numbers if isinstance(one.length, SpokenLength)))
        sound = [one for one in numbers if isinstance(one.length, SpokenLength) and likely(turn, one, one.length.mm)]
        if len(lengths) == 2 and len(sound) == 1 and isinstance(sound[0].length, SpokenLength):
            value = sound[0].length.mm
            turn.focus(Doubting(sound[0], value, state.focus))
            turn.say(labelled(given_for(state, sound[0]), spoken(turn.settings, value)), question(turn.state))
            return turn.done()
        if len(lengths) == 2:
            turn.focus(Choosing(numbers[0], lengths, state.focus))
            turn.say(question(turn.state))
            return turn.done()
    part = _part_in_doubt(meant) if state.stage in (Stage.ASK, Stage.HUB) else None
    if part is not None:
        place, parts, lengths = part
        openers = parts[:place] if all(one.length is None for one in parts[:place]) else ()
        if openers:
            carry_out(turn, openers)
        if turn.state.focus.kind is Kind.ASKING and not turn.state.queued:
            turn.note(queued=tuple(one for at, one in enumerate(parts) if at != place and at >= len(openers)))
            turn.focus(Choosing(parts[place], lengths, turn.state.focus))
            turn.parts.clear()
            turn.say(question(turn.state))
            return turn.done()
        turn = Turn(replace(state, misses=0), " ".join(utterance.words))
    turn.note(misses=state.misses + 1)
    if state.stage is not Stage.WALK:  # while marking a tone is enough
        turn.say(SAY_AGAIN if state.misses == 0 else not_understood(state.stage, state.misses + 1, question(state)))
    after, effects = turn.done()
    return replace(after, said=state.said), effects


def _part_in_doubt(meant: Sequence[Understanding]) -> tuple[int, tuple[Intent, ...], tuple[Length, ...]] | None:
    """The place of the one number that two readings of a sentence differ in, the parts, and the two lengths; None where it is more."""
    if len(meant) != 2 or not all(isinstance(one, Several) for one in meant):
        return None
    first, second = (intents(one) for one in meant)
    if [(one.act, one.count) for one in first] != [(one.act, one.count) for one in second]:
        return None
    differ = [at for at, (one, other) in enumerate(zip(first, second, strict=True)) if one.length != other.length]
    one, other = (first[differ[0]].length, second[differ[0]].length) if len(differ) == 1 else (None, None)
    if not isinstance(one, SpokenLength) or not isinstance(other, SpokenLength) or one.mm == other.mm:
        return None
    return (differ[0], first, (one.mm, other.mm)) if first[differ[0]].act in TAKERS else None
