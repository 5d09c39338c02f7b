"""The calculations beside the bays: posts, slopes, story poles, uneven pickets, spacing again; each a finished form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import isqrt

from assistant.dialogue import forms
from assistant.dialogue.asking import question
from assistant.dialogue.cautions import DIGGING
from assistant.dialogue.finishing import FINISHERS, caution, close, told
from assistant.dialogue.speaking import bay_name, counted, mark_words, sentence, spoken
from assistant.dialogue.turn import Turn
from assistant.job import BaySet, Note, NoteMade, Posts, PostsSet, Slip, Slope
from assistant.numbers import say_count
from assistant.plan import plan_bay, steepness
from assistant.setout.continuous import Post, in_front_of, sections
from assistant.setout.drying import gaps_after, size_at
from assistant.setout.lengths import write
from assistant.setout.pole import fewest_poles, re_register
from assistant.setout.posts import PostLayout, set_out_posts
from assistant.setout.respace import Visibility
from assistant.setout.slope import from_along
from assistant.setout.spacing import Bay, Layout, solve
from assistant.setout.stock import cut_stock
from assistant.setout.timber import Build, list_timber, with_waste
from assistant.setout.trouble import ImpossibleError, Problem
from assistant.setout.widths import Method, study_widths

Answers = Mapping[str, Fraction]


def note(turn: Turn, title: str, *lines: str) -> None:
    """Keep the result of a calculation for the sheet, and say it."""
    turn.fact(NoteMade(Note(title, tuple(sentence(line) for line in lines))))
    turn.say(*(sentence(line) for line in lines))


def layouts(turn: Turn) -> list[Layout]:
    """The layout of every bay that is not a gate.  Raises ImpossibleError when there is none."""
    found = [plan_bay(turn.job, i).rails[0].layout for i, bay in enumerate(turn.job.bays) if bay.gate is None]
    if not found:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay yet. Measure one first.", lengths={})
    return found


# Posts ----------------------------------------------------------------------------------------------------------------


def posts(turn: Turn, answers: Answers) -> None:
    """Equal openings between posts, and the caution before digging for them."""
    wanted = Posts(answers["run"], answers["post"], answers["opening"])
    layout = post_layout(wanted)
    close(turn)
    turn.fact(PostsSet(wanted))
    marks = layout.centres(turn.settings.resolution)
    note(
        turn,
        "Posts",
        f"{counted(layout.bays, 'bay')}, {counted(layout.posts, 'post')}, openings of {spoken(turn.settings, layout.opening)}",
    )
    written = ", ".join(f"{mark.index}: {write(mark.value, turn.settings.unit)}" for mark in marks)
    turn.fact(NoteMade(Note("Post centres, from the outer face of the first post", (written,))))
    turn.say("For each, say: post, and its number.")
    caution(turn, DIGGING)


def post_layout(wanted: Posts) -> PostLayout:
    """The posts of a row."""
    return set_out_posts(wanted.run, wanted.post, wanted.opening)


def post(turn: Turn, number: int | None) -> None:
    """Where one post stands."""
    if turn.job.posts is None:
        turn.say("The posts are not set out yet. Say: post positions.")
        return
    layout = post_layout(turn.job.posts)
    if number is None or not 1 <= number <= layout.posts:
        turn.say(sentence(f"there is no post {say_count(number or 0)}; there are {say_count(layout.posts)}"))
        return
    to = turn.settings.resolution
    near, centre, far = (marks[number - 1] for marks in (layout.near_faces(to), layout.centres(to), layout.far_faces(to)))
    turn.say(
        f"Post {say_count(number)}: near face {mark_words(turn.settings, near.value)}, "
        f"centre {mark_words(turn.settings, centre.value)}, far face {mark_words(turn.settings, far.value)}."
    )


# Slopes ---------------------------------------------------------------------------------------------------------------


def slope(turn: Turn, answers: Answers) -> None:
    """The current bay on sloping ground."""
    draft = turn.job.draft
    assert draft is not None
    kind = Slope.STEPPED if draft.form == forms.STEPPED.key else Slope.RAKED
    along, going = answers.get("along"), answers["going"]
    rise = answers["rise"] if along is None else _rise(along, going)
    close(turn)
    bay = replace(turn.job.bays[turn.job.current], slope=kind, rise=rise, going=going, along=along)
    steep = steepness(bay)
    turn.fact(BaySet(turn.job.current, bay))
    name = bay_name(bay)
    if kind is Slope.RAKED:
        angle = f"{round(steep.angle * 10) / 10:g}"
        turn.say(sentence(f"{name} is raked, {_decimal(angle)} degrees; marks run along the rail, pickets stay plumb"))
    else:
        turn.say(sentence(f"{name} is stepped; its rails are level, and step {spoken(turn.settings, rise)}"))
    told(turn)


def _rise(along: Fraction, going: Fraction) -> Fraction:
    """The rise to draw by, to a tenth of a millimetre; the marks use the exact lengths."""
    from_along(along, going)
    return Fraction(isqrt(int((along**2 - going**2) * 100)), 10)


def _decimal(text: str) -> str:
    whole, _, behind = text.partition(".")
    return say_count(int(whole)) + (f" point {say_count(int(behind))}" if behind else "")


# Story pole -----------------------------------------------------------------------------------------------------------


def pole(turn: Turn, answers: Answers) -> None:
    """The fewest poles for the bays, and where a short pole is set on again."""
    settings = turn.settings
    rows = [(index, bay) for index, bay in enumerate(turn.job.bays) if bay.gate is None]
    made = layouts(turn)
    found = fewest_poles(made, answers["tolerance"])
    lines = [counted(len(found), "story pole")]
    for number, one in enumerate(found, start=1):
        serves = " and ".join(bay_name(rows[place][1]) for place in one.bays)
        lines.append(f"pole {say_count(number)} serves {serves}, worst mark out by {spoken(settings, one.worst)}")
    for place, layout in enumerate(made):
        again = re_register(layout, answers["pole"], settings.edge, settings.resolution)
        if len(again.placements) > 1:
            starts = " and ".join(f"mark {say_count(step.start_index)}" for step in again.placements[1:])
            lines.append(f"in {bay_name(rows[place][1])} set the pole again on {starts}")
    close(turn)
    note(turn, "Story poles", *lines)
    turn.say(question(turn.state))


# Uneven pickets -------------------------------------------------------------------------------------------------------


def widths(turn: Turn, answers: Answers) -> None:
    """What uneven widths do to the last gap, and how to mark."""
    settings = turn.settings
    made = layouts(turn)
    study = study_widths(made[0], list(answers.values()))
    close(turn)
    lines = [
        f"{counted(len(answers), 'picket')} measured, mean {spoken(settings, study.mean)}, "
        f"from {spoken(settings, study.narrowest)} to {spoken(settings, study.widest)}"
    ]
    for effect in study.effects:
        worst = max(abs(effect.least), abs(effect.most))
        lines.append(f"with {effect.method.value} the last gap is out by up to {spoken(settings, worst)}")
    use = {Method.EDGE: "edge marks will do", Method.CENTRE: "use centre marks", Method.SPACER: "use a spacer"}
    lines.append(f"{use[study.recommended]}; on the mean width the gap is {spoken(settings, study.resolved.gap)}")
    note(turn, "Picket widths", *lines)
    turn.say(question(turn.state))


# Spacing again --------------------------------------------------------------------------------------------------------


def respaced(turn: Turn, answers: Answers) -> None:
    """A picket slipped: the rest of its rail spaced evenly from where it is."""
    at = turn.job.position
    index = turn.job.current
    plan = plan_bay(turn.job, index)
    rail = plan.rails[at.rail if at is not None and at.bay == index else 0]
    close(turn)
    slip = Slip(rail.rail, int(answers["picket"]), answers["actual"])
    turn.fact(BaySet(index, replace(turn.job.bays[index], slip=slip)))
    again = next(one for one in plan_bay(turn.job, index).rails if one.rail == rail.rail).respaced
    if again is None:
        turn.say("On a raked rail the spacing stays as it was.")
        return
    seen = {
        Visibility.UNSEEN: "the change will not be seen",
        Visibility.SLIGHT: "the change is slight",
        Visibility.PLAIN: "the change will be plainly seen",
    }[again.visibility]
    gap = "nothing follows it" if again.gap is None else f"from there the gap is {spoken(turn.settings, again.gap)}"
    turn.say(sentence(f"picket {say_count(slip.picket)} is off by {spoken(turn.settings, abs(again.off))}; {gap}; {seen}"))
    if not again.allowed:
        turn.say("That is over the largest gap. Move the picket instead.")
    turn.say("Say: start marking, to go on with the new marks.")


# Past the posts -------------------------------------------------------------------------------------------------------


def continuous(turn: Turn, answers: Answers) -> None:
    """Pickets on the face of the posts, one row over all bays."""
    settings = turn.settings
    bays = [bay for bay in turn.job.bays if bay.gate is None]
    layouts(turn)
    width = answers["post"]
    behind, place = [Post(Fraction(0), width)], width
    for bay in bays:
        place += max(opening for _, opening in bay.openings)
        behind.append(Post(place, width))
        place += width
    row = solve(Bay(place, bays[0].picket, bays[0].limit, settings.left, settings.right))
    close(turn)
    lines = [f"one row of {counted(row.count, 'picket')} over {counted(len(behind), 'post')}, gap {spoken(settings, row.gap)}"]
    for number, one in enumerate(behind, start=1):
        covering = in_front_of(row, one)
        if covering:
            lines.append(f"post {say_count(number)} is behind picket {' and '.join(map(say_count, covering))}")
    note(turn, "Row past the posts", *lines)
    for section in sections(row, behind, settings.edge, settings.resolution):
        text = ", ".join(f"{mark.index}: {write(mark.value, settings.unit)}" for mark in section.marks)
        title = f"Row past the posts, marks from {write(section.start, settings.unit)}"
        if text:
            turn.fact(NoteMade(Note(title, (text,))))
    turn.say(question(turn.state))


# Timber ---------------------------------------------------------------------------------------------------------------


def timber(turn: Turn, answers: Answers) -> None:
    """What to order: pickets with waste, posts, fixings, and rails cut from stock lengths."""
    settings = turn.settings
    build = Build(int(answers["rails"]), int(answers["fixings"]), waste=answers["waste"] / 100)
    found = list_timber(layouts(turn), build)
    gates = [plan_bay(turn.job, index).pickets for index, bay in enumerate(turn.job.bays) if bay.gate is not None]
    cut = cut_stock(found.rails, answers["stock"])
    close(turn)
    pickets = with_waste(found.pickets + sum(gates), build.waste)
    lines = [
        f"{counted(found.pickets + sum(gates), 'picket')}; buy {say_count(pickets)}",
        f"{counted(found.posts, 'post')}, {counted(found.fixings_to_buy, 'fixing')}",
        f"{counted(len(found.rails), 'rail')} from {counted(len(cut.sticks), 'stock length')}"
        + ("" if cut.proven else f"; no plan needs fewer than {say_count(cut.lower_bound)}"),
    ]
    if gates:
        lines.append("rails and frames of gates are not in it")
    note(turn, "Timber", *lines)
    cuts = ("; ".join(" + ".join(write(piece, settings.unit) for piece in stick) for stick in cut.sticks),)
    turn.fact(NoteMade(Note(f"Rails from stock lengths of {write(cut.stock, settings.unit)}", cuts)))
    turn.say(question(turn.state))


def drying(turn: Turn, answers: Answers) -> None:
    """What drying does to a picket and to the gap, by general shrinkage."""
    settings = turn.settings
    layout = layouts(turn)[0]
    width = size_at(layout.bay.picket, answers["now"], answers["later"])
    moved = gaps_after(layout, width)
    close(turn)
    lines = [
        f"a picket of {spoken(settings, layout.bay.picket)} becomes {spoken(settings, width)}",
        f"the gap becomes {spoken(settings, moved.gap)}",
    ]
    if moved.closed:
        lines.append("the pickets meet, and push each other off: leave a larger gap")
    elif not moved.allowed:
        lines.append("that is over the largest gap")
    note(turn, "Drying", *lines)
    source = "General shrinkage from green, FPL-RP-489; for most species, not redwood or cedar."
    turn.fact(NoteMade(Note("Drying, where it comes from", (source,))))
    turn.say(question(turn.state))


FINISHERS.update(
    {
        forms.POSTS.key: posts,
        forms.RAKED.key: slope,
        forms.STEPPED.key: slope,
        forms.ALONG.key: slope,
        forms.POLE.key: pole,
        forms.WIDTHS.key: widths,
        forms.RESPACE.key: respaced,
        forms.CONTINUOUS.key: continuous,
        forms.TIMBER.key: timber,
        forms.DRYING.key: drying,
    }
)
