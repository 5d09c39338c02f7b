"""Intents that are a phrase alone: what each does in the state it is said in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import bays, forms, marking
from assistant.dialogue.accepting import settled
from assistant.dialogue.answers import resay, take
from assistant.dialogue.asking import open_form, question, settled_focus, takes
from assistant.dialogue.choices import CHOICES, SET_OUT_BY
from assistant.dialogue.finishing import finish
from assistant.dialogue.registry import FORMS
from assistant.dialogue.speaking import limit_words, sentence, spoken, told
from assistant.dialogue.state import Asking, Cautioning, Choosing, Deciding, Decision, Doubting, Hub, Walking
from assistant.dialogue.subjects import closing_sum, overlapping_boards, slipped_picket, sloping_ground
from assistant.dialogue.turn import Turn
from assistant.dialogue.undoing import undone_words
from assistant.events import AdjustSound, CallEvery, End, Sound
from assistant.job import DraftChanged
from assistant.language.guide import guide
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.plan import matching, set_out_of
from assistant.setout.run import Likeness


def choose_setting(turn: Turn, intent: Intent) -> None:
    """A setting, for bays that are not set out and for how the assistant speaks."""
    change, text = CHOICES[intent.act]
    before, after = turn.settings, change(turn.settings)
    turn.settle(**{name: getattr(after, name) for name in after.__slots__})
    turn.say(text)
    if any(getattr(before, name) != getattr(after, name) for name in SET_OUT_BY):
        bays.concerned(turn)
    resay(turn)


def match_bays(likeness: Likeness) -> Callable[[Turn, Intent], None]:
    """Gaps alike from bay to bay: what it costs is told before it is taken."""

    def asked(turn: Turn, intent: Intent) -> None:
        if not turn.job.bays:
            turn.say("There is no bay yet.")
            return
        _, found = matching(turn.job, likeness)
        if found is None:
            turn.say("Every bay is set out, or has a count of its own. There is nothing left to match.")
        elif found.extra or (found.smallest, found.largest) != (found.before_smallest, found.before_largest):
            turn.focus(Deciding(Decision.MATCH, likeness=likeness))
        else:
            turn.settle(likeness=likeness)
            turn.say("The gaps are as alike as that makes them already; it takes no more pickets.")

    return asked


# Yes, no and which ---------------------------------------------------------------------------------------------------


def number_is_right(turn: Turn, intent: Intent) -> None:
    """Yes to a number in question."""
    focus = turn.state.focus
    assert isinstance(focus, Doubting)
    if focus.off:
        turn.say(question(turn.state))
        return
    turn.focus(focus.under)
    take(turn, settled(focus.intent, focus.reading), chosen=True, sure=True)


def number_is_wrong(turn: Turn, intent: Intent) -> None:
    """No, back or undo to a number in question: it is dropped."""
    turn.focus(settled_focus(turn.state.focus))
    turn.say("Then say it again.", question(turn.state))


def decided(turn: Turn, intent: Intent) -> None:
    """Yes to what was asked."""
    focus = turn.state.focus
    assert isinstance(focus, Deciding)
    match focus.about:
        case Decision.REMOVE:
            bays.remove(turn, focus.bay)
        case Decision.REOPEN:
            bays.reopen(turn, focus.bay)
        case Decision.MATCH:
            turn.settle(likeness=focus.likeness)
            turn.focus(Hub())
            turn.say("The bays are matched.")
            bays.concerned(turn)
            resay(turn)
        case Decision.SAME_SLIP:
            slipped_picket.same_on_every_rail(turn)
        case Decision.TAPED_LEVEL:
            sloping_ground.taped_level(turn)
        case Decision.SUSPECT | Decision.FAR_POST:
            bays.measure_again(turn, focus.bay)


def declined(turn: Turn, intent: Intent) -> None:
    """No to what was asked."""
    focus = turn.state.focus
    assert isinstance(focus, Deciding)
    if focus.about is Decision.SAME_SLIP:
        slipped_picket.not_the_same(turn)
        return
    if focus.about is Decision.TAPED_LEVEL:
        sloping_ground.taped_along(turn)
        return
    if focus.about is Decision.SUSPECT:
        turn.focus(Hub())
        closing_sum.not_that_bay(turn)
        turn.asked = True
        return
    if focus.about is Decision.FAR_POST:
        turn.focus(Walking())
        turn.say("Then look at the last mark.", marking.mark_text(turn, marking.at_mark(turn), lead=True))
        return
    turn.focus(Hub())
    turn.say("It stays.")


def yes_is_not_enough(turn: Turn, intent: Intent) -> None:
    """A yes where the gap has to be confirmed in so many words."""
    turn.say("A yes could be for anything. Say: gap confirmed.")


def nothing_to_confirm(turn: Turn, intent: Intent) -> None:
    """A yes where nothing was asked."""
    turn.say(question(turn.state) or "There is nothing to confirm.")


def gap_not_confirmed(turn: Turn, intent: Intent) -> None:
    """No to the gap."""
    turn.focus(Hub())
    turn.say("Not confirmed. Say what changes: one more picket, top opening, bottom opening, picket width.")
    turn.asked = True


def take_off(turn: Turn, intent: Intent) -> None:
    """No, of the number just given."""
    if turn.state.redo is None or not turn.state.past:
        turn.say("There is no number to correct.", question(turn.state))
        return
    turn.undo()
    turn.say("That is taken off.", question(turn.state) or "Say it again.")


def pick(which: int) -> Callable[[Turn, Intent], None]:
    """The first or the second of two readings."""

    def picked(turn: Turn, intent: Intent) -> None:
        focus = turn.state.focus
        assert isinstance(focus, Choosing)
        turn.focus(focus.under)
        take(turn, settled(focus.intent, focus.readings[which]), chosen=True)

    return picked


def pick_by_size(longer: bool) -> Callable[[Turn, Intent], None]:
    """The longer or the shorter of two readings."""

    def picked(turn: Turn, intent: Intent) -> None:
        focus = turn.state.focus
        assert isinstance(focus, Choosing)
        wanted = max(focus.readings) if longer else min(focus.readings)
        pick(focus.readings.index(wanted))(turn, intent)

    return picked


# On, back and out ----------------------------------------------------------------------------------------------------


def answer_needed(turn: Turn, intent: Intent) -> None:
    """On, where an answer is still waited for."""
    turn.say("I still need an answer.", question(turn.state))


def what_next(turn: Turn, intent: Intent) -> None:
    """“Next” where nothing is waited for: the next overlapping board, where those are being called."""
    if turn.state.board is not None and turn.job.boards is not None:
        overlapping_boards.next_board(turn)
        return
    turn.say(question(turn.state) or "Say: next bay, or start marking.")


def back_to_hub(turn: Turn, intent: Intent) -> None:
    """Back out of a question about a bay."""
    turn.focus(Hub())
    turn.say(question(turn.state) or "Back.")


def back_an_answer(turn: Turn, intent: Intent) -> None:
    """The answer before is asked for again."""
    draft = turn.job.draft
    if draft is not None and draft.answers:
        turn.fact(DraftChanged(replace(draft, answers=draft.answers[:-1])))
        turn.ask()
    turn.say(question(turn.state))


def drop_slip_answer(turn: Turn, intent: Intent) -> None:
    """Back, where a yes or a no is waited for: to the form it came from, or out."""
    focus = turn.state.focus
    assert isinstance(focus, Deciding)
    if focus.about in (Decision.SAME_SLIP, Decision.TAPED_LEVEL):
        back_an_answer(turn, intent)
    else:
        back_to_hub(turn, intent)


def nothing_to_go_back_to(turn: Turn, intent: Intent) -> None:
    """Back, where there is nothing before."""
    turn.say("Nothing to go back to.", question(turn.state))


def _no_more_calls(turn: Turn) -> None:
    turn.note(pace=None, held=None)
    turn.effects.append(CallEvery(None))


def end(turn: Turn, intent: Intent) -> None:
    """Enough for today: a keyboard is left; who listens for a voice goes to sleep, so that a word misheard costs nothing."""
    _no_more_calls(turn)
    if turn.typed:
        turn.effects.append(End())
        turn.say("Everything is kept, to the last answer.")
    else:
        turn.note(asleep=True)
        turn.say("Everything is kept. I hear nothing now. To go on, say: wake up assistant.")


def leave_number(turn: Turn, intent: Intent) -> None:
    """Only the number in question is dropped: the form it belongs to may be a bay that was complete before a correction."""
    turn.focus(settled_focus(turn.state.focus))
    turn.say("Left.", question(turn.state))


def leave_marking(turn: Turn, intent: Intent) -> None:
    """Marking stops where it is."""
    _no_more_calls(turn)
    turn.focus(Hub())
    turn.say("Marking is left where it is. To go on, say: carry on.")
    turn.asked = True


def _begun_at_a_mark(turn: Turn) -> bool:
    """Whether the open form was begun while marking, and what was being marked is still there."""
    if not marking.left_at(turn.job):
        return False
    begun = None
    for past in reversed(turn.state.past):
        changes = [fact.draft for fact in past.facts if isinstance(fact, DraftChanged)]
        if None in changes:
            break
        begun = past if changes else begun
    return begun is not None and isinstance(begun.focus, Walking)


def leave(turn: Turn, intent: Intent) -> None:
    """Whatever is being asked is left; what was finished is kept."""
    _no_more_calls(turn)
    draft = turn.job.draft
    if draft is not None and FORMS[draft.form].name == slipped_picket.SLIP.name and _begun_at_a_mark(turn):
        turn.fact(DraftChanged(None))  # marking goes on where the slip was said
        turn.focus(Walking())
        turn.say("Left.", marking.mark_text(turn, marking.at_mark(turn)))
        return
    if draft is not None:
        if draft.form == forms.SETUP.key and draft.answers:
            turn.settle(picket=dict(draft.answers).get("picket", turn.settings.picket))
        turn.fact(DraftChanged(None))
        text = "Left. What was finished is kept."
    else:
        text = "All is kept."
    turn.focus(Hub())
    turn.say(text, question(turn.state))


def undo(turn: Turn, intent: Intent) -> None:
    """The latest turn that changed the job, taken back and told in words."""
    if not turn.state.past:
        turn.say("There is nothing to undo.", question(turn.state))
        return
    turn.say(undone_words(turn.undo()))
    repeat_place(turn)


def repeat_place(turn: Turn) -> None:
    """Where we are now: the mark, or the question."""
    if isinstance(turn.state.focus, Walking):
        turn.say(marking.mark_text(turn, marking.at_mark(turn)))
    else:
        turn.say(question(turn.state))


def repeat(turn: Turn, intent: Intent) -> None:
    """The last answer once more."""
    turn.say(turn.state.said or question(turn.state))


def caution_again(turn: Turn, intent: Intent) -> None:
    """The caution once more, whole: whatever was said since, and though the user would go back, for it is never passed over."""
    focus = turn.state.focus
    assert isinstance(focus, Cautioning)
    turn.say(focus.caution.spoken, question(turn.state))


def caution_not_done(turn: Turn, intent: Intent) -> None:
    """No, and not yet, to a caution: it goes on waiting."""
    turn.say("Then I wait. Once you have, say: understood.")


def keep_for_later(turn: Turn, intent: Intent) -> None:
    """A number while a caution waits: the answer to the question behind it, if there is one."""
    focus = turn.state.focus
    assert isinstance(focus, Cautioning)
    if isinstance(focus.then, Asking):
        turn.note(kept=intent)
        turn.say("I keep that until then.", question(turn.state))
    else:
        answer_needed(turn, intent)


def repeat_mark(turn: Turn, intent: Intent) -> None:
    """The mark once more."""
    turn.say(marking.mark_text(turn, marking.at_mark(turn)))


def help_(turn: Turn, intent: Intent) -> None:
    """What can be said here, a breath at a time."""
    start = 0 if intent.act is Act.HELP else turn.state.help_from
    text, following = guide(turn.state.stage, start, takes(turn.state))
    turn.note(help_from=following)
    if start == 0 and isinstance(turn.state.focus, Asking):
        turn.say(question(turn.state))
    turn.say(text)


def sleep(turn: Turn, intent: Intent) -> None:
    """Deaf until woken."""
    turn.note(asleep=True, pace=None)
    turn.effects.append(CallEvery(None))
    turn.say("Asleep. To wake me, say: wake up assistant.")


def wake(turn: Turn, intent: Intent) -> None:
    """A sleep is a break: the caution is due once more before the next mark."""
    turn.note(asleep=False, cautioned=frozenset())
    if isinstance(turn.state.focus, Walking):
        turn.focus(Hub())
        turn.say("Awake. To go on, say: carry on.")
        turn.asked = True
    else:
        turn.say("Awake.", question(turn.state))


# Pace and voice ------------------------------------------------------------------------------------------------------


def pace(turn: Turn, intent: Intent) -> None:
    """Marks called every so many seconds."""
    seconds = intent.count
    if seconds is None or not 1 <= seconds <= 60:
        turn.say("I can call every one to sixty seconds.")
        return
    turn.note(pace=seconds, held=None)
    turn.effects.append(CallEvery(seconds))
    turn.say(f"Calling every {say_count(seconds)} seconds. To pause, say: hold.")


def hold(turn: Turn, intent: Intent) -> None:
    """No more calls for now."""
    turn.note(held=turn.state.pace or turn.state.held, pace=None)
    turn.effects.append(CallEvery(None))
    turn.say("Holding. To go on, say: carry on.")
    turn.aside = True


def carry_on_marking(turn: Turn, intent: Intent) -> None:
    """On with the marks, at the pace that was held."""
    if turn.state.held is not None:
        turn.effects.append(CallEvery(turn.state.held))
        turn.note(pace=turn.state.held, held=None)
    marking.step(+1)(turn, intent)


def carry_on(turn: Turn, intent: Intent) -> None:
    """On where marking was left."""
    at = turn.job.position
    index = None if at is None else turn.job.index_of(at.bay)
    if index is not None:
        marking.to_bay(turn, index)
    elif turn.job.standing:
        marking.start(turn, intent)
    else:
        turn.say(question(turn.state) or "There is nothing to go on with.")


def sound(what: Sound) -> Callable[[Turn, Intent], None]:
    """The voice, and the pace with it."""

    def adjusted(turn: Turn, intent: Intent) -> None:
        turn.effects.append(AdjustSound(what))
        every = turn.state.pace
        if every is not None and what in (Sound.FASTER, Sound.SLOWER):
            every = max(1, every - 1) if what is Sound.FASTER else min(60, every + 1)
            turn.note(pace=every)
            turn.effects.append(CallEvery(every))
        turn.say(sentence(what.value))
        turn.aside = True

    return adjusted


# Bays ----------------------------------------------------------------------------------------------------------------


def summary(turn: Turn, intent: Intent) -> None:
    """The bay being talked about, or one by its number."""
    if intent.count is not None:
        index = bays.index_of(turn, intent.count)
        if index is not None:
            turn.say(told(turn.settings, set_out_of(turn.job, index), turn.job.bays[:index]))
    elif turn.job.bays:
        turn.told()
    else:
        turn.say("There is no bay yet.", question(turn.state))


def which_settings(turn: Turn, intent: Intent) -> None:
    """The width of the pickets and the largest gap."""
    settings = turn.settings
    given = dict(turn.job.draft.answers) if turn.job.draft is not None and turn.job.draft.form == forms.SETUP.key else {}
    picket = given.get("picket", settings.picket)
    turn.say("The pickets are not given yet." if picket is None else sentence(f"pickets {spoken(settings, picket)}"))
    if settings.limit is not None:
        turn.say(sentence(f"gaps {limit_words(settings, settings.limit)}"))
    turn.say(question(turn.state))


def measured_all(turn: Turn, intent: Intent) -> None:
    """“All measured” where a row of numbers is asked for, or another bay of which nothing was measured."""
    found, draft = open_form(turn.state), turn.job.draft
    if found is not None and found[0].repeats and found[2]:
        finish(turn, found[2])
    elif found is not None and found[0] is forms.BAY and not found[2] and draft is not None and draft.bay is None and turn.job.bays:
        turn.close()
        turn.asked = True
        bays.all_measured(turn, intent)
    else:
        answer_needed(turn, intent)
