"""Typed conversations and what has to be heard in the replies, turn by turn."""

from __future__ import annotations

from fractions import Fraction

import pytest
from talk import TO_REACH, Talk

from assistant.dialogue.cautions import NAILING
from assistant.dialogue.state import Cautioning
from assistant.job import CautionAcknowledged, MarkCalled, SetOutConfirmed
from assistant.language.vocabulary import PUBLISHED_LIMITS, Stage
from assistant.setout.lengths import Unit, inches
from assistant.setout.limits import GapLimit

SETUP = ("ninety", "one hundred")
ONE_BAY = TO_REACH[Stage.HUB]
FOUR_BAYS = (*ONE_BAY, *(line for _ in range(3) for line in ("new bay", "1820", "the same")))
MARKING = TO_REACH[Stage.WALK]

# (what it shows, lines before, [(line, what the reply has to hold, …), …])
CONVERSATIONS: list[tuple[str, tuple[str, ...], list[tuple[str, ...]]]] = [
    ("settings, a bay, read back in the other form", (), [
        ("ninety", "nine zero", "largest gap?"),
        ("one hundred", "one zero zero", "bay one", "bottom opening?"),
        ("one eight one five", "one thousand eight hundred and fifteen", "top opening?"),
        # 1815 at 90 and at most 100: ten pickets, eleven gaps of 915/11 = 83.18
        ("the same", "ten pickets, eleven gaps", "about eighty three point two millimetres"),
    ]),
    ("a correction takes the place of the last number", SETUP, [
        ("2145", "bottom", "top opening?"),
        ("no 2154", "bottom", "two thousand one hundred and fifty four", "top opening?"),
        ("the same", "two thousand one hundred and fifty four"),
    ]),
    ("a correction after the bay is complete", (*SETUP, "2145", "2138"), [
        ("no 2133", "top", "two thousand one hundred and thirty three", "plumb by twelve"),
    ]),
    ("a correction in a gate keeps the kind of its number", (*ONE_BAY, "gate", "1000", "20"), [
        ("12", "one leaf or two"),
        ("no 20", "latch clearance", "one leaf or two"),
        ("1", "leaves: one", "gate two"),
    ]),
    ("teen or ty is asked, not guessed", SETUP, [
        ("eighteen fifteen", "was that one eight one five", "one eight five zero"),
        ("the second", "one eight five zero", "top opening?"),
        ("eighteen forty eight", "one eight four eight"),
    ]),
    ("which of two is settled by the number too", (*SETUP, "eighteen fifteen"), [
        ("one eight one five", "bottom: one thousand eight hundred and fifteen", "top opening?"),
    ]),
    ("neither of two", (*SETUP, "eighteen fifteen"), [("no", "bottom opening?")]),
    ("where only one goes with the rest nothing is asked", (*SETUP, "1890"), [("eighteen ninety", "bay one", "pickets")]),
    ("an unlikely number is questioned", (), [
        ("nine hundred", "picket width: nine hundred millimetres", "is that right?"),
        ("no", "how wide is a picket?"),
        ("nine hundred", "is that right?"),
        ("ninety", "nine zero", "largest gap?"),
    ]),
    ("a yes takes the unlikely number", (), [("three hundred", "is that right?"), ("yes", "three zero zero", "largest gap?")]),
    ("top and bottom far apart are questioned", (*SETUP, "2145"), [
        ("2245", "differ by one hundred millimetres", "is that right?"), ("2138", "bay one"),
    ]),
    ("an opening unlike the others is questioned", (*FOUR_BAYS, "new bay"), [("500", "far from the other openings", "right?")]),
    ("a bay out of plumb is told", SETUP, [("2145", "top"), ("2138", "post out of plumb by seven.")]),
    ("what the tape may have done is asked", SETUP, [("2145", "top"), ("2139", "out of plumb by six, or tape?")]),
    ("in short answers a bay is told in few words, and how to mark it once", (*ONE_BAY, "short answers"), [
        # 2138 less 11 pickets of 90 leaves 1148 for 12 gaps: 95.67; the larger opening 96.25
        ("new bay", "bay two, bottom?"), ("2145", "top?"),
        ("2138", "bay two: eleven pickets, gap about ninety six point two. post out of plumb by seven. mark the bottom rail, plumb"),
        ("new bay", "bay three, bottom?"), ("2139", "top?"), ("2145", "out of plumb by six, or tape? mark the top rail."),
    ]),
    ("the gap is confirmed by its words", ONE_BAY, [
        ("start marking", "eighty three point two", "say: gap confirmed"), ("gap confirmed", "caution"),
    ]),
    ("before a gap is confirmed, what it comes from is read once more", (*ONE_BAY, "next bay", "2145", "2138", "bay one"), [
        ("start marking", "bay one, opening one thousand eight hundred and fifteen, pickets ninety. the gap is about eighty three"),
        ("no", "not confirmed", "bottom opening"), ("start marking", "gap confirmed"), ("gap confirmed", "caution"),
        ("understood", "mark one"), ("stop", "carry on"), ("bay two", "bay two"),
        ("start marking", "bay two, bottom two thousand one hundred and forty five, top two thousand one hundred and thirty eight. the"),
    ]),
    ("the gap is confirmed by saying it", TO_REACH[Stage.GAP], [("eighty three point two", "gap confirmed", "caution")]),
    ("a wrong gap is refused", TO_REACH[Stage.GAP], [
        ("ninety three point two", "not the gap", "eighty three point two"), ("gap confirmed", "caution"),
    ]),
    ("a yes does not confirm a gap", TO_REACH[Stage.GAP], [("yes", "say: gap confirmed")]),
    ("the caution waits for its word", TO_REACH[Stage.CAUTION], [
        ("next", "say: understood"), ("yes", "understood"), ("understood", "mark one: eighty three"),
    ]),
    # pitch 90 + 915/11 = 173.18: left edges at 83.2, 256.4, 429.5, 602.7, 775.9, …, 1641.8
    ("marks one after another, back, again and by number", MARKING, [
        ("next", "mark two: two hundred and fifty six"), ("next", "mark three: four hundred and thirty"),
        ("back", "mark two: two hundred and fifty six"), ("repeat", "mark two: two hundred and fifty six"),
        ("how many left", "eight marks left"), ("go to mark nine", "mark nine: one thousand four hundred and sixty nine"),
        ("next", "mark ten: one thousand six hundred and forty two", "last one"), ("how many left", "none left"),
        ("go to mark 11", "there is no mark eleven", "ten marks"), ("where am i", "bay one", "mark ten"),
        ("next", "five marks of this bay are not called yet", "mark four: six hundred and three"), ("go to mark 8", "mark eight"),
        ("next", "mark nine"), ("next", "mark ten"), ("next", "three marks of this bay", "mark five"),
        ("next", "mark six"), ("next", "mark seven"), ("go to mark 10", "last one"), ("next", "bay one is marked", "last bay"),
    ]),
    ("before the first mark there is none", MARKING, [("back", "first mark", "mark one: eighty three")]),
    ("leave it, and carry on where it was", (*MARKING, "next", "next"), [
        ("stop", "carry on"), ("carry on", "mark three: four hundred and thirty"),
    ]),
    ("marks at a steady pace", MARKING, [
        ("call every 20 seconds", "every twenty seconds"), ("hold", "holding"), ("carry on", "two hundred and fifty six"),
        ("call every 90 seconds", "one to sixty"),
    ]),
    ("one more picket needs the bay opened again, and asks for the gap again", (*MARKING, "next", "stop"), [
        # eleven pickets, twelve gaps of (1815 - 990) / 12 = 68.75; mark two moves from 256 to 227.5, which is 228
        ("one more picket", "bay one is set out", "two marks of it are called", "open bay one again?"),
        ("yes", "open again", "eleven pickets"),
        ("start marking", "gap is", "sixty eight point eight", "gap confirmed"),
        ("gap confirmed", "two marks called before have moved, by up to twenty eight", "mark one: sixty nine"),
    ]),
    ("a bay is taken away only after a yes", (*ONE_BAY, "next bay", "2145", "the same"), [
        ("remove bay one", "remove bay one?", "yes or no"), ("no", "it stays"), ("remove bay one", "?"), ("yes", "bay one removed"),
        ("bay one", "there is no bay one", "bay two"),
    ]),
    ("a bay that was taken away comes back, without the question", (*ONE_BAY, "remove bay one", "yes"), [
        ("undo", "undone: bay one stands again. say: next bay"), ("bay one", "bay one: ten pickets"),
    ]),
    ("undo in a question drops the number in question, not what was settled before", SETUP, [
        ("12000", "is that right?"), ("undo", "bottom opening?"), ("1815", "top opening?"), ("1850", "top"), ("undo", "top opening?"),
    ]),
    ("help begins with what leads on", (), [
        ("what can i say", "how wide is a picket? you can say: a length. or"), ("ninety", "largest"), ("one hundred", "bottom"),
        ("1815", "top"), ("the same", "bay"),
        ("what can i say", "you can say: next bay; gate; no more bays; start marking"),
    ]),
    ("words out of place say what is wanted", SETUP, [("start marking", "bottom opening?", "leave it")]),
    ("words out of place while a gap is confirmed", TO_REACH[Stage.GAP], [("bottom rail", "wait for", "gap confirmed")]),
    ("a bay is measured before the gap is confirmed", TO_REACH[Stage.GAP], [("new bay", "not confirmed", "bay two. bottom")]),
    ("a form gives way to what begins something else, and is named", ONE_BAY, [
        ("timber list", "how many rails"), ("summary", "ten pickets", "how many rails"), ("next bay", "dropped: timber list", "bay two"),
        ("start marking", "no bay two", "gap confirmed"),
    ]),
    ("an opening that was measured does not give way", (*SETUP, "1815"), [("start marking", "first this", "top opening?")]),
    ("a slip that is left goes back to its mark", (*MARKING, "next", "picket slipped"), [("leave it", "left.", "mark two")]),
    ("both are put right at once", (*SETUP, "1845 both"), [("no 1855", "bottom: one thousand eight hundred and fifty five",
        "top: the same.")]),
    ("a yes and what comes next", (*SETUP, "12000"), [("yes top 11998", "bottom: twelve thousand", "top: eleven thousand")]),
    ("what comes next has to wait for the yes", (*SETUP, "12000"), [("bottom 2100 top 2150", "wait for a yes", "is that right?")]),
    ("who asks for a mark stays where he is", (*MARKING, "next"), [
        ("where is picket five", "mark five:", "you are at mark two"), ("next", "mark three"), ("mark two slipped", "picket two"),
        ("leave it", "left. mark three"),
    ]),
    ("a clearance is never taken for the largest gap", (*ONE_BAY, "gate", "1000"), [
        ("the latch gap is 15", "first this", "hinges?"), ("hinge gap's 20", "hinge clearance: two zero"),
        ("22 at the latch", "latch clearance: two two"),
    ]),
    ("pickets of both leaves are counted", ("70", "65", "2400", "the same", "gate", "3000", "22", "25", "two"), [
        ("how many pickets in all", "two bays, forty two pickets in all"), ("no more bays", "gate two, twenty four pickets"),
    ]),
    ("a gate is taken away by its kind", (*ONE_BAY, "gate", "1000", "20", "20", "one", "go to bay one"), [
        ("remove the gate", "remove gate two?"), ("yes", "gate two removed"), ("remove the gate", "there is no gate"),
    ]),
    ("a width in front of a gate is the gate's", ONE_BAY, [("a 1000 gate", "gate two", "gate opening: one thousand")]),
    ("a bay said before the limit waits for it and drops nothing", ("65",), [
        ("bay one 2340 both", "i keep that until then", "largest gap?"),
        ("82", "gaps up to eighty two", "bottom: two thousand three hundred and forty", "sixteen pickets"),
    ]),
    ("an opening said before the limit is not taken for another number", ("65",), [
        ("first bay 1962 down low", "first this", "largest gap?"),
        ("there's a gate, 1010 between the posts", "i keep that until then", "largest gap?"),
        ("nothing wider than 82", "gaps up to eighty two"),
    ]),
    ("a length run into the number of a bay is asked about", (*SETUP, "1845 both", *["next bay 1845 both"] * 18), [
        ("bay twenty one three zero zero", "bay twenty.", "one thousand three hundred", "is that right?"),
    ]),
    ("what is asked about a bay goes with it", (*MARKING, "picket slipped", "one", "scrap bay one"), [("yes", "bay one removed",
        "new bay")]),
    ("a slip says which picket at once", (*MARKING, "next"), [("picket one slipped", "where is its mark now")]),
    ("pickets wider than the opening", (*SETUP, "310"), [("the same", "bay one")]),
    ("an impossible width leaves all as it was", ONE_BAY, [
        ("picket width 2000", "is that right?"), ("yes", "two thousand millimetres", "must be more"), ("summary", "ten pickets"),
    ]),
    ("settings by voice", SETUP, [
        ("mark centres", "centres"), ("from the right post", "from the right"), ("short answers", "short"), ("1815", "top?"),
        ("the same", "ten pickets"), ("start marking", "gap confirmed"), ("gap confirmed", "caution"),
        # centres from the right: 83.18 + 45 = 128.18
        ("understood", "one hundred and twenty eight", "from the right post", "centres"), ("next", "three hundred and one"),
    ]),
    ("numbers digit by digit, and short", MARKING, [
        ("digit by digit", "eight three"), ("next", "two five six"), ("numbers short", "two fifty six"),
        ("numbers whole", "two hundred and fifty six"),
    ]),
    ("a published limit asks whose decision it is", SETUP, [("which limits", "you can use"), ("1815", "top")]),
    ("help, and the rest of it", ONE_BAY, [("what can i say", "you can say", "what else"), ("what else", "you can say")]),
    ("a name from the list of bays", (*ONE_BAY, "new bay", "2145", "the same"), [("bay one", "bay one", "ten pickets")]),
    ("silence keeps the job", MARKING, [("go to sleep assistant", "asleep"), ("wake up assistant", "carry on"),
                                        ("carry on", "caution"), ("understood", "mark one")]),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "turns"), [c[1:] for c in CONVERSATIONS], ids=[c[0] for c in CONVERSATIONS])
def test_conversation(lines: tuple[str, ...], turns: list[tuple[str, ...]]) -> None:
    talk = Talk(*lines)
    for line, *expected in turns:
        said = talk.say(line).lower()
        for part in expected:
            assert part in said, (line, said)


UNDONE: list[tuple[str, tuple[str, ...], str]] = [
    ("an answer", SETUP, "2145"),
    ("the last answer of a bay", (*SETUP, "2145"), "2138"),
    ("a width", ONE_BAY, "picket width 80"),
    ("a limit", ONE_BAY, "largest gap 95"),
    ("a unit", ONE_BAY, "work in inches"),
    ("an edge", ONE_BAY, "mark centres"),
    ("an end", ONE_BAY, "picket at both ends"),
    ("a style", ONE_BAY, "short answers"),
    ("a count", ONE_BAY, "one more picket"),
    ("a bay begun", ONE_BAY, "new bay"),
    ("an opening measured again", ONE_BAY, "top opening 1810"),
    ("a confirmed gap", TO_REACH[Stage.GAP], "gap confirmed"),
    ("an acknowledged caution", TO_REACH[Stage.CAUTION], "understood"),
    ("a mark", MARKING, "next"),
    ("a form left", (*SETUP, "2145"), "leave it"),
    ("a slope", (*ONE_BAY, "raked bay", "200"), "1800"),
]


@pytest.mark.parametrize(("lines", "change"), [c[1:] for c in UNDONE], ids=[c[0] for c in UNDONE])
def test_undo_takes_back(lines: tuple[str, ...], change: str) -> None:
    """Whatever the change, one undo brings the job back as it was, and asks on from there."""
    talk = Talk(*lines)
    job, stage = talk.job, talk.stage
    talk.say(change)
    assert talk.job != job
    said = talk.say("undo")
    assert said.startswith("Undone")
    assert talk.job == job
    assert talk.stage in (stage, Stage.HUB, Stage.ASK)


def test_undo_of_a_correction_goes_back_before_the_number_it_corrected() -> None:
    """A correction stands in the place of its number: undoing takes both, and the question is asked again."""
    talk = Talk(*SETUP, "2145")
    talk.say("no 2154")
    assert "Bottom opening?" in talk.say("undo")


def test_a_removed_bay_comes_back_by_undo() -> None:
    talk = Talk(*ONE_BAY, "remove bay one")
    before = talk.job
    talk.say("yes")
    assert not talk.job.bays
    talk.say("undo")
    assert talk.job == before


def test_a_job_in_inches() -> None:
    """71 1/2 in with 3 1/2 in pickets and gaps of at most 4 in: nine pickets, ten gaps of exactly 4 in."""
    talk = Talk("work in inches", "3 1/2 in", "4 in", "71 1/2 in", "the same")
    assert talk.job.settings.unit is Unit.INCH
    assert talk.job.bays[0].openings == (("bottom", inches("71.5")), ("top", inches("71.5")))
    assert "nine pickets, ten gaps of four inches" in talk.say("summary")
    talk.say("start marking")
    talk.say("gap confirmed")
    assert "mark one: four" in talk.say("understood").lower()
    assert "eleven and a half" in talk.say("next")


def test_the_record_holds_gap_then_caution_then_mark() -> None:
    """What the sheet shows was done in this order."""
    talk = Talk(*MARKING)
    kinds = [type(fact) for fact in talk.kept.facts]
    order = [kinds.index(kind) for kind in (SetOutConfirmed, CautionAcknowledged, MarkCalled)]
    assert order == sorted(order)


def test_a_width_said_again_during_the_settings_is_the_one_that_counts() -> None:
    talk = Talk("ninety", "picket width 95", "one hundred", "1815", "the same")
    assert talk.job.bays[0].picket == Fraction(95)


def test_a_doubtful_correction_does_not_cost_the_bay() -> None:
    """The bay was complete before the correction; leaving the doubt asks for that one opening again."""
    talk = Talk(*SETUP, "2145", "2138", "no 4494")
    assert "Top opening?" in talk.say("leave it")
    assert "Bay one" in talk.say("2133")


def test_a_no_taken_for_a_zero_is_not_the_next_answer() -> None:
    """“No” is easily heard as “zero”: such a number is not accepted for the question on the table."""
    talk = Talk(*SETUP, "2145")
    before = talk.job
    assert "did not get that" in talk.say("zero two one five four")
    assert talk.job == before


def test_a_bay_measured_again_keeps_its_place_and_its_number() -> None:
    talk = Talk(*SETUP, "2145", "the same", "next bay", "one eight one five", "the same")
    assert "Bay one once more" in talk.say("change bay one")
    talk.say("2160")
    assert "Bay one: eleven pickets" in talk.say("the same")
    assert [(bay.number, bay.opening("bottom")) for bay in talk.job.bays] == [(1, 2160), (2, 1815)]


def test_a_job_may_begin_with_a_gate() -> None:
    talk = Talk("leave it")
    assert "picket" in talk.say("gate")
    talk.say("90")
    assert "Gate one" in talk.say("100")


def test_what_was_heard_is_never_given_up_for_a_likelier_twin_unasked() -> None:
    talk = Talk()
    assert "was that one nine millimetres, or nine zero millimetres" in talk.say("nineteen")
    talk.say("the first")
    talk.say("yes")
    talk.say("100")
    assert talk.job.settings.picket == 19


def test_a_number_cut_short_is_asked_about_before_it_is_taken_whole() -> None:
    talk = Talk(*SETUP)
    assert "Bottom: five thousand millimetres. Is that right?" in talk.say("fifty")
    assert "Bottom: five zero zero zero" in talk.say("yes")


def test_a_gap_said_back_is_held_against_the_gap_and_never_becomes_a_question() -> None:
    talk = Talk(*SETUP, "2160", "the same", "start marking")
    assert "That is not the gap" in talk.say("ninety")
    assert "Gap confirmed" in talk.say("ninety eight")


def test_a_number_where_a_bay_is_to_be_removed_removes_nothing() -> None:
    talk = Talk(*SETUP, "1815", "the first", "the same", "remove bay one")
    assert talk.say("one hundred").startswith("Remove bay one? Yes or no.")
    assert len(talk.job.bays) == 1


def test_openings_are_taken_in_any_order_by_their_names() -> None:
    talk = Talk(*SETUP)
    assert "Top: two one five eight. Bottom opening?" in talk.say("top two thousand one hundred and fifty eight")
    assert "Bay one" in talk.say("2160")
    assert talk.job.bays[0].openings == (("bottom", 2160), ("top", 2158))


def test_a_correction_replaces_the_opening_that_was_named_and_not_the_one_that_is_asked_for() -> None:
    talk = Talk(*SETUP, "top 2158")
    assert "Bottom opening?" in talk.say("no make it 2153")
    talk.say("2160")
    assert talk.job.bays[0].openings == (("bottom", 2160), ("top", 2153))


def test_the_first_opening_is_put_right_by_its_name_while_the_second_is_asked_for() -> None:
    talk = Talk(*SETUP, "2145")
    assert "Top opening?" in talk.say("no the bottom was 2154")
    talk.say("the same")
    assert talk.job.bays[0].openings == (("bottom", 2154), ("top", 2154))


def test_a_named_opening_in_question_is_not_given_to_the_other_one() -> None:
    talk = Talk(*SETUP, "top 12000")
    assert "Then say it again. Top opening?" in talk.say("no")
    assert "Bottom opening?" in talk.say("2158")
    assert talk.job.draft is not None and talk.job.draft.answers == (("top", 2158),)


def test_a_limit_that_must_not_be_reached_is_told_from_one_that_may() -> None:
    assert Talk("ninety", "under a hundred").job.settings.limit == GapLimit(Fraction(100), strict=True)
    assert Talk("ninety", "no more than a hundred").job.settings.limit == GapLimit(Fraction(100), strict=False)
    assert Talk("ninety", "a hundred max").job.settings.limit == GapLimit(Fraction(100), strict=False)


def test_one_more_picket_at_the_gap_asks_for_the_new_gap() -> None:
    talk = Talk(*TO_REACH[Stage.GAP])
    # eleven pickets, twelve gaps of (1815 - 990) / 12
    assert "sixty eight point eight" in talk.say("one more picket")
    assert talk.stage is Stage.GAP
    assert "eighty three" in talk.say("one less picket")


def test_that_is_the_lot_leaves_a_bay_of_which_nothing_was_measured() -> None:
    talk = Talk(*ONE_BAY, "next bay")
    assert "For bay one, say: start marking" in talk.say("that's the lot")
    assert talk.job.draft is None and len(talk.job.bays) == 1


def test_that_is_the_lot_in_the_middle_of_a_bay_still_asks() -> None:
    assert "Top opening?" in Talk(*ONE_BAY, "next bay", "2145").say("that's the lot")


def test_that_bay_is_the_one_that_is_talked_about() -> None:
    talk = Talk(*ONE_BAY, "next bay", "2145", "the same", "bay one")
    assert "Remove bay one?" in talk.say("scrap that bay")
    talk.say("nah")
    assert "Bay one once more" in talk.say("measure that bay again")


def test_what_sounds_alike_is_asked_about_when_spoken_and_taken_when_typed() -> None:
    assert "was that" in Talk(*SETUP).say("eighteen fifteen")
    assert "Top opening?" in Talk(*SETUP).type("eighteen fifteen")
    assert "Bottom opening?" in Talk("ninety").type("19")


def test_a_number_with_two_readings_is_asked_about_when_typed_too() -> None:
    assert "Is that right?" in Talk(*SETUP).type("12000")


@pytest.mark.parametrize("line", ["repeat", "back", "come again"])
def test_a_caution_is_said_again_whole_and_never_passed_over(line: str) -> None:
    talk = Talk(*TO_REACH[Stage.CAUTION], "next", "slower")
    said = talk.say(line)
    assert said.startswith(NAILING.spoken) and said.endswith("Say: understood.")
    assert talk.stage is Stage.CAUTION


def test_back_does_not_skip_whose_decision_a_limit_is() -> None:
    talk = Talk("ninety", next(iter(PUBLISHED_LIMITS)))
    talk.say("back")
    assert talk.stage is Stage.CAUTION
    talk.say("understood")
    assert talk.stage is Stage.ASK


def test_both_openings_in_one_breath_are_each_read_back() -> None:
    talk = Talk(*SETUP)
    said = talk.say("bottom 2160 top 2158")
    assert "Bottom: two thousand one hundred and sixty" in said and "Top: two thousand one hundred and fifty eight" in said
    assert talk.job.bays[0].openings == (("bottom", 2160), ("top", 2158))


def test_of_two_numbers_in_one_breath_each_is_asked_about_by_itself() -> None:
    talk = Talk(*SETUP)
    assert "Bottom: was that" in talk.say("bottom eighteen fifteen top eighteen fourteen")
    assert "Top: was that" in talk.say("the first")
    assert "Bay one" in talk.say("the first")
    assert talk.job.bays[0].openings == (("bottom", 1815), ("top", 1814))


def test_a_second_number_is_forgotten_with_the_first() -> None:
    talk = Talk(*SETUP, "bottom eighteen fifteen top 2158")
    assert "Bottom opening?" in talk.say("no")
    assert "Top opening?" in talk.say("2160")
    assert talk.job.draft is not None and talk.job.draft.answers == (("bottom", 2160),)


def test_a_no_behind_two_numbers_asks_which() -> None:
    talk = Talk(*SETUP, "bottom 2160 top 2158")
    assert "bottom, or top" in talk.say("no 2153")
    talk.say("top 2153")
    assert talk.job.bays[0].openings == (("bottom", 2160), ("top", 2153))


def test_one_length_for_both() -> None:
    talk = Talk(*SETUP, "2160 both the same", "next bay 1820 both")
    assert [bay.openings for bay in talk.job.bays] == [(("bottom", 2160), ("top", 2160)), (("bottom", 1820), ("top", 1820))]


def test_the_next_bay_in_one_breath_leaves_the_current_one_as_it_is() -> None:
    talk = Talk(*ONE_BAY)
    assert "Bay two. Bottom: two thousand one hundred and forty five" in talk.say("next bay 2145")
    talk.say("2138")
    assert [bay.opening("bottom") for bay in talk.job.bays] == [1815, 2145]


def test_two_numbers_where_the_question_is_another_change_nothing() -> None:
    talk = Talk(*ONE_BAY, "gate")
    before = talk.job
    assert "gate posts" in talk.say("bottom 2160 top 2158")
    assert talk.job == before


def test_the_settings_in_one_breath() -> None:
    talk = Talk()
    assert "Bottom opening?" in talk.say("pickets ninety gaps under a hundred")
    assert talk.job.settings.picket == 90
    assert talk.job.settings.limit == GapLimit(Fraction(100), strict=True)


def test_two_lengths_that_cannot_be_set_out_leave_the_question() -> None:
    talk = Talk("2000", "yes", "one hundred", "yes")
    assert "Bottom opening?" in talk.say("bottom 1800 top 1801")
    assert talk.job.draft is not None and talk.job.draft.answers == ()


# Never a dead end, never a scold --------------------------------------------------------------------------------------

SLIPPED = (*MARKING, "picket slipped")
HELP: list[tuple[str, tuple[str, ...], str]] = [
    ("a width", (), "How wide is a picket? You can say: a length."),
    ("an opening", SETUP, "Bottom opening? You can say: a length."),
    ("an opening like the one below it", (*SETUP, "2160"), "Top opening? You can say: a length; the same."),
    ("another bay, or no more", (*ONE_BAY, "next bay"), "Bottom opening? You can say: a length; the same; no more bays."),
    ("the picket that slipped", SLIPPED, "Which picket slipped? You can say: a number."),
    ("where it is", (*SLIPPED, "2"), "Where is its mark now, from the post? You can say: a length."),
    ("a row of widths", (*ONE_BAY, "picket widths", "90"), "You can say: a length; all measured."),
    ("which of two", (*SETUP, "eighteen fifteen"), "You can say: the first; the second; or the number once more."),
    ("an unlikely number", (*SETUP, "12000"), "You can say: yes; no; or the right number."),
    ("a yes or a no", (*ONE_BAY, "remove bay one"), "You can say: yes; no."),
    ("a gap", TO_REACH[Stage.GAP], "You can say: gap confirmed; no; or the gap itself."),
    ("a caution", TO_REACH[Stage.CAUTION], "You can say: understood; say again."),
    ("what to do", ONE_BAY, "You can say: next bay; gate; no more bays; start marking;"),
]


@pytest.mark.parametrize(("lines", "named"), [c[1:] for c in HELP], ids=[c[0] for c in HELP])
def test_help_names_what_the_question_takes_in_one_breath_and_the_rest_behind_it(lines: tuple[str, ...], named: str) -> None:
    talk = Talk(*lines)
    said = talk.say("help")
    assert named in said and said.endswith("Or say: what else.")
    assert len(said.split()) <= 30
    assert "leave it" in " ".join(talk.say("what else") for _ in range(30))


def test_what_help_names_in_a_question_is_never_refused() -> None:
    for name, lines, _ in HELP:
        for saying in Talk(*lines).say("help").split("You can say: ")[1].removesuffix(" Or say: what else.").rstrip(".").split("; "):
            if saying.startswith(("a length", "a number", "or the")):
                continue
            talk = Talk(*lines)
            assert talk.say(saying) and talk.conversation.state.misses == 0, (name, saying)


@pytest.mark.parametrize("line", ["no", "no i haven't", "not yet", "i haven't", "no i haven't understood", "yes", "next", "carry on"])
def test_nothing_but_its_word_acknowledges_a_caution(line: str) -> None:
    talk = Talk(*TO_REACH[Stage.CAUTION])
    assert "understood" in talk.type(line)
    assert talk.stage is Stage.CAUTION
    assert not any(isinstance(fact, CautionAcknowledged) for fact in talk.kept.facts)


LIMIT = next(iter(PUBLISHED_LIMITS))


@pytest.mark.parametrize("lines", [("ninety", LIMIT), (*TO_REACH[Stage.GAP], "gap confirmed"), (*ONE_BAY, LIMIT)])
@pytest.mark.parametrize("between", [(), ("next", "next"), ("what on earth",), ("help", "what else"), ("slower",), ("no",)])
def test_every_caution_is_heard_again_whole_by_repeat(lines: tuple[str, ...], between: tuple[str, ...]) -> None:
    talk = Talk(*lines)
    focus = talk.conversation.state.focus
    assert isinstance(focus, Cautioning)
    for line in between:
        talk.type(line)
    assert talk.type("repeat").startswith(focus.caution.spoken)
    assert talk.conversation.state.focus == focus


def test_a_number_said_at_a_caution_is_kept_until_that_is_acknowledged() -> None:
    talk = Talk("ninety", LIMIT)
    assert "keep" in talk.say("2145")
    assert talk.job.draft is not None and not talk.job.draft.answers
    said = talk.say("understood")
    assert "Bottom: two thousand one hundred and forty five. Top opening?" in said


def test_both_openings_said_at_a_caution_are_kept_too() -> None:
    talk = Talk("ninety", LIMIT, "bottom 2160 top 2158", "understood")
    assert talk.job.bays[0].openings == (("bottom", 2160), ("top", 2158))


def test_what_was_kept_at_a_caution_is_asked_about_where_it_has_to_be() -> None:
    talk = Talk("ninety", LIMIT, "12000")
    assert "Is that right?" in talk.say("understood")


def test_a_kept_number_goes_with_the_caution_when_that_is_left() -> None:
    talk = Talk("ninety", LIMIT, "2145", "leave it", "new bay")
    assert talk.conversation.state.kept is None
    assert talk.job.draft is not None and not talk.job.draft.answers


def test_what_is_kept_and_cannot_be_leaves_the_caution_and_is_forgotten() -> None:
    talk = Talk("2000", "yes", LIMIT, "bottom 1800 top 1801")
    talk.say("understood")
    assert "Bottom opening?" in talk.say("understood") or talk.stage is Stage.ASK


def test_a_number_said_at_the_caution_before_marking_is_no_answer_to_anything() -> None:
    talk = Talk(*TO_REACH[Stage.CAUTION])
    assert "say: understood" in talk.say("2145").lower()
    assert talk.say("understood").startswith("Bay one")


@pytest.mark.parametrize("way", [LIMIT, "largest gap one hundred", "gap under one hundred"])
def test_a_limit_that_is_chosen_is_not_asked_for_again(way: str) -> None:
    talk = Talk(way)
    if talk.stage is Stage.CAUTION:
        talk.say("understood")
    assert "Bottom opening?" in talk.say("ninety")
    assert talk.job.settings.picket == 90 and talk.job.settings.limit is not None


def test_a_limit_chosen_before_the_settings_were_left_is_not_asked_for_again() -> None:
    talk = Talk("leave it", LIMIT, "understood", "new bay")
    assert "Bottom opening?" in talk.say("ninety")
    assert talk.job.settings.limit == PUBLISHED_LIMITS[LIMIT]


def test_a_width_given_before_the_settings_were_left_is_not_asked_for_again() -> None:
    assert "largest gap?" in Talk("ninety", "leave it").say("new bay").lower()


@pytest.mark.parametrize("change", ["slower", "faster", "louder", "quieter", "hang on"])
def test_repeat_after_a_change_of_voice_says_what_was_said_before(change: str) -> None:
    talk = Talk(*SETUP)
    asked = talk.say("2160")
    talk.say(change)
    assert talk.say("repeat") == asked


def test_repeat_after_slower_says_the_mark_again() -> None:
    talk = Talk(*MARKING, "next", "slower")
    assert talk.say("repeat") == "Mark two: two hundred and fifty six."


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASLEEP])
@pytest.mark.parametrize("line", ["quit", "stop for today", "exit", "goodbye"])
def test_enough_for_today_is_answered_in_words_and_nothing_is_lost(stage: Stage, line: str) -> None:
    talk = Talk(*TO_REACH[stage])
    before = talk.job
    assert "kept" in talk.say(line) and talk.stage is Stage.ASLEEP, "by voice it sleeps: a word misheard must not end the day"
    assert talk.say("wake up assistant").startswith("Awake")
    assert talk.job == before
    typed = Talk(*TO_REACH[stage]).conversation.typed(line)
    assert typed.ended and "kept" in typed.spoken[0]


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASLEEP])
def test_cancel_leaves_as_leave_it_does(stage: Stage) -> None:
    talk, other = Talk(*TO_REACH[stage]), Talk(*TO_REACH[stage])
    assert talk.say("cancel") == other.say("leave it")
    assert talk.job == other.job


def test_the_same_answer_to_the_same_words_tells_how_to_get_help() -> None:
    talk = Talk(*TO_REACH[Stage.GAP])
    said = [talk.say("yes") for _ in range(5)]
    assert all("gap confirmed" in one for one in said)
    assert "what can I say" in said[1] and said[0] != said[1]
    assert all(len(set(said[at : at + 2])) == 2 for at in range(4))


def test_a_correction_of_what_began_a_bay_in_the_same_breath_is_of_that_bay() -> None:
    talk = Talk(*TO_REACH[Stage.HUB], "next bay 1257")
    assert talk.say("no 2257").startswith("Bottom: two thousand two hundred and fifty seven.")
    talk.say("same")
    assert talk.job.bays[1].openings == (("bottom", Fraction(2257)), ("top", Fraction(2257)))


def test_no_and_a_number_is_about_what_could_not_be_set_out() -> None:
    """Not about the opening that was accepted before it."""
    talk = Talk(*TO_REACH[Stage.ASK], "2160", "2700")
    assert "differ by" in talk.say("yes")
    talk.say("no 2158")
    assert talk.job.bays[0].openings == (("bottom", Fraction(2160)), ("top", Fraction(2158)))


@pytest.mark.parametrize("lines", [("change bay one", "top 2258", "yes", "2258 both"), ("next bay", "1815", "2258 both")])
def test_both_is_of_the_opening_too_that_was_answered_before(lines: tuple[str, ...]) -> None:
    """It began another bay with what it had over."""
    talk = Talk("ninety", "one hundred", "2160 both")
    for line in lines:
        talk.type(line)
    assert talk.job.bays[-1].openings == (("bottom", Fraction(2258)), ("top", Fraction(2258)))
    assert talk.stage is Stage.HUB
