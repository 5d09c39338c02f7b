"""The conversation in one table: which act is allowed while what is waited for, and who handles it.

One file on purpose: what can be said where is seen at a glance, and nothing else decides it.  Which words mean an act stands in
`language.vocabulary`; a test holds both against each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from assistant.dialogue import answers, bays, commands, last_mark, marking
from assistant.dialogue.choices import CHOICES
from assistant.dialogue.state import Kind
from assistant.dialogue.subject import Handler
from assistant.dialogue.subjects import SUBJECTS
from assistant.events import Sound
from assistant.language.rarer import RARER
from assistant.language.vocabulary import PHRASES, Act
from assistant.setout.run import Likeness
from assistant.setout.taper import Lean

HUB, ASKING, CHOOSING, DOUBTING, DECIDING, GAP, CAUTION, WALKING = Kind

_SAME_EVERYWHERE: dict[Act, Handler] = {
    Act.HELP: commands.help_,
    Act.MORE: commands.help_,
    Act.SLEEP: commands.sleep,
    Act.END: commands.end,
    Act.WAKE: commands.wake,
    Act.FASTER: commands.sound(Sound.FASTER),
    Act.SLOWER: commands.sound(Sound.SLOWER),
    Act.LOUDER: commands.sound(Sound.LOUDER),
    Act.QUIETER: commands.sound(Sound.QUIETER),
    Act.SAME: answers.same,
    Act.BARE: answers.off(-1),
    Act.OVER: answers.off(+1),
    Act.LESS_BY: answers.beside_the_other(-1),
    Act.MORE_BY: answers.beside_the_other(+1),
    Act.FIRST: commands.pick(0),
    Act.SECOND: commands.pick(1),
    Act.LONGER: commands.pick_by_size(longer=True),
    Act.SHORTER: commands.pick_by_size(longer=False),
    # Bays.
    Act.NEXT_BAY: bays.following_bay,
    Act.NEW_BAY: bays.new,
    Act.NEW_GATE: bays.new_gate,
    Act.START_MARKING: marking.start,
    Act.SUMMARY: commands.summary,
    Act.WHICH_GAP: marking.which_gap,
    Act.WHICH_BOTTOM: bays.which_opening("bottom"),
    Act.WHICH_TOP: bays.which_opening("top"),
    Act.WHICH_SETTINGS: commands.which_settings,
    Act.IN_ALL: bays.in_all,
    Act.GO_BAY: bays.choose,
    Act.CHANGE_BAY: bays.change,
    Act.REMOVE_BAY: bays.ask_remove,
    Act.MORE_PICKETS: bays.neighbour(+1),
    Act.FEWER_PICKETS: bays.neighbour(-1),
    Act.ADD_MIDDLE: bays.add_middle,
    Act.LEFT_LEANS: bays.leans(Lean.LEFT),
    Act.RIGHT_LEANS: bays.leans(Lean.RIGHT),
    Act.BOTH_LEAN: bays.leans(Lean.BOTH),
    Act.MATCH: commands.match_bays(Likeness.A_TENTH),
    Act.MATCH_ALL: commands.match_bays(Likeness.MOST_ALIKE),
    # Numbers for what their phrase names, and settings.
    Act.SET_PICKET: answers.take,
    Act.SET_LARGEST_GAP: answers.take,
    Act.SET_GAP_UNDER: answers.take,
    Act.SET_BOTTOM: answers.take,
    Act.SET_TOP: answers.take,
    Act.BOTH: answers.both,
    Act.SAME_BAY: answers.same_bay,
    Act.THICKNESS: answers.thickness,
    Act.SET_MIDDLE: answers.take,
    Act.ENDS_SET: answers.take,
    Act.GAP_MEASURES: answers.take,
    Act.RUN_IS: answers.take,
    Act.RUN_OUTSIDE: answers.take,
    Act.RUN_INSIDE: answers.take,
    Act.TAPE_SAYS: last_mark.tape_says,
    Act.USE_LIMIT: answers.use_limit,
    **dict.fromkeys(CHOICES, commands.choose_setting),
    # Marking.
    Act.CONFIRM_GAP: marking.say_gap_confirmed,
    Act.UNDERSTOOD: marking.acknowledge,
    Act.GO_MARK: marking.go_to,
    Act.HOW_MANY_LEFT: marking.how_many_left,
    Act.WHERE: marking.where,
    Act.NEXT_RAIL: marking.go_to_rail(None),
    Act.RAIL_BOTTOM: marking.go_to_rail("bottom"),
    Act.RAIL_MIDDLE: marking.go_to_rail("middle"),
    Act.RAIL_TOP: marking.go_to_rail("top"),
    Act.CALL_EVERY: commands.pace,
    Act.HOLD: commands.hold,
    **{act: handler for subject in SUBJECTS for act, handler in subject.handlers.items()},
}
"""Acts that mean the same wherever their phrases count."""

_BY_STATE: dict[Act, Mapping[Kind, Handler]] = {
    Act.VALUE: {
        ASKING: answers.take,
        GAP: answers.take,
        CHOOSING: answers.number_again,
        DOUBTING: answers.number_again,
        DECIDING: answers.ask_again,
        CAUTION: commands.keep_for_later,
    },
    Act.CORRECT: {
        **dict.fromkeys((HUB, ASKING, GAP, CAUTION), answers.correct),
        WALKING: last_mark.corrected,
        CHOOSING: answers.number_again,
        DOUBTING: answers.number_again,
        DECIDING: answers.ask_again,
    },
    Act.YES: {
        **dict.fromkeys((HUB, ASKING, CHOOSING, CAUTION), commands.nothing_to_confirm),
        WALKING: last_mark.agrees,
        DOUBTING: commands.number_is_right,
        DECIDING: commands.decided,
        GAP: commands.yes_is_not_enough,
    },
    Act.NO: {
        **dict.fromkeys((HUB, ASKING), commands.take_off),
        CAUTION: commands.caution_not_done,
        WALKING: last_mark.disagrees,
        CHOOSING: commands.number_is_wrong,
        DOUBTING: commands.number_is_wrong,
        DECIDING: commands.declined,
        GAP: commands.gap_not_confirmed,
    },
    Act.NEXT: {
        **dict.fromkeys((ASKING, CHOOSING, DOUBTING, DECIDING, GAP, CAUTION), commands.answer_needed),
        HUB: commands.what_next,
        WALKING: marking.step(+1),
    },
    Act.BACK: {
        HUB: commands.nothing_to_go_back_to,
        ASKING: commands.back_an_answer,
        CHOOSING: commands.number_is_wrong,
        DOUBTING: commands.number_is_wrong,
        DECIDING: commands.drop_slip_answer,
        GAP: commands.back_to_hub,
        CAUTION: commands.caution_again,
        WALKING: marking.step(-1),
    },
    Act.REPEAT: {
        **dict.fromkeys((HUB, ASKING, CHOOSING, DOUBTING, DECIDING, GAP), commands.repeat),
        CAUTION: commands.caution_again,
        WALKING: commands.repeat_mark,
    },
    Act.STOP: {
        **dict.fromkeys((HUB, ASKING, DECIDING, GAP, CAUTION), commands.leave),
        CHOOSING: commands.leave_number,
        DOUBTING: commands.leave_number,
        WALKING: commands.leave_marking,
    },
    Act.UNDO: {
        **dict.fromkeys((HUB, ASKING, DECIDING, GAP, CAUTION, WALKING), commands.undo),
        CHOOSING: commands.number_is_wrong,
        DOUBTING: commands.number_is_wrong,
    },
    Act.ALL_MEASURED: {HUB: bays.all_measured, ASKING: commands.measured_all},
    Act.CARRY_ON: {
        **dict.fromkeys((ASKING, CHOOSING, DOUBTING, DECIDING, GAP, CAUTION), commands.answer_needed),
        HUB: commands.carry_on,
        WALKING: commands.carry_on_marking,
    },
}
"""Acts whose meaning hangs on what is waited for."""


def _rows() -> Iterator[tuple[tuple[Kind, Act], Handler]]:
    for phrase in (*PHRASES, *RARER):
        for kind in Kind:
            if kind.stage in phrase.stages:
                handler = _BY_STATE[phrase.act][kind] if phrase.act in _BY_STATE else _SAME_EVERYWHERE[phrase.act]
                yield (kind, phrase.act), handler


TABLE: Mapping[tuple[Kind, Act], Handler] = {**dict(_rows()), **{(kind, Act.WAKE): commands.wake for kind in Kind}}
"""(what is waited for, what was meant) -> who handles it; whatever is not in it cannot be said there."""
