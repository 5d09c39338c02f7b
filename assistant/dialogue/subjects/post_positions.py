"""Where posts go: equal openings over a run, then each post by its number."""

from __future__ import annotations

from assistant.dialogue.cautions import DIGGING
from assistant.dialogue.forms import OPENING, Form, slot
from assistant.dialogue.speaking import counted, mark_words, sentence, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.job import Posts, PostsSet
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.set_out import mark_unit
from assistant.setout.lengths import feet, mm, write
from assistant.setout.posts import PostLayout, set_out_posts

POST_WIDTH = (mm(40), mm(300))
"""Post widths that need no questioning.  Common practice, no source."""

POSTS = Form(
    "posts",
    "posts",
    (
        slot(
            "run", "How long is the whole run, between the outer faces of the end posts?", "Whole run?", (mm(1000), feet(1000))
        ),
        slot("post", "How wide is a post?", "Post width?", POST_WIDTH),
        slot("opening", "What is the largest opening between posts?", "Largest opening?", OPENING),
    ),
)


def posts(turn: Turn, answers: Answers) -> None:
    """Equal openings between posts, and the caution before digging for them."""
    wanted = Posts(answers["run"], answers["post"], answers["opening"])
    layout, settings = _layout(wanted), turn.settings
    turn.close()
    turn.fact(PostsSet(wanted))
    say_and_keep(
        turn,
        "Posts",
        f"{counted(layout.bays, 'bay')}, {counted(layout.posts, 'post')}, openings of {spoken(settings, layout.opening)}",
    )
    unit = mark_unit(settings.unit, settings.resolution)
    centres = ", ".join(f"{mark.index}: {write(mark.value, unit)}" for mark in layout.centres(settings.resolution))
    turn.keep_note("Post centres, from the outer face of the first post", centres)
    turn.say("For each, say: post, and its number.")
    turn.caution(DIGGING)


def post(turn: Turn, intent: Intent) -> None:
    """Where one post stands, from the outer face of the first."""
    if turn.job.posts is None:
        turn.say("The posts are not set out yet. Say: post positions.")
        return
    layout, number = _layout(turn.job.posts), intent.count or 0
    if not 1 <= number <= layout.posts:
        turn.say(sentence(f"there is no post {say_count(number)}; there are {say_count(layout.posts)}"))
        return
    settings = turn.settings
    to, unit = settings.resolution, mark_unit(settings.unit, settings.resolution)
    near, centre, far = (
        mark_words(settings, unit, marks[number - 1].value) for marks in (layout.near_faces(to), layout.centres(to), layout.far_faces(to))
    )
    turn.say(f"Post {say_count(number)}: near face {near}, centre {centre}, far face {far}.")


def _layout(wanted: Posts) -> PostLayout:
    return set_out_posts(wanted.run, wanted.post, wanted.opening)


SUBJECT = Subject(handlers={Act.POSTS: beginning(POSTS, needs_bay=False), Act.POST: post}, forms={POSTS: posts})
