"""Where posts go: by openings or by centres, equal or full bays and a rest, gates among them; then each post by its number."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from assistant.dialogue.cautions import DIGGING
from assistant.dialogue.forms import OPENING, Form, slot
from assistant.dialogue.speaking import counted, mark_words, sentence, spoken
from assistant.dialogue.subject import Answers, Finisher, Handler, Subject
from assistant.dialogue.subjects.shared import beginning, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.job import PostsSet, Settings
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.set_out import mark_unit
from assistant.setout.lengths import feet, mm, write
from assistant.setout.posts import Between, PostKind, PostRow, Posts, RunGate, set_out_posts

POST_WIDTH = (mm(40), mm(300))
"""Post widths that need no questioning.  Common practice, no source."""

_MEASURED = (
    slot("run", "How long is the whole run, between the outer faces of the end posts?", "Whole run?", (mm(1000), feet(1000))),
    slot("post", "How wide is a post?", "Post width?", POST_WIDTH),
    slot("end post", "How wide is an end post? Or: the same.", "End post width?", POST_WIDTH, same_as="post"),
)
POSTS = Form("posts", "posts", (*_MEASURED, slot("opening", "What is the largest opening between posts?", "Largest opening?", OPENING)))
BY_CENTRES = Form(
    "posts by centres",
    "posts by centres",
    (*_MEASURED, slot("centres", "What is the largest distance between post centres?", "Largest distance?", OPENING)),
)
IN_THE_RUN = Form(
    "gate in the run",
    "gate in the run",
    (
        slot(
            "start", "How far from the first post's outer face does the gate opening begin?", "Gate opening begins?", (mm(40), feet(1000))
        ),
        slot("gate", "What is the clear opening between the gate posts?", "Gate opening?", OPENING),
    ),
)

_NOT_YET = "The posts are not set out yet. Say: post positions."


def posts(by_centres: bool) -> Finisher:
    """The fewest bays between posts, and the caution before digging for them."""

    def finish(turn: Turn, answers: Answers) -> None:
        end_post = answers.get("end post", answers["post"])  # older records did not ask for it
        largest = answers["centres" if by_centres else "opening"]
        wanted = Posts(answers["run"], answers["post"], largest, None if end_post == answers["post"] else end_post, by_centres=by_centres)
        set_out_posts(wanted)
        turn.close()
        _set(turn, wanted)

    return finish


def gate(turn: Turn, answers: Answers) -> None:
    """A gate in the run; one that begins where another did takes its place."""
    wanted = turn.job.posts
    assert wanted is not None
    others = [one for one in wanted.gates if one.start != answers["start"]]
    gates = sorted((*others, RunGate(answers["start"], answers["gate"])), key=lambda one: one.start)
    changed = replace(wanted, gates=tuple(gates))
    set_out_posts(changed)
    turn.close()
    _set(turn, changed)


def changing(**changes: object) -> Handler:
    """The same run set out in another way."""

    def changed(turn: Turn, intent: Intent) -> None:
        if turn.job.posts is None:
            turn.say(_NOT_YET)
        else:
            _set(turn, replace(turn.job.posts, **changes))  # type: ignore[arg-type]

    return changed


def gate_in_the_run(turn: Turn, intent: Intent) -> None:
    """A gate is asked for, once there is a run to put it in."""
    if turn.job.posts is None:
        turn.say(_NOT_YET)
    else:
        turn.begin(IN_THE_RUN, sentence(IN_THE_RUN.name))


def how_many(turn: Turn, intent: Intent) -> None:
    """Posts of the run that is set out, else of the bays as they were measured; else the questions for a run."""
    if turn.job.posts is not None:
        turn.say(*map(sentence, _counts(set_out_posts(turn.job.posts))))
    elif turn.job.bays:
        turn.say(sentence(f"{counted(len(turn.job.bays) + 1, 'post')}, if the bays stand in one row"))
    else:
        turn.begin(POSTS, sentence(POSTS.name))


def post(turn: Turn, intent: Intent) -> None:
    """Where one post stands, from the outer face of the first."""
    if turn.job.posts is None:
        turn.say(_NOT_YET)
        return
    row, number = set_out_posts(turn.job.posts), intent.count or 0
    if not 1 <= number <= len(row.posts):
        turn.say(sentence(f"there is no post {say_count(number)}; there are {say_count(len(row.posts))}"))
        return
    settings = turn.settings
    found = row.posts[number - 1]
    unit = mark_unit(settings.unit, settings.resolution)
    near, centre, far = (mark_words(settings, unit, mark.value) for mark in found.marks(number, settings.resolution))
    kind = "" if found.kind is PostKind.LINE else f", {found.kind.value}"
    turn.say(f"Post {say_count(number)}{kind}: near face {near}, centre {centre}, far face {far}.")


def _set(turn: Turn, wanted: Posts) -> None:
    """Raises ImpossibleError where the posts cannot stand so."""
    row = set_out_posts(wanted)
    turn.fact(PostsSet(wanted))
    say_and_keep(turn, "Posts", *_counts(row), *_openings(turn.settings, row), written=_written(turn.settings, wanted, row))
    turn.say("For each, say: post, and its number.")
    turn.caution(DIGGING)


def _counts(row: PostRow) -> list[str]:
    lines = [f"{counted(len(row.bays), 'bay')}, {counted(len(row.posts), 'post')}"]
    if row.gates:
        lines[0] = f"{counted(len(row.bays), 'bay')}, {counted(len(row.gates), 'gate')}, {counted(len(row.posts), 'post')}"
        lines.append(f"{say_count(row.of_kind(PostKind.GATE))} of them are gate posts")
    return lines


def _openings(settings: Settings, row: PostRow) -> list[str]:
    """Openings from the first post on, equal ones that follow each other told together."""
    groups = [(opening, len(list(same))) for opening, same in groupby(row.bays)]
    if len(groups) == 1:
        return [f"openings of {spoken(settings, groups[0][0])}"]
    told = [f"{counted(number, 'opening')} of {spoken(settings, opening)}" for opening, number in groups]
    return [told[0], *(f"then {one}" for one in told[1:])]


def _written(settings: Settings, wanted: Posts, row: PostRow) -> tuple[str, ...]:
    unit = mark_unit(settings.unit, settings.resolution)
    lines = [
        f"{len(row.posts)} posts; run of {write(wanted.run, settings.unit)} between {wanted.between.value}",
        f"Openings: {', '.join(('gate ' if at in row.gates else '') + write(one, settings.unit) for at, one in enumerate(row.openings))}",
        "From the outer face of the first post: near face, centre, far face",
    ]
    for number, one in enumerate(row.posts, start=1):
        near, centre, far = (write(mark.value, unit) for mark in one.marks(number, settings.resolution))
        lines.append(f"{number}, {one.kind.value} {write(one.width, settings.unit)}: {near}, {centre}, {far}")
    return tuple(lines)


SUBJECT = Subject(
    handlers={
        Act.POSTS: beginning(POSTS, needs_bay=False),
        Act.POSTS_CENTRES: beginning(BY_CENTRES, needs_bay=False),
        Act.POST: post,
        Act.HOW_MANY_POSTS: how_many,
        Act.POSTS_EQUAL: changing(rest=False),
        Act.POSTS_REST: changing(rest=True),
        Act.POSTS_OVER: changing(between=Between.OUTER_FACES),
        Act.POSTS_BETWEEN: changing(between=Between.CENTRES),
        Act.POSTS_INSIDE: changing(between=Between.INNER_FACES),
        Act.POSTS_GATE: gate_in_the_run,
    },
    forms={POSTS: posts(by_centres=False), BY_CENTRES: posts(by_centres=True), IN_THE_RUN: gate},
)
