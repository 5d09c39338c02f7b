"""The one source of everything a person can say: what it means, where it counts, and how help names it.

The matcher, the recogniser's grammar and "what can I say" are all read from `PHRASES`; to add a phrase, add it here.
Spoken numbers have a table of their own (`assistant.numbers`); a slot `<length>` or `<count>` stands for them, `<second>` for another
length in the same breath.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from typing import TypeVar

from assistant.setout.drying import SPECIES
from assistant.setout.limits import PUBLISHED


class Act(Enum):
    """What a person wants."""

    VALUE = auto()
    BARE = auto()
    OVER = auto()
    LESS_BY = auto()
    MORE_BY = auto()
    SAME = auto()
    CORRECT = auto()
    YES = auto()
    NO = auto()
    FIRST = auto()
    SECOND = auto()
    LONGER = auto()
    SHORTER = auto()
    NEXT = auto()
    REPEAT = auto()
    BACK = auto()
    STOP = auto()
    END = auto()
    UNDO = auto()
    HELP = auto()
    MORE = auto()
    SLEEP = auto()
    WAKE = auto()
    CARRY_ON = auto()
    SET_PICKET = auto()
    SET_LARGEST_GAP = auto()
    SET_GAP_UNDER = auto()
    USE_LIMIT = auto()
    WHICH_LIMITS = auto()
    WHICH_CODE = auto()
    SET_BOTTOM = auto()
    SET_TOP = auto()
    SET_MIDDLE = auto()
    BOTH = auto()
    SAME_BAY = auto()
    THICKNESS = auto()
    WORK_MM = auto()
    WORK_INCHES = auto()
    WORK_FEET = auto()
    TO_MM = auto()
    TO_HALF_MM = auto()
    TO_SIXTEENTH = auto()
    TO_THIRTYSECOND = auto()
    LEFT_EDGES = auto()
    RIGHT_EDGES = auto()
    CENTRES = auto()
    FROM_LEFT = auto()
    FROM_RIGHT = auto()
    ENDS_GAP = auto()
    ENDS_PICKET = auto()
    ENDS_HALF = auto()
    ENDS_SET = auto()
    LEFT_GAP = auto()
    LEFT_PICKET = auto()
    LEFT_HALF = auto()
    RIGHT_GAP = auto()
    RIGHT_PICKET = auto()
    RIGHT_HALF = auto()
    KEEP_PLUMB = auto()
    SHARE_LEAN = auto()
    SHORT_ANSWERS = auto()
    FULL_ANSWERS = auto()
    NUMBERS_WHOLE = auto()
    NUMBERS_TRADE = auto()
    NUMBERS_DIGITS = auto()
    NEXT_BAY = auto()
    NEW_BAY = auto()
    NEW_GATE = auto()
    HINGES_LEFT = auto()
    HINGES_RIGHT = auto()
    POSTS = auto()
    POSTS_CENTRES = auto()
    POSTS_EQUAL = auto()
    POSTS_REST = auto()
    POSTS_GATE = auto()
    POSTS_OVER = auto()
    POSTS_BETWEEN = auto()
    POSTS_INSIDE = auto()
    HOW_MANY_POSTS = auto()
    POSTS_JUDGE = auto()
    SLOPE = auto()
    SLOPE_RAKED = auto()
    SLOPE_STEPPED = auto()
    SLOPE_ALONG = auto()
    DEGREES = auto()
    DEGREES_AND_HALF = auto()
    POLE = auto()
    POLE_LEFT = auto()
    POLE_RIGHT = auto()
    HEIGHTS = auto()
    SPACER = auto()
    WIDTHS = auto()
    TIMBER = auto()
    DRYING = auto()
    DRYING_OF = auto()
    MATCH = auto()
    MATCH_ALL = auto()
    PLAIN = auto()
    CONTINUOUS = auto()
    LAPPED = auto()
    BOARD = auto()
    RUN_IS = auto()
    RUN_OUTSIDE = auto()
    RUN_INSIDE = auto()
    POST_TO_POST = auto()
    OUTSIDE = auto()
    INSIDE = auto()
    TAPE_SAYS = auto()
    POST = auto()
    ADD_MIDDLE = auto()
    LEFT_LEANS = auto()
    RIGHT_LEANS = auto()
    BOTH_LEAN = auto()
    LEVEL = auto()
    RESPACE = auto()
    GAP_MEASURES = auto()
    CHECK_EVERY = auto()
    MORE_PICKETS = auto()
    FEWER_PICKETS = auto()
    ALL_MEASURED = auto()
    SUMMARY = auto()
    WHICH_GAP = auto()
    WHICH_BOTTOM = auto()
    WHICH_TOP = auto()
    WHICH_SETTINGS = auto()
    IN_ALL = auto()
    GO_BAY = auto()
    CHANGE_BAY = auto()
    REMOVE_BAY = auto()
    START_MARKING = auto()
    CONFIRM_GAP = auto()
    UNDERSTOOD = auto()
    GO_MARK = auto()
    HOW_MANY_LEFT = auto()
    WHERE = auto()
    RAIL_TOP = auto()
    RAIL_BOTTOM = auto()
    RAIL_MIDDLE = auto()
    NEXT_RAIL = auto()
    CALL_EVERY = auto()
    HOLD = auto()
    FASTER = auto()
    SLOWER = auto()
    LOUDER = auto()
    QUIETER = auto()
    HEADSET = auto()
    LOUDSPEAKER = auto()


class Stage(Enum):
    """What the conversation is waiting for; it decides which phrases count."""

    ASK = "a number"
    CHOOSE = "which of two readings"
    DOUBT = "whether an unlikely number is right"
    HUB = "what to do"
    GAP = "the gap, confirmed aloud"
    CAUTION = "the caution, acknowledged"
    WALK = "the next mark"
    ASLEEP = "to be woken"


@dataclass(frozen=True, slots=True)
class Phrase:
    """One thing a person can mean, with all its wordings."""

    act: Act
    templates: tuple[str, ...]
    """Wordings in the template language of `patterns`; the first is the one help names."""
    stages: frozenset[Stage]
    help: str = ""
    """What help says it does; empty leaves it out of help (it still counts)."""


_AWAKE = frozenset(Stage) - {Stage.ASLEEP}
_SETTING = frozenset({Stage.ASK, Stage.HUB, Stage.WALK})
_HUB = frozenset({Stage.HUB})
_BAYS = frozenset({Stage.HUB, Stage.WALK})
_WALK = frozenset({Stage.WALK})
_OPENINGS = frozenset({Stage.ASK, Stage.HUB})
_UNCONFIRMED = frozenset({Stage.HUB, Stage.GAP})
_LATER = frozenset({Stage.GAP, Stage.CAUTION, Stage.WALK})
_TOLD = frozenset({Stage.ASK, Stage.HUB, Stage.GAP, Stage.CAUTION, Stage.WALK})
_MEASURED = frozenset({Stage.HUB, Stage.GAP, Stage.WALK})


def _phrase(act: Act, stages: frozenset[Stage], *templates: str, help: str = "") -> Phrase:
    return Phrase(act, templates, stages, help)


PUBLISHED_LIMITS = {f"use the {limit.name.lower().replace(',', '')} limit": limit for limit in (one.limit for one in PUBLISHED)}
"""The phrase that chooses each published limit."""

DRYING_TIMBERS = {f"moisture of {one.name}": one for one in SPECIES} | {"moisture of red cedar": SPECIES[0]}
"""The phrases that ask about each timber: unlike “drying”, so that one of them cut short is not taken for the rule without a name."""

_Named = TypeVar("_Named")


def named_by(wordings: Mapping[str, _Named], words: Iterable[str]) -> _Named | None:
    """What the words name, said as one of the wordings or otherwise: the wording that shares most of what tells it from the others."""
    told = {wording: frozenset(wording.split()) for wording in wordings}
    everywhere = frozenset.intersection(*told.values())
    shared = {wording: len((own - everywhere).intersection(words)) for wording, own in told.items()}
    nearest = max(told, key=lambda wording: (shared[wording], -len(told[wording])))
    return wordings[nearest] if shared[nearest] else None


# Many wordings to a line: one below the other they would be three times as long.
# fmt: off
PHRASES: tuple[Phrase, ...] = (
    # A number where one is asked for, and what can be said about it.
    _phrase(
        Act.VALUE, frozenset({Stage.ASK, Stage.CHOOSE, Stage.DOUBT, Stage.GAP, Stage.CAUTION}), "<length>", "make it <length>",
        "call it <length>", "tape says <length>", "the tape says <length>", help="a length",
    ),
    _phrase(Act.VALUE, frozenset({Stage.ASK}), "(about|it's) <length>", "<length> (exactly|on the nose)"),
    _phrase(Act.BARE, frozenset({Stage.ASK}), "<length> (bare|shy)"),
    _phrase(Act.OVER, frozenset({Stage.ASK}), "<length> (full|strong)"),
    _phrase(Act.LESS_BY, frozenset({Stage.ASK}), "<length> less [than [the] bottom]"),
    _phrase(Act.MORE_BY, frozenset({Stage.ASK}), "<length> more [than [the] bottom]"),
    _phrase(
        Act.SAME, frozenset({Stage.ASK}), "the same", "same", "ditto", "[the] same as [the] bottom", "same here",
        "both the same", "top [the] same",
        help="same as the one before",
    ),
    _phrase(
        Act.CORRECT, _AWAKE, "no <length>", "correction <length>", "wrong <length>", "no make it <length>", "make that <length>",
        "sorry <length>", "no sorry <length>", "nah <length>", help="no, and the right number",
    ),
    _phrase(Act.YES, _AWAKE, "yes", "that's right", "yep", "yup"),  # a yes is never the end of a no, nor what people say while thinking
    _phrase(
        Act.NO, _AWAKE, "no", "wrong", "that is wrong", "that's wrong", "incorrect", "not correct", "that is not right", "that's not right",
        "that isn't right", "not right", "nah", "nope", "no that's wrong", "nah that's wrong",
    ),
    _phrase(Act.NO, frozenset({Stage.CAUTION}), "no i haven't", "i haven't", "not yet", "no not yet"),
    _phrase(Act.FIRST, frozenset({Stage.CHOOSE}), "the first", "first", "[the] first one"),
    _phrase(Act.SECOND, frozenset({Stage.CHOOSE}), "the second", "second", "[the] second one"),
    # Everywhere.
    _phrase(Act.NEXT, _AWAKE, "next", "next mark", "next one", "next please", "and the next", help="the mark after this"),
    _phrase(Act.NEXT, frozenset({Stage.HUB, Stage.ASK, Stage.WALK}), "what's next", "what is next"),
    _phrase(
        Act.REPEAT, _AWAKE, "repeat", "say again", "say that again", "again", "i don't know", "pardon", "what was that",
        "come again", "say it again", "one more time", help="the last answer once more",
    ),
    _phrase(Act.BACK, _AWAKE, "back", "go back", "previous", "[go] back one", "one back", "previous one", help="the one before"),
    _phrase(
        Act.STOP, _AWAKE, "leave it", "stop", "stop there", "never mind", "cancel", "cancel that", "forget it",
        help="leave this, keeping what is done",
    ),
    _phrase(
        Act.END, _AWAKE, "stop for today", "quit", "finish for today", "that's it for today", "done for today", "exit", "goodbye", "bye",
        help="end here; all is kept",
    ),
    _phrase(Act.UNDO, _AWAKE, "undo", "undo that", "take that back", help="take the last change away"),
    _phrase(Act.HELP, _AWAKE, "what can i say", "help", help="this list"),
    _phrase(Act.MORE, _AWAKE, "what else", "tell me more", help="the rest of the list"),
    _phrase(Act.SLEEP, _AWAKE, "go to sleep assistant", "assistant go to sleep", help="hear nothing until woken"),
    _phrase(Act.WAKE, frozenset({Stage.ASLEEP}), "wake up assistant", "assistant wake up"),
    # Bays and what else there is to set out.
    _phrase(Act.NEXT_BAY, _HUB, "next bay", "the next bay", help="the next bay, to measure or to mark"),
    _phrase(Act.NEW_BAY, _HUB, "new bay", "another bay", "add a bay", "one more bay", help="measure another bay"),
    _phrase(Act.NEW_GATE, _HUB, "gate", help="measure a gate"),
    _phrase(Act.NEW_GATE, _OPENINGS, "new gate", "next gate", "add a gate"),  # “gate” alone is too near to “eight”
    _phrase(Act.HINGES_LEFT, _HUB, "hinges on the left", "on the left", help="where the leaf of a gate hangs"),
    _phrase(Act.HINGES_RIGHT, _HUB, "hinges on the right", "on the right"),
    _phrase(
        Act.ALL_MEASURED, frozenset({Stage.HUB, Stage.ASK}), "no more bays", "all measured", "all measures", "that is all", "set out",
        "that's all [of them]", "that's the lot", "that is the lot", "all done", help="go on to marking",
    ),
    _phrase(Act.ALL_MEASURED, _HUB, "done", "no more"),  # too near to numbers where one is asked for
    _phrase(
        Act.START_MARKING, _BAYS, "start marking", "ready to mark", "start nailing", "nail off", "mark it out", "mark it up",
        help="confirm the gap, then the marks",
    ),
    _phrase(Act.GO_BAY, _BAYS, "bay <count>", "go to bay <count>", "[go] back to bay <count>", help="choose a bay"),
    _phrase(
        Act.SUMMARY, _BAYS, "summary", "read the bay", "how many (pickets|palings|boards|slats)", "read that back",
        help="pickets and gap of this bay",
    ),
    _phrase(Act.WHICH_GAP, _TOLD, "what is the gap", "which gap", "what's the gap", "how big is the gap", help="the gap alone"),
    _phrase(Act.WHICH_BOTTOM, _TOLD, "what (is|was) the bottom [of bay <count>]", help="what was measured"),
    _phrase(Act.WHICH_TOP, _TOLD, "what (is|was) the top [of bay <count>]"),
    _phrase(Act.WHICH_SETTINGS, _TOLD, "what are the settings", help="pickets and largest gap"),
    _phrase(Act.IN_ALL, _TOLD, "how many in all", "how many bays", help="pickets of every bay together"),
    _phrase(
        Act.SET_BOTTOM, _OPENINGS, "bottom opening <length>", "bottom <length>", "[the] bottom (is|was) <length>",
        "no [the] bottom (is|was) <length>", help="measure the bottom again",
    ),
    _phrase(
        Act.SET_TOP, _OPENINGS, "top opening <length>", "top <length>", "[the] top (is|was) <length>", "no [the] top (is|was) <length>",
        help="measure the top again",
    ),
    _phrase(Act.SET_BOTTOM, _LATER, "[the] bottom (is|was) <length>", "no [the] bottom (is|was) <length>"),
    _phrase(Act.SET_TOP, _LATER, "[the] top (is|was) <length>", "no [the] top (is|was) <length>"),
    _phrase(Act.SET_BOTTOM, _LATER | _HUB, "[the] bottom of bay <count> (is|was) <length>"),
    _phrase(Act.SET_TOP, _LATER | _HUB, "[the] top of bay <count> (is|was) <length>"),
    _phrase(Act.BOTH, _OPENINGS, "both <length>", "<length> both [the same]", help="one length for both openings"),
    _phrase(Act.SAME_BAY, _OPENINGS, "same as bay <count>", "same as the last bay", help="the openings of another bay"),
    _phrase(Act.THICKNESS, frozenset({Stage.ASK}), "by <length>"),
    _phrase(Act.SET_MIDDLE, _HUB, "middle opening <length>", "middle rail <length>", help="add a middle rail"),
    _phrase(
        Act.MORE_PICKETS, _UNCONFIRMED, "one more picket", "one picket more", "one more (paling|board|slat)", "add a picket",
        help="a smaller gap",
    ),
    _phrase(
        Act.FEWER_PICKETS, _UNCONFIRMED, "one fewer picket", "one less picket", "one picket less", "one less (paling|board|slat)",
        help="a larger gap",
    ),
    _phrase(Act.MATCH, _HUB, "match the bays", "match the gaps", help="gaps alike, for one picket in ten at most"),
    _phrase(Act.MATCH_ALL, _HUB, "match whatever it takes", "match fully", help="gaps as alike as can be, whatever it takes"),
    _phrase(Act.PLAIN, _HUB, "fewest pickets", "fewest in each bay", help="each bay on its own"),
    _phrase(
        Act.CHANGE_BAY, _TOLD, "change bay <count>", "measure bay <count> again", "change gate <count>",
        "measure that bay again", help="measure a bay again",
    ),
    _phrase(
        Act.REMOVE_BAY, _OPENINGS, "remove bay <count>", "delete bay <count>", "remove gate <count>", "scrap bay <count>", "scrap that bay",
        "remove that bay", help="take a bay away",
    ),
    _phrase(Act.POSTS, _HUB, "post positions", "set out posts", "set out the posts", help="where the posts go"),
    _phrase(Act.POSTS_CENTRES, _HUB, "posts by centres", "post centres", help="the same, by the distance between centres"),
    _phrase(Act.HOW_MANY_POSTS, _HUB, "how many posts", help="posts of the run"),
    _phrase(Act.POSTS_REST, _HUB, "full bays first", help="full bays, and the rest as the last"),
    _phrase(Act.POSTS_EQUAL, _HUB, "equal bays", help="all bays alike again"),
    _phrase(Act.POSTS_GATE, _HUB, "gate in the run", help="a gate among the posts"),
    _phrase(Act.POSTS_OVER, _HUB, "measured over the posts", help="the run is between outer faces"),
    _phrase(Act.POSTS_BETWEEN, _HUB, "measured between centres", help="the run is between centres"),
    _phrase(Act.POSTS_INSIDE, _HUB, "measured inside the posts", help="the run is between inner faces"),
    _phrase(Act.POSTS_JUDGE, _HUB, "compare the bays", "compare openings", help="how the openings differ"),
    _phrase(Act.SLOPE_RAKED, _HUB, "raked slope", "raked bay", help="rails follow the ground"),
    _phrase(Act.SLOPE_STEPPED, _HUB, "stepped slope", "stepped bay", help="level rails that step down"),
    _phrase(Act.LEVEL, _HUB, "level bay", "no slope", help="take a slope away again"),
    _phrase(Act.POST, _HUB, "post <count>", help="where one post stands"),
    _phrase(Act.ADD_MIDDLE, _HUB, "add a middle rail", help="a rail halfway between bottom and top"),
    _phrase(Act.LEFT_LEANS, _HUB, "left post leans", help="the left post is out of plumb"),
    _phrase(Act.RIGHT_LEANS, _HUB, "right post leans", help="the right post is out of plumb"),
    _phrase(Act.BOTH_LEAN, _HUB, "both posts lean", help="both posts are out of plumb alike"),
    _phrase(Act.SLOPE_ALONG, _HUB, "slope along the rail", help="a raked bay from its rail length"),
    _phrase(Act.DEGREES, frozenset({Stage.ASK}), "<count> degrees", help="a slope by its angle"),
    _phrase(Act.DEGREES_AND_HALF, frozenset({Stage.ASK}), "<count> and a half degrees", "<count> point five degrees"),
    _phrase(Act.POLE, _HUB, "story pole", help="poles that carry the marks"),
    _phrase(Act.POLE_LEFT, _HUB, "story pole from the left"),
    _phrase(Act.POLE_RIGHT, _HUB, "story pole from the right"),
    _phrase(Act.HEIGHTS, _HUB, "height rod", "rod for the rails", help="a rod with the heights of the rails"),
    _phrase(Act.SPACER, _BAYS, "spacer block", "can i use a spacer", help="whether a spacer will do, and its size"),
    _phrase(Act.WIDTHS, _HUB, "picket widths", "measured widths", "uneven pickets", help="what uneven pickets do"),
    _phrase(Act.TIMBER, _HUB, "timber list", "material list", "how much timber", help="what to order"),
    _phrase(Act.DRYING, _HUB, "drying", "timber drying", help="what drying does to the gap"),
    _phrase(Act.DRYING_OF, _HUB, *DRYING_TIMBERS, help="the same for a timber by name"),
    _phrase(Act.CONTINUOUS, _HUB, "continuous run", "run past the posts", help="pickets across the faces of posts"),
    _phrase(Act.LAPPED, _HUB, "overlapping boards", "boards on both sides", help="boards that overlap, on one side or alternate sides"),
    _phrase(Act.BOARD, _HUB, "board <count>", help="where one overlapping board goes"),
    # The tape over what was dictated.
    _phrase(
        Act.RUN_IS, _MEASURED, "[the] run is <length>", "[the] whole run is <length>", "end to end <length>",
        help="hold the bays against the tape",
    ),
    _phrase(Act.RUN_IS, frozenset({Stage.ASK}), "the run is <length>"),
    _phrase(Act.RUN_OUTSIDE, _MEASURED, "outside to outside <length>"),
    _phrase(Act.RUN_INSIDE, _MEASURED, "inside to inside <length>"),
    _phrase(Act.POST_TO_POST, _HUB, "post to post", "from post to post", help="the same over some of the bays"),
    _phrase(Act.OUTSIDE, frozenset({Stage.ASK}), "outside to outside", "outside"),
    _phrase(Act.INSIDE, frozenset({Stage.ASK}), "inside to inside", "inside"),
    _phrase(Act.TAPE_SAYS, _WALK, "[the] tape says <length>", "far post <length>", help="what is left to the far post"),
    # Settings.
    _phrase(Act.SET_PICKET, _SETTING, "picket width <length>", "pickets are <length>", help="width of a picket"),
    _phrase(
        Act.SET_PICKET, frozenset({Stage.ASK, Stage.HUB}), "(pickets|palings|boards|slats) <length>", "(palings|boards|slats) are <length>",
        "no the pickets are <length>",
    ),  # while marking, “picket nine” is a mark
    _phrase(
        Act.SET_LARGEST_GAP, _SETTING, "largest gap <length>", "biggest gap <length>", "gap limit <length>",
        help="a gap may be this and no more",
    ),
    _phrase(
        Act.SET_LARGEST_GAP, frozenset({Stage.ASK}), "[gap|gaps] (no|not) more than <length>", "(max|maximum|up to|gap|gaps) <length>",
        "<length> (max|maximum)",
    ),
    _phrase(
        Act.SET_GAP_UNDER, _SETTING, "gap under <length>", "largest gap under <length>", "gap less than <length>",
        help="a gap must be less than this",
    ),
    _phrase(Act.SET_GAP_UNDER, frozenset({Stage.ASK}), "[gaps] under <length>", "[gaps] less than <length>"),
    _phrase(Act.USE_LIMIT, _SETTING, *PUBLISHED_LIMITS, help="a published limit"),
    _phrase(Act.WHICH_LIMITS, _SETTING, "which limits", "published limits", help="the published limits by name"),
    _phrase(Act.WHICH_CODE, _SETTING, "which code is that", "what code is that", help="edition and clause of the limit"),
    _phrase(Act.WORK_MM, _SETTING, "work in millimetres", "work in metric", help="lengths in millimetres"),
    _phrase(Act.WORK_INCHES, _SETTING, "work in inches", help="lengths in inches"),
    _phrase(Act.WORK_FEET, _SETTING, "work in feet and inches", "work in feet", help="lengths in feet and inches"),
    _phrase(Act.TO_MM, _SETTING, "mark to the millimetre", help="marks on whole millimetres"),
    _phrase(Act.TO_HALF_MM, _SETTING, "mark to the half millimetre", "mark to half millimetres", help="finer marks"),
    _phrase(Act.TO_SIXTEENTH, _SETTING, "mark to the sixteenth", "mark to sixteenths", help="marks on sixteenths"),
    _phrase(
        Act.TO_THIRTYSECOND, _SETTING, "mark to the thirty second", "mark to thirty seconds",
        help="marks on thirty seconds",
    ),
    _phrase(Act.LEFT_EDGES, _SETTING, "mark left edges", "left edges", help="marks at left edges"),
    _phrase(Act.RIGHT_EDGES, _SETTING, "mark right edges", "right edges", help="marks at right edges"),
    _phrase(Act.CENTRES, _SETTING, "mark centres", "mark centers", "centres", help="marks at centres"),
    _phrase(Act.FROM_LEFT, _SETTING, "from the left post", "from the left", help="measure from the left"),
    _phrase(Act.FROM_RIGHT, _SETTING, "from the right post", "from the right", help="measure from the right"),
    _phrase(Act.ENDS_GAP, _SETTING, "gap at both ends", "gap at both posts", help="a gap beside each post"),
    _phrase(Act.ENDS_PICKET, _SETTING, "picket at both ends", "picket against both posts", help="pickets against posts"),
    _phrase(Act.ENDS_HALF, _SETTING, "half gap at both ends", "half gaps at the ends", help="half a gap beside posts"),
    _phrase(Act.ENDS_SET, _SETTING, "end gap <length>", help="a set gap beside each post"),
    _phrase(Act.LEFT_GAP, _SETTING, "gap at the left post"),
    _phrase(Act.LEFT_PICKET, _SETTING, "picket at the left post"),
    _phrase(Act.LEFT_HALF, _SETTING, "half gap at the left post"),
    _phrase(Act.RIGHT_GAP, _SETTING, "gap at the right post"),
    _phrase(Act.RIGHT_PICKET, _SETTING, "picket at the right post"),
    _phrase(Act.RIGHT_HALF, _SETTING, "half gap at the right post"),
    _phrase(Act.KEEP_PLUMB, _SETTING, "keep pickets plumb", "pickets plumb", help="end gaps take up a leaning post"),
    _phrase(Act.SHARE_LEAN, _SETTING, "share the lean", "share it out", help="every gap shares a leaning post"),
    _phrase(Act.SHORT_ANSWERS, _SETTING, "short answers", help="fewer words"),
    _phrase(Act.FULL_ANSWERS, _SETTING, "full answers", help="whole sentences"),
    _phrase(Act.NUMBERS_WHOLE, _SETTING, "numbers whole", "say numbers whole", help="two thousand one hundred"),
    _phrase(Act.NUMBERS_TRADE, _SETTING, "numbers short", "say numbers short", help="twenty one sixty"),
    _phrase(Act.NUMBERS_DIGITS, _SETTING, "digit by digit", "say numbers digit by digit", help="two one six zero"),
    # Before the nails.
    _phrase(
        Act.CONFIRM_GAP, frozenset({Stage.GAP}), "gap confirmed", "confirm the gap", "confirm gap", "confirmed",
        help="the gap is right",
    ),
    _phrase(Act.UNDERSTOOD, frozenset({Stage.CAUTION}), "understood", "caution understood", help="caution heard"),
    # While marking.
    _phrase(
        Act.GO_MARK, _WALK, "go to mark <count>", "mark <count>", "(picket|paling|board|slat) <count>", "go to picket <count>",
        "go to <count>", help="any mark by its number",
    ),
    _phrase(Act.HOW_MANY_LEFT, _WALK, "how many left", "how many to go", "how many more", "how many are left", help="marks still to come"),
    _phrase(Act.WHERE, _WALK, "where am i", "which mark", "where was i", "where (are|were) we", help="bay, rail and mark"),
    _phrase(Act.WHERE, _HUB, "where was i"),
    _phrase(Act.NEXT_RAIL, _WALK, "next rail", "other rail", "other leaf", help="the rail after this"),
    _phrase(Act.RAIL_BOTTOM, _WALK, "bottom rail", help="marks of the bottom rail"),
    _phrase(Act.RAIL_MIDDLE, _WALK, "middle rail", help="marks of the middle rail"),
    _phrase(Act.RAIL_TOP, _WALK, "top rail", help="marks of the top rail"),
    _phrase(Act.GAP_MEASURES, _BAYS, "gap measures <length>", "gap is <length>", help="check a gap you measured"),
    _phrase(Act.CHECK_EVERY, _BAYS, "check every <count>", "check mark every <count>", help="check marks for a spacer"),
    _phrase(
        Act.RESPACE, _BAYS, "space again", "picket slipped", "space again from here", "(board|paling) slipped",
        help="after a picket slipped",
    ),
    _phrase(Act.CALL_EVERY, _WALK, "call every <count> seconds", help="marks at a steady pace"),
    _phrase(Act.HOLD, _AWAKE, "hold", "hold on", "hang on [a minute]", "wait a minute", help="no more calls for now"),
    _phrase(Act.CARRY_ON, _AWAKE, "carry on", "go on", "continue", "keep going", help="go on where you left off"),
    _phrase(Act.FASTER, _AWAKE, "faster", help="quicker speech and calls"),
    _phrase(Act.SLOWER, _AWAKE, "slower", "slow down", help="slower speech and calls"),
    _phrase(Act.LOUDER, _AWAKE, "louder", "speak up", help="more volume"),
    _phrase(Act.QUIETER, _AWAKE, "quieter", help="less volume"),
    _phrase(Act.HEADSET, _SETTING, "use the headset", help="you can talk over me"),
    _phrase(Act.LOUDSPEAKER, _SETTING, "use the loudspeaker", help="I listen once I have finished"),
)
# fmt: on

# A sentence put together from phrases ----------------------------------------------------------------------------------

PARTS = frozenset(
    (
        Act.VALUE, Act.SAME, Act.BOTH, Act.LESS_BY, Act.MORE_BY, Act.THICKNESS, Act.SET_BOTTOM, Act.SET_TOP, Act.SET_PICKET,
        Act.SET_LARGEST_GAP, Act.SET_GAP_UNDER,
        Act.NEXT_BAY, Act.NEW_BAY, Act.NEW_GATE, Act.GO_BAY, Act.SAME_BAY, Act.ALL_MEASURED, Act.START_MARKING, Act.ADD_MIDDLE,
        Act.MORE_PICKETS, Act.FEWER_PICKETS, Act.WORK_MM, Act.WORK_INCHES, Act.WORK_FEET, Act.CENTRES, Act.LEFT_EDGES, Act.RIGHT_EDGES,
        Act.FROM_LEFT, Act.FROM_RIGHT, Act.ENDS_GAP, Act.ENDS_PICKET, Act.ENDS_HALF,
    )
)  # fmt: skip
"""What can stand beside others in one sentence: nothing that confirms, acknowledges or takes away."""
PARTS_AT = frozenset({Stage.ASK, Stage.HUB, Stage.GAP, Stage.CAUTION, Stage.WALK})
"""Where such a sentence is taken."""
BEFORE_A_CORRECTION = frozenset(("no", "nah", "sorry", "wrong", "wait", "correction", "actually", "oops", "whoops", "hang", "on", "nope"))
"""The words that say that what follows puts something right."""
CORRECTABLE = frozenset(
    (
        Act.SET_BOTTOM, Act.SET_TOP, Act.BOTH, Act.SET_PICKET, Act.SET_LARGEST_GAP, Act.SET_GAP_UNDER, Act.SAME, Act.SET_MIDDLE,
        Act.MORE_PICKETS, Act.FEWER_PICKETS, Act.LESS_BY, Act.MORE_BY, Act.SAME_BAY, Act.RUN_IS,
    )
)  # fmt: skip
"""What can be put right by its name."""

OPENING_A_BAY = (
    "next bay [bottom] <length>",
    "next bay both <length>",
    "bay <count> [bottom] <length>",
    "bay <count> both <length>",
    "bay <count> top <length>",
)
"""How a sentence about a bay begins that holds its measurements; listened for where bays are measured."""
BEHIND_A_LENGTH = (
    "[and] [the] top [is] <length>",
    "[and] [the] bottom [is] <length>",
    "[and] top [the] same",
    "both [the same]",
    "by <length>",
    "(gap|gaps) [under|no more than] <length>",
    "[and] next bay [bottom] <length>",
    "[and] next bay both <length>",
    "[and] bay <count> [bottom] <length>",
    "[and] bay <count> both <length>",
)
"""What is listened for behind a length, one after another, where bays are measured."""

ARMED = ("stop",)
"""The words that interrupt while the assistant is speaking, in every stage."""

ARMED_WALKING = ("stop", "next", "repeat", "back")
"""The words that interrupt while a mark is being called."""
