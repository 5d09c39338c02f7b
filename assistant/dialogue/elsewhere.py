"""What is said where it has no place: done at once where nothing is lost by it, and what is dropped for it is named.

A question about the job is answered, and the one on the table asked again.  What begins something else drops a form that can be begun
again as easily; never an opening that was measured.
"""

from __future__ import annotations

from assistant.dialogue import answers, commands, forms
from assistant.dialogue.asking import given_for, question
from assistant.dialogue.registry import FORMS
from assistant.dialogue.speaking import sentence
from assistant.dialogue.state import Choosing, ConfirmingGap, Doubting, Hub, Kind, State, Walking
from assistant.dialogue.table import TABLE
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count

_ASKS = frozenset((Act.WHERE, Act.SUMMARY, Act.HOW_MANY_POSTS, Act.WHICH_LIMITS, Act.WHICH_CODE, Act.SLOPE))
"""What changes nothing."""
_BEGINS = frozenset(
    (
        Act.START_MARKING, Act.NEXT_BAY, Act.NEW_BAY, Act.NEW_GATE, Act.GO_BAY, Act.ALL_MEASURED, Act.CARRY_ON, Act.POSTS,
        Act.POSTS_CENTRES,
        Act.TIMBER, Act.POLE, Act.HEIGHTS, Act.DRYING, Act.WIDTHS, Act.CONTINUOUS, Act.LAPPED, Act.SLOPE_RAKED, Act.SLOPE_STEPPED,
        Act.RUN_IS, Act.RUN_OUTSIDE, Act.RUN_INSIDE, Act.POST_TO_POST, Act.RESPACE,
    )
)  # fmt: skip
"""What begins something else, or goes on with it."""


def has_another_place(state: State, intent: Intent, *, alone: bool) -> bool:
    """Whether what has no place here can be done all the same; `alone` where nothing more was said with it."""
    kind, draft, act = state.focus.kind, state.job.draft, intent.act
    if isinstance(state.focus, (Choosing, Doubting)):
        return alone and _names_what_is_in_question(state, intent)
    if (Kind.HUB, act) not in TABLE or not state.job.bays:
        return False
    if kind in (Kind.GAP, Kind.WALKING):
        return act in _BEGINS
    if kind is not Kind.ASKING or draft is None:
        return False
    if act in _ASKS:
        return True
    measured = draft.form == forms.SETUP.key or (draft.form in (forms.BAY.key, forms.GATE.key) and (draft.answers or draft.bay is not None))
    return act in _BEGINS and not measured


def _names_what_is_in_question(state: State, intent: Intent) -> bool:
    """Whether a number is given, by its name, for the very thing that the one in question was given for: “no, the top was …”."""
    assert isinstance(state.focus, (Choosing, Doubting))
    return intent.length is not None and given_for(state, intent) == given_for(state, state.focus.intent)


def do_elsewhere(turn: Turn, intent: Intent) -> None:
    """It is done, as from between two bays.  Raises ImpossibleError as its handler does."""
    if isinstance(turn.state.focus, (Choosing, Doubting)):
        answers.number_again(turn, intent)
        return
    handler = TABLE[Kind.HUB, intent.act]
    draft = turn.job.draft
    match turn.state.focus:
        case Walking():
            commands.leave_marking(turn, intent)
            turn.parts.clear()
            turn.say("Marking is left where it is.")
        case ConfirmingGap():
            turn.focus(Hub())
            turn.say("The gap is not confirmed.")
        case _ if intent.act in _ASKS:
            handler(turn, intent)
            if question(turn.state) not in turn.parts:
                turn.say(question(turn.state))
            return
        case _ if draft is not None:
            if draft.form == forms.BAY.key and intent.act in (Act.NEXT_BAY, Act.NEW_BAY):
                turn.say(question(turn.state))  # that very bay is being asked about
                return
            turn.close()
            bay = draft.form in (forms.BAY.key, forms.GATE.key)
            left = f"no bay {say_count(turn.job.next_number)}" if bay else f"dropped: {FORMS[draft.form].name}"
            turn.say(sentence(left))
    turn.asked = False
    handler(turn, intent)
