"""A picket was fixed off its mark: one question of where it is, one of whether that holds on every rail, then the rest spaced again."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import bay_name, counted, gap_value, gaps, sentence, spoken
from assistant.dialogue.state import ConfirmingGap, Deciding, Decision
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.turn import Turn
from assistant.job import Draft, DraftChanged, Job, PicketSlipped
from assistant.language.understanding import Intent, Wants
from assistant.language.vocabulary import Act
from assistant.measured import Slip
from assistant.numbers import say_count
from assistant.plan import respaced
from assistant.set_out import Rail, SetOut, moves
from assistant.setout.lengths import Length, mm
from assistant.setout.marks import Origin
from assistant.setout.respace import Visibility, visibility

_WHICH = slot("picket", "Which picket slipped?", "Slipped picket?", (Fraction(1), Fraction(500)), wants=Wants.COUNT)
_ACTUAL = slot("actual", "Where is its mark now, from the post?", "Mark now?", (mm(0), mm(6000)))
_SECOND = slot("second", "Where is its mark on the next rail?", "On the next rail?", (mm(0), mm(6000)))
_THIRD = slot("third", "And on the last rail?", "On the last rail?", (mm(0), mm(6000)))

SLIP = Form("respace", "spacing again", (_WHICH, _ACTUAL))
ON_TWO_RAILS = Form("respace on two rails", "spacing again", (_WHICH, _ACTUAL, _SECOND))
ON_THREE_RAILS = Form("respace on three rails", "spacing again", (_WHICH, _ACTUAL, _SECOND, _THIRD))

_EACH = {2: ON_TWO_RAILS, 3: ON_THREE_RAILS}
_SEEN = {
    Visibility.UNSEEN: "the change will not be seen",
    Visibility.SLIGHT: "the change is slight",
    Visibility.PLAIN: "the change will be plainly seen",
}


def begin(turn: Turn, intent: Intent) -> None:
    """“Picket slipped”: in the bay that is being marked, or talked about."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.")
        return
    at = job.position
    bay = job.bays[job.current]
    number = at.bay if at is not None else bay.number
    if job.standing_of(number) is None:
        turn.say(f"{bay_name(bay).capitalize()} is not set out yet: its gap is not confirmed. Nothing can have slipped.")
        return
    name = bay_name(bay)
    if bay.gate is not None and bay.gate.leaves == 2:
        name += f", {at.rail if at is not None else 'left leaf'}"
    known = {} if intent.count is None else {_WHICH.key: Fraction(intent.count)}
    lead = f"{name}, {SLIP.name}" if intent.count is None else f"{name}, picket {say_count(intent.count)}"
    turn.begin(SLIP, sentence(lead), bay=number, known=known)


def _rails(job: Job) -> list[Rail]:
    """The marked rails of the bay that the open form is about, the one that was being marked first."""
    number = job.draft.bay if job.draft is not None else None
    standing = None if number is None else job.standing_of(number)
    assert standing is not None
    at = job.position
    first = at.rail if at is not None and at.bay == number else standing.set_out.rails[0].name
    rails = sorted(standing.set_out.rails, key=lambda rail: rail.name != first)
    return rails if standing.set_out.gate is None else rails[:1]  # the leaves of a gate are made each by itself


def rail_asked(job: Job) -> str:
    """The rail that the place of a slipped picket is asked for on first, in words."""
    name = _rails(job)[0].name
    return name if "leaf" in name else f"{name} rail"


def far_from_mark(job: Job, value: Length) -> bool:
    """Whether a place said for a slipped picket is further than one gap from its mark."""
    draft = job.draft
    assert draft is not None
    answers = dict(draft.answers)
    rail, picket = _rails(job)[0], int(answers["picket"])
    return not 1 <= picket <= len(rail.marks) or abs(rail.marks[picket - 1].value - value) > rail.gap


def finish(turn: Turn, answers: Answers) -> None:
    """Where it is on one rail is known; where there are more, whether it is off by the same there."""
    rails = _rails(turn.job)
    _require(turn, answers)
    if len(rails) == 1:
        _slip(turn, answers, [answers["actual"]])
    else:
        turn.focus(Deciding(Decision.SAME_SLIP))


def _require(turn: Turn, answers: Answers) -> None:
    """ImpossibleError for a picket or a place that cannot be, before anything more is asked."""
    rails = _rails(turn.job)
    picket = int(answers["picket"])
    rails[0].row.require(picket)
    respaced(_set_out(turn), Slip(picket, _by_the_same(rails, answers)))


def _by_the_same(rails: list[Rail], answers: Answers) -> tuple[tuple[str, Length], ...]:
    picket = int(answers["picket"])
    off = answers["actual"] - rails[0].marks[picket - 1].value
    return tuple((rail.name, rail.marks[picket - 1].value + off) for rail in rails)


def same_on_every_rail(turn: Turn) -> None:
    """Yes, it is off by the same."""
    draft = turn.job.draft
    assert draft is not None
    answers = dict(draft.answers)
    _slip(turn, answers, [place for _, place in _by_the_same(_rails(turn.job), answers)])


def not_the_same(turn: Turn) -> None:
    """No: it is asked for on each."""
    draft = turn.job.draft
    assert draft is not None
    form = _EACH[len(_rails(turn.job))]
    turn.fact(DraftChanged(Draft(form.key, draft.answers, draft.bay)))
    turn.ask()


def on_each_rail(turn: Turn, answers: Answers) -> None:
    """Its place on every rail is known."""
    _slip(turn, answers, [answers[key] for key in ("actual", "second", "third") if key in answers])


def _set_out(turn: Turn) -> SetOut:
    draft = turn.job.draft
    assert draft is not None and draft.bay is not None
    standing = turn.job.standing_of(draft.bay)
    assert standing is not None
    return standing.set_out


def _slip(turn: Turn, answers: Answers, places: list[Length]) -> None:
    job, draft = turn.job, turn.job.draft
    assert draft is not None and draft.bay is not None
    standing = job.standing_of(draft.bay)
    assert standing is not None
    before, picket, rails = standing.set_out, int(answers["picket"]), _rails(job)
    slip = Slip(picket, tuple((rail.name, place) for rail, place in zip(rails, places, strict=True)))
    after = respaced(before, slip)
    turn.close()
    turn.fact(PicketSlipped(draft.bay, slip, after))
    off = abs(places[0] - rails[0].marks[picket - 1].value)
    turn.say(sentence(f"picket {say_count(picket)} is off by {spoken(turn.settings, off)}; {_what_follows(turn, before, after, picket)}"))
    later = [(name, mark) for name, mark in standing.called if mark != picket]
    found = moves(before, later, after)
    if found.moved:
        by = f"by up to {spoken(turn.settings, gap_value(turn.settings, found.most))}"
        turn.say(sentence(f"{counted(found.moved, 'mark')} called before {'moves' if found.moved == 1 else 'move'}, {by}"))
    if not after.allowed:
        turn.say("That is over the largest gap. Move the picket instead, and say: undo.")
    turn.focus(ConfirmingGap())


def _what_follows(turn: Turn, before: SetOut, after: SetOut, picket: int) -> str:
    rail = after.rails[0]
    if picket == rail.row.count:
        return "nothing follows it"
    if picket < before.last_slip:
        return "those after it are fixed"
    row = rail.row if after.origin is Origin.LEFT else rail.row.turned()
    first, last = after.ends if after.origin is Origin.LEFT else after.ends[::-1]
    seen = _SEEN[visibility(row.change(picket, first.kind, last.kind))]
    return f"from there the gap is {gaps(turn.settings, after, spoken)}; {seen}"


SUBJECT = Subject(
    handlers={Act.RESPACE: begin},
    forms={SLIP: finish, ON_TWO_RAILS: on_each_rail, ON_THREE_RAILS: on_each_rail},
)
