"""The tape over several bays: what they come to, how that differs from the tape, and which bay to look at.

A measure may be the whole run or from one post to another; whether the outer or the inner faces of the end posts were measured is asked
where it was not said, and the width of a post once.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.forms import OPENING, Form, slot
from assistant.dialogue.speaking import bare, bay_name, counted, in_digits, sentence
from assistant.dialogue.state import Deciding, Decision
from assistant.dialogue.subject import Answers, Handler, Subject
from assistant.dialogue.subjects.post_positions import POST_WIDTH
from assistant.dialogue.subjects.shared import NO_BAY
from assistant.dialogue.turn import Turn
from assistant.job import BaySet, Draft, DraftChanged, Job, RunCheck, RunMeasured, Settings
from assistant.language.understanding import Intent, Wants
from assistant.language.vocabulary import Act
from assistant.measured import Bay, Slope
from assistant.numbers import SpokenLength, parse_length, say_length
from assistant.numbers.styles import NumberStyle
from assistant.numbers.twins import TWIN
from assistant.setout.closing import Closing, Suspect, Why, closing, suspects
from assistant.setout.lengths import Length, Unit, feet
from assistant.setout.posts import Between
from assistant.setout.trouble import ImpossibleError, Problem

RUN_LENGTH = (OPENING[0], feet(1000))
"""Lengths of a run that need no questioning.  Common practice, no source."""

RUN = Form(
    "run",
    "the run",
    (
        slot("first", "From which post?", "From post?", (Fraction(1), Fraction(500)), wants=Wants.COUNT),
        slot("last", "To which post?", "To post?", (Fraction(2), Fraction(500)), wants=Wants.COUNT),
        slot("run", "What does the tape say?", "Tape?", RUN_LENGTH),
        slot(
            "between",
            "Outside to outside, or inside to inside?",
            "Outside or inside?",
            (Fraction(-1), Fraction(-1)),
            wants=Wants.COUNT,
            only="No number answers that.",
        ),
        slot("post", "How wide is a post?", "Post width?", POST_WIDTH),
    ),
)
_FACES = (Between.OUTER_FACES, Between.CENTRES, Between.INNER_FACES)
"""What an answer to “between” stands for: how many post widths lie outside the measure."""
_LAST_POST = Fraction(0)
"""The answer to “last” where the whole run is meant."""
_SOUND_ALIKE = TWIN | {"five": "nine", "nine": "five"}
"""Words that one may be taken for the other; five and nine are told apart on the radio as “fife” and “niner” (ICAO Annex 10, volume II,
5.2.1.4.3.1)."""
_TOO_MANY = 2
"""More bays than this are not named as likely wrong: that would be all of them."""


def run_is(turn: Turn, intent: Intent, value: Length) -> None:
    """“The run is …”: from the first post to the last."""
    whole = {"first": Fraction(1), "last": _LAST_POST, "run": value}
    face = {Act.RUN_OUTSIDE: Between.OUTER_FACES, Act.RUN_INSIDE: Between.INNER_FACES}.get(intent.act)
    _begin(turn, whole if face is None else {**whole, "between": Fraction(_FACES.index(face))})


def post_to_post(turn: Turn, intent: Intent) -> None:
    """“Post to post”: a measure over some of the bays; which posts is asked."""
    _begin(turn, {})


def _begin(turn: Turn, given: dict[str, Fraction]) -> None:
    if not turn.job.bays:
        heard = sentence(f"the run, {bare(turn.settings, given['run'])}") if "run" in given else ""
        turn.say(heard, "Say it again once the bays are measured." if heard else NO_BAY)
        return
    post = post_width(turn.job)
    answers = given if post is None else {**given, "post": post}
    if RUN.next_slot(answers) is None:
        run(turn, answers)
        return
    draft = turn.job.draft
    if draft is not None and draft.answers:
        turn.say("Finish this first, then say the run once more.")
        return
    turn.fact(DraftChanged(Draft(RUN.key, tuple(answers.items()))))
    turn.ask()
    if "run" in given:
        turn.say(sentence(f"the run, {bare(turn.settings, given['run'])}"))


def post_width(job: Job) -> Length | None:
    """The width of a post, where it was said before and all are alike."""
    if job.runs:
        return job.runs[-1].post
    return None if job.posts is None or job.posts.end_post is not None else job.posts.post


def faces(between: Between) -> Handler:
    """“Outside to outside”, “inside to inside”: answers which faces were measured."""

    def said(turn: Turn, intent: Intent) -> None:
        draft = turn.job.draft
        if draft is None or draft.form != RUN.key:
            turn.say("First the run. Say: leave it, then: the run is, and the length.")
            return
        answers = {**dict(draft.answers), "between": Fraction(_FACES.index(between))}
        turn.fact(DraftChanged(Draft(RUN.key, tuple(answers.items()), draft.bay)))
        if RUN.next_slot(answers) is None:
            run(turn, answers)
        else:
            turn.ask()

    return said


def run(turn: Turn, answers: Answers) -> None:
    """The measure is complete: what it says of the bays.  Raises ImpossibleError where there are no such posts."""
    last = int(answers["last"]) or None
    first = int(answers["first"])
    if last is not None:
        first, last = sorted((first, last))
    check = RunCheck(first, last, _FACES[int(answers["between"])], answers["run"], answers["post"])
    made = closing_of(turn.job, check)
    if turn.job.draft is not None and turn.job.draft.form == RUN.key:
        turn.close()
    turn.fact(RunMeasured(check))
    _told(turn, check, made)


def would_close(job: Job, value: Length) -> bool:
    """Whether a length of the whole run goes with the bays and the posts as far as they are known, whichever faces were measured."""
    post = post_width(job)
    if post is None or not job.bays:
        return False
    return any(closing_of(job, RunCheck(1, None, between, value, post)).closes for between in _FACES)


def inside(job: Job, check: RunCheck) -> tuple[Bay, ...]:
    """The bays between the posts of a measure."""
    return job.bays[check.first - 1 : None if check.last is None else check.last - 1]


def closing_of(job: Job, check: RunCheck) -> Closing:
    """A measure beside the bays as they are now.  Raises ImpossibleError where there are no such posts, or they are the same."""
    posts = len(job.bays) + 1
    for number in (check.first, check.last or posts):
        if not 1 <= number <= posts:
            raise ImpossibleError(
                Problem.OUT_OF_RANGE,
                "There is no post {number}: these bays have {posts}. Say: leave it, and begin again.",
                lengths={},
                numbers={"number": number, "posts": posts},
            )
    return closing([bay.openings[0][1] for bay in inside(job, check)], check.post, check.between, check.measured)


def _told(turn: Turn, check: RunCheck, made: Closing) -> None:
    settings, job = turn.settings, turn.job
    what = "Your bays and posts" if check.last is None else "Those bays and posts"
    sums = (f"{what} come to {bare(settings, made.total)}", f"the tape says {bare(settings, made.measured)}")
    for one in sums:
        turn.say(sentence(one))
    turn.say(*_verdict(settings, made))
    if any(bay.slope is Slope.RAKED for bay in inside(job, check)):
        turn.say("On a slope the tape has to be held level.")
    _keep(turn, check, made)
    if made.closes:
        return
    if made.post_miscounted:
        turn.say("That is just one post. Which faces was it measured to?")
    elif made.bay_missing:
        turn.say("A bay may not be measured yet.")
    bays, found = inside(job, check), suspected(job, check, made)
    if 0 < len(found) <= _TOO_MANY:
        turn.say(*(_why(settings, bays[one.index], one) for one in found))
        turn.focus(Deciding(Decision.SUSPECT, bays[found[0].index].number))
    else:
        turn.say(*_each(settings, bays))


def not_that_bay(turn: Turn) -> None:
    """The bay that was named is right: all of them are said, and he finds the wrong one."""
    turn.say(*_each(turn.settings, inside(turn.job, turn.job.runs[-1])))


def _verdict(settings: Settings, made: Closing) -> Iterator[str]:
    off = _off(settings, made)
    if made.short == 0:
        yield "They agree."
    elif made.closes:
        yield sentence(f"{off}: a tape may be out by that")
    else:
        yield sentence(f"that is {off}")


def _off(settings: Settings, made: Closing) -> str:
    """“eight short”."""
    return f"{bare(settings, abs(made.short))} {'short' if made.short > 0 else 'over'}"


def _each(settings: Settings, bays: tuple[Bay, ...]) -> Iterator[str]:
    """Every opening that was added up, and what to do about a wrong one."""
    for bay in bays:
        yield sentence(f"{bay_name(bay)}, {in_digits(settings, bay.openings[0][1])}")
    yield "For one that is wrong, say: change bay, and its number."


def _why(settings: Settings, bay: Bay, found: Suspect) -> str:
    right = in_digits(settings, found.right)
    if found.why is Why.SOUNDS_LIKE:
        return sentence(f"{bay_name(bay)} may be {right}")
    return sentence(f"{bay_name(bay)} was heard unsure; {right} would close it")


def suspected(job: Job, check: RunCheck, made: Closing) -> tuple[Suspect, ...]:
    """The bays of a measure that may be wrong, the likeliest first."""
    bays = inside(job, check)
    doubted = {number for number, rail in job.unsure if rail == "bottom"}
    unsure = {index for index, bay in enumerate(bays) if bay.number in doubted}
    return suspects(made, unsure, [sounds_like(job.settings.unit, opening) for opening in made.openings])


def sounds_like(unit: Unit, opening: Length) -> frozenset[Length]:
    """The lengths whose words differ from those of this one by one word that is easily taken for another."""
    found = set()
    for style in NumberStyle:
        words = say_length(opening, unit, style).split()
        for place, word in enumerate(words):
            if word in _SOUND_ALIKE:
                reading = parse_length((*words[:place], _SOUND_ALIKE[word], *words[place + 1 :]), unit)
                if isinstance(reading, SpokenLength):
                    found.add(reading.mm)
    return frozenset(found)


def _keep(turn: Turn, check: RunCheck, made: Closing) -> None:
    """On the sheet: what the tape said, what the bays come to."""
    settings = turn.settings
    posts = f"post {check.first} to post {check.last}" if check.last is not None else "the whole run"
    off = "agree" if made.short == 0 else _off(settings, made)
    lines = (
        f"{check.between.value}, {counted(made.posts, 'post')} inside",
        f"tape {bare(settings, made.measured)}",
        f"openings and posts {bare(settings, made.total)}",
        off,
    )
    turn.keep_note(f"Tape over {posts}", *(sentence(line) for line in lines))


def after_a_change(turn: Turn) -> None:
    """When a bay was measured again: whether the latest measure closes now."""
    before, job = turn.start.job, turn.job
    changed = [fact for fact in turn.facts if isinstance(fact, BaySet)]
    if not changed or not job.runs or job.runs != before.runs:
        return
    check = job.runs[-1]
    try:
        was, made = closing_of(before, check), closing_of(job, check)
    except ImpossibleError:
        return
    if was.short == made.short:
        return
    another = any(fact.index >= len(before.bays) for fact in changed)
    if made.closes:
        turn.say("With that, the run agrees with the tape.")
    elif not another:
        turn.say(sentence(f"the run is still {_off(turn.settings, made)}"))
    _keep(turn, check, made)


SUBJECT = Subject(
    handlers={
        Act.POST_TO_POST: post_to_post,
        Act.OUTSIDE: faces(Between.OUTER_FACES),
        Act.INSIDE: faces(Between.INNER_FACES),
    },
    forms={RUN: run},
)
