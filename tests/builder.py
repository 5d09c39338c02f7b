"""A simulated builder: takes a whole job through the conversation, knowing only the job, the questions and what people know of talk.

He says what `sentences.tsv` holds, often both openings in one breath, seldom that there are no more bays; he marks bays in any order and
changes his mind.  He hears every reply, answers what is asked, notices a read-back that is not what he said, corrects it, says it again
when nothing comes of it, and goes his own way out when he has had enough.  He holds his tape over the run, and to the far post at the last
mark.  How his words reach the assistant is not his business (`Assistant`): over a recognition channel, here, or as sound, in the benches.
Everything he decides, he decides from the spoken text alone; the job that came of it is looked at only afterwards, to count what went
wrong.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from itertools import dropwhile
from pathlib import Path
from random import Random
from typing import Protocol

from channel import Channel, Outcome, Words, distance
from talk import Kept, text
from wordings import Habit, other_wordings, words_for

from assistant.conversation import Conversation
from assistant.events import Utterance
from assistant.job import Job
from assistant.language.typed_lines import spoken_words
from assistant.numbers import SpokenLength, number_words, parse_count, parse_length, say_count
from assistant.numbers.results import SpokenCount
from assistant.plan import is_confirmed
from assistant.setout.lengths import MM_PER_INCH, Length, Unit

PATIENCE = 4
"""Fruitless turns after which he leaves what he is at and begins it anew."""
POST = Fraction(100)
"""Width of his posts, in mm; of an inch job 4 inches."""
SUMS = 6
"""So often he holds the tape over one run, at the most."""
IN_ONE_BREATH, IN_OTHER_WORDS, NEW_MIND, ANY_ORDER = 0.8, 0.3, 0.1, 0.3
"""How likely he is to say both settings or both openings at once, to say a phrase as the list of sentences has it, to change an opening of
a bay that was measured, and to name the bay that is marked next.  Invented, no source."""
MOST_TURNS = 900
"""Turns after which a job counts as stuck."""

QUESTIONS = {
    "how wide is a picket": "picket", "largest gap": "limit", "bottom opening": "bottom", "top opening": "top",
    "clear opening between the gate posts": "opening", "clearance at the hinges": "hinge", "clearance at the latch": "latch",
    "one leaf or two": "leaves",
}  # fmt: skip
"""What a question is about."""
LABELS = {
    "picket": "picket width", "limit": "largest gap", "bottom": "bottom", "top": "top", "opening": "gate opening",
    "hinge": "hinge clearance", "latch": "latch clearance", "leaves": "leaves",
}  # fmt: skip
"""What a value is called in the read-back."""
SETTINGS = ("picket", "limit")
"""What is asked before the first bay, in order."""
FOLLOWED = (
    "gap confirmed", "understood", "start marking", "carry on", "no more bays", "all measured", "wake up assistant", "new bay",
)  # fmt: skip
"""What he says when he is told to, and has nothing else on his mind."""
FOUND = "i can hear you once more."
"""Said when a lost microphone is there again; what was said last follows."""
IN_PAIRS = {"bottom": "top", "picket": "limit"}
"""What is said in one breath with another value, which comes behind it."""
MISSES = ("say that again", "did not get that", "not that either", "keep quiet", "first this", "has to wait", "no place here")


@dataclass(frozen=True)
class Wanted:
    """A job as it really is: settings first, then one row of answers for each bay."""

    unit: Unit
    rows: tuple[tuple[tuple[str, Fraction], ...], ...]

    @property
    def lengths(self) -> int:
        """How many lengths have to be dictated."""
        return sum(name != "leaves" for row in self.rows for name, _ in row)


SAID_IN = {
    "start marking": "hub", "gap confirmed": "gap", "understood": "caution", "next": "marking", "yes": "doubt", "no": "doubt",
    "the same": "top", "the first": "which", "the second": "which", "next bay": "hub", "no more bays": "hub",
}  # fmt: skip
"""Phrases that he puts in other words now and then, and the state in which the list has those."""


@cache
def in_other_words(phrase: str) -> tuple[Words, ...]:
    """Everything in the list of sentences that means the same where he says it."""
    path = Path(__file__).with_name("dialogue") / "sentences.tsv"
    rows = [line.split("\t") for line in path.read_text(encoding="utf-8").splitlines()]
    here = [(said, meaning) for state, said, meaning in rows if state == SAID_IN[phrase]]
    meant = next((meaning for said, meaning in here if said == phrase), None)
    return tuple(spoken_words(said) for said, meaning in here if meaning == meant)


@dataclass
class Tally:
    """What came of jobs."""

    jobs: int = 0
    lengths: int = 0
    length_turns: int = 0
    turns: int = 0
    wrong: int = 0
    """Values that were accepted and confirmed, and are not what the builder measured."""
    amiss: int = 0
    """Of those, whole bays too many or too few."""
    stuck: int = 0
    spoken: int = 0
    """Words the assistant spoke."""
    spoken_measuring: int = 0
    said: int = 0
    misheard: int = 0
    """Words of dictated lengths, and those of them that went wrong."""
    remarked: int = 0
    """Bays found wrong at their last mark: marked twice, but not nailed wrong."""
    sums: int = 0
    """Times the tape was held over the run."""
    first_mark: int = 0
    """Turns up to the first mark."""
    examples: list[str] = field(default_factory=list)


def random_job(random: Random, bays: int | None = None) -> Wanted:
    """Three to six bays, or so many, some of them out of plumb, sometimes a gate; one job in eight in inches."""
    inches = random.random() < 0.125
    step = MM_PER_INCH / 4 if inches else Fraction(1)

    def near(low: int, high: int) -> Length:
        return round(Fraction(random.randint(low, high)) / step) * step

    picket, limit, usual = near(60, 120), near(80, 120), random.randint(1200, 2500)
    rows: list[tuple[tuple[str, Fraction], ...]] = [(("picket", picket), ("limit", limit))]
    bays = bays or random.randint(3, 6)
    gate = random.randrange(bays) if random.random() < 0.4 else None
    for bay in range(bays):
        if bay == gate:
            two = random.random() < 0.3
            row = [("opening", near(900, 1300)), ("hinge", near(8, 25)), ("latch", near(8, 25)), ("leaves", Fraction(1 + two))]
            rows.append(tuple(row))
        else:
            bottom = near(usual - 150, usual + 150)
            off = Fraction(0) if random.random() < 0.5 else random.choice((-1, 1)) * near(2, 15)
            rows.append((("bottom", bottom), ("top", bottom + off)))
    return Wanted(Unit.INCH if inches else Unit.MM, tuple(rows))


class Assistant(Protocol):
    """Whom he talks to."""

    made_of_it: Words | None
    """What was made of his last words, None when they were lost: to be counted, he knows nothing of it."""

    @property
    def job(self) -> Job:
        """What has come of it so far: looked at when all is over."""

    def begin(self) -> str:
        """What it says first."""

    def unasked(self) -> str:
        """What it says while he draws breath: mostly nothing."""

    def answer(self, said: Words, number: bool) -> str:
        """What it says to his words; nothing when there is no reply in the time that he waits for one."""


class OverChannel:
    """The conversation itself, words reaching it over a channel; without one all is heard right."""

    def __init__(self, channel: Channel | None, random: Random) -> None:
        self.channel, self.random = channel, random
        self.conversation = Conversation(Kept())
        self.made_of_it: Words | None = None

    @property
    def job(self) -> Job:
        return self.conversation.state.job

    def begin(self) -> str:
        return text(self.conversation.open())

    def unasked(self) -> str:
        return ""

    def answer(self, said: Words, number: bool) -> str:
        found = Outcome(said) if self.channel is None else self.channel.hear(self.random, said, number=number)
        heard, doubt = found.words, found.doubt
        if self.channel is not None:  # the ears are bound to what can be said
            graph = self.conversation.expected().graph
            doubt = tuple(one for one in dict.fromkeys(doubt) if graph.accepts(one))
            heard = doubt[0] if doubt else heard if not found.doubt and heard is not None and graph.accepts(heard) else None
        self.made_of_it = heard
        return text(self.conversation.take(Utterance(heard or (), 0.0, 0.0, understood=heard is not None, doubt=doubt)))


class Builder:
    """One builder on one job."""

    def __init__(self, wanted: Wanted, assistant: Assistant, random: Random, notices: float = 1.0, *, checks: bool = True) -> None:
        """`notices`: how likely he is to notice a number that is not his; `checks`: whether he holds the tape over run and last gaps."""
        self.wanted, self.assistant, self.random, self.notices, self.checks = wanted, assistant, random, notices, checks
        self.habit = random.choice(list(Habit))
        self.tally = Tally(jobs=1, lengths=wanted.lengths)
        self.row = 0
        self.settled: list[str] = []
        """Of the row he is at: what he believes to be accepted, in order."""
        self.given: tuple[str, Fraction] | None = None
        """What he said last, if it was a value: what it is for, and how much."""
        self.manner: dict[str, bool] = {}
        """How he said it: correcting, or by its name."""
        self.told = ""
        """The number of the bay of his row, once it was read to him: it stands, right or wrong."""
        self.unwanted = ""
        """The number of a bay that has to go."""
        self.done: set[str] = set()
        """The numbers of the bays he is through with."""
        self.rows: dict[str, int] = {}
        """By number of a bay: the row of the job it came from."""
        self.mending = False
        self.mends: tuple[str, Fraction] | None = None
        """What he heard wrong when a gap was to be confirmed, as it should be; and whether he is saying so."""
        self.back_to: int | None = None
        """The row he goes back to, once a bay is measured again."""
        self.again = ""
        """The number of the bay that he measures again."""
        self.left: Fraction | None = None
        """What his tape says is left to the far post, where that was not what he heard."""
        self.tries = 0
        """How often he answered since he last said the run."""
        self.run = Fraction(0)
        """What his tape says of the run."""
        self.summing = False
        self.sums = SUMS if checks else 0
        """How often he would still hold the tape over the run; and whether he is at it."""
        self.marked: set[str] = set()
        self.marking: tuple[str, str] = ("", "")
        """The bay and the rail that are being marked, as they were last said."""
        self.named = ""
        """The bay that he named to be marked."""
        self.last: tuple[Words, bool] = ((), False)
        self.meant: Words = ()
        """The same before he put it in other words."""
        self.before = ""
        """What he had heard when he last spoke."""
        self.fruitless = 0
        self.log: list[str] = []

    def build(self) -> Tally:
        """The whole job, to the last mark."""
        heard = self._listen(self.assistant.begin())
        if self.wanted.unit is Unit.INCH:
            heard = self._say("work in inches")
        while "that was the last bay" not in heard or self._not_measured() is not None:
            if self.tally.turns >= MOST_TURNS:
                self.tally.stuck = 1
                break
            heard = self._turn(heard)
        wrong = list(wrong_values(self.wanted, self.assistant.job, self.rows))
        self.tally.wrong = len({(0 if name in SETTINGS else index, name) for index, name in wrong})  # a setting was said once
        self.tally.amiss = sum(name in ("missing", "too many") for _, name in wrong)
        if wrong:
            self.log.append(f"wrong: {wrong}")
        if self.tally.wrong or self.tally.stuck:
            self.tally.examples.append("\n".join(self.log[:400]))
        return self.tally

    # What he makes of a reply --------------------------------------------------------------------------------------

    def _turn(self, heard: str) -> str:
        """His answer to what he heard, and the reply to that."""
        given, self.given = self.given, None
        if heard.startswith(FOUND):
            heard = heard.removeprefix(FOUND).strip()
            if heard == self.before:  # what he said while it was deaf is lost
                given = None
        self.before = heard
        self._look_at_the_marks(heard)
        checking = self._checking(heard, given)
        if checking is not None:
            return checking
        summary = re.search(r"(?:bay|gate) ([a-z ]+): [a-z ]+ pickets?, ", heard)
        if summary and summary[1] in self.done and given and not self.mending:
            return self._say("undo", for_length=True)  # that went to another bay
        if summary:
            self.told = summary[1]
        if summary and not self._his_leaf(heard):
            self.unwanted = self.told
        if heard.startswith(("undone", "taken off")):
            self.told = ""
        if gone := re.search(r"(?:bay|gate) ([a-z ]+?) removed", heard):
            self.rows.pop(gone[1], None)
        if "removed" in heard or "there is no bay" in heard:
            self.unwanted = ""
        if self.unwanted and "yes or no." not in heard:  # “remove” was not heard, or taken for something else
            return self._say(*("leave it",) if not heard or "?" in heard or "say: leave it" in heard else ("remove bay", self.unwanted))
        if "gap confirmed" in heard and (wrong := self._not_his(heard)):
            self.unwanted = wrong
            return self._say("leave it")
        if "yes or no." in heard:
            his = [f" {bay}?" for bay in (self.unwanted, self.told) if bay]
            if self.again:
                his += [f" {self.again} again?"]
            return self._say("yes" if any(one in heard for one in his) else "no")
        if "removed" in heard:
            self.told, self.settled = "", []
        if self.fruitless > PATIENCE:
            self.fruitless = 0
            return self._enough()
        if "no count keeps" in heard:  # the pickets are not his
            return self._number(("picket", "width"), dict(self.wanted.rows[0])["picket"])
        if given and "share it out" in heard:
            return self._say("share it out")
        if given and "which one? say: bottom" in heard and self.row < len(self.wanted.rows):
            self.settled = []
            self.fruitless += 1
            return self._value("bottom", dict(self.wanted.rows[self.row])["bottom"], named=True)
        if "no number to correct" in heard:
            self.fruitless += 1
            return self._go_on(heard, None)
        if not heard or any(miss in heard for miss in MISSES):
            return self._again(heard, given)
        if given and self._for_something_else(heard, given):
            return self._say("no" if "was that " in heard or "is that right?" in heard else "undo", for_length=True)
        if not given and ("was that " in heard or "is that right?" in heard):
            return self._say("no")  # it took something else for a number
        given = self._of_the_pair(heard, given)
        if "was that " in heard and given:
            return self._which(heard, given)
        if "is that right?" in heard and given:
            return self._doubted(heard, given)
        if given and not self._read_back(heard, given):
            return self._value(*given, correcting=True)
        if given and self.mending:
            self.mending, self.fruitless = False, 0
            return self._say("start marking")
        if given:
            self.settled.append(given[0])
            self.fruitless = 0
            if (wrong_too := self._the_other(heard)) is not None:
                return wrong_too
        if self.row == 0:
            self.settled.sort(key=list(SETTINGS).index)
        wrong = self._wrong_in_summing_up(heard)
        if wrong:
            self.settled.remove(wrong)
            return self._value(wrong, dict(self.wanted.rows[0])[wrong], named=True)
        return self._go_on(heard, given)

    def _of_the_pair(self, heard: str, given: tuple[str, Fraction] | None) -> tuple[str, Fraction] | None:
        """What a question is about: the other value of the same breath, where the one he gave first was read back before it."""
        row = dict(self.wanted.rows[self.row]) if self.row < len(self.wanted.rows) else {}
        name = IN_PAIRS.get(given[0], "") if given else ""
        if given is None or name not in row or not ("was that " in heard or "is that right?" in heard):
            return given
        first, found, _ = heard.partition(f". {LABELS[name]}: ")
        if not found or f"{LABELS[given[0]]}: " not in f"{first}: ":
            return given
        if not self._read_back(f"{first}.", given):
            return given
        self.settled.append(given[0])
        return (name, row[name])

    def _the_other(self, heard: str) -> str | None:
        """The other value of the same breath: its correction, where he hears it wrong; None where he may go on."""
        row = dict(self.wanted.rows[self.row]) if self.row < len(self.wanted.rows) else {}
        name = IN_PAIRS.get(self.settled[-1], "")
        read = re.search(rf"{LABELS[name]}: ([^.]+)\.", heard) if name in row else None
        if read is None or name in self.settled:
            return None
        other = (name, row[name])
        found = [value for part in re.split("[,:;]", read[1]) for value in self._values(part)]
        if read[1] == "the same":  # as the bottom, which he heard
            found = [row["bottom"]]
        if other[1] not in found and self.random.random() < self.notices:
            return self._value(*other, named=True)
        self.settled.append(other[0])
        return None

    # The tape over run and last gaps ---------------------------------------------------------------------------------

    def _look_at_the_marks(self, heard: str) -> None:
        """Which bay and rail is being marked, and which bays are done with."""
        if lead := re.search(r"(?:bay|gate) ([a-z ]+?), ([a-z]+) rail, from", heard):
            self.marking = (lead[1], lead[2])
        self.marked |= set(re.findall(r"(?:bay|gate) ([a-z ]+?) is marked", heard))
        if "mark one:" in heard and not self.tally.first_mark:
            self.tally.first_mark = self.tally.turns

    def _checking(self, heard: str, given: tuple[str, Fraction] | None) -> str | None:
        """What he says where a tape is held against the job; None where there is no such thing."""
        if self.again and ("is open again" in heard or "once more" in heard) and "opening" in heard and self.again in self.rows:
            self._measure_again()
            return None
        if self.summing:
            return self._summing(heard, given)
        if self.left is not None and "to the far post?" in heard and "does the tape agree" not in heard:
            return self._number(("no",) if "last one" in heard else (), self.left)
        if "does the tape agree" in heard:
            return self._last_mark(heard)
        return None

    def _measure_again(self) -> None:
        """The bay that he asked for, or that was offered, is measured again: back to its row."""
        self.back_to = self.row if self.back_to is None else self.back_to
        self.row = self.rows[self.again]
        self.done.discard(self.again)
        self.tally.remarked += self.again in self.marked or self.again == self.marking[0]
        self.marked.discard(self.again)
        self.settled, self.told, self.again, self.left, self.summing = [], "", "", None, False

    def _last_mark(self, heard: str) -> str:
        """“… to the far post; does the tape agree?”: he holds the tape to it, and may overlook what it says."""
        self.left = None
        read = re.search(r"mark [a-z ]+: ([^.]+), last one\. ([^.;]+) to the far post", heard)
        number, rail = self.marking
        row = dict(self.wanted.rows[self.rows[number]]) if number in self.rows else {}
        if read and rail in row and self.checks:
            for mark in self._on_tape(read[1]):
                real = row[rail] - mark
                if real not in self._on_tape(read[2]) and self.random.random() < self.notices:
                    self.left, self.again = real, number
                    return self._number(("no",), real)
        return self._say(self.random.choice(("that's right", "next", "next")))

    def _on_tape(self, part: str) -> Iterator[Fraction]:
        """A number said bare, as marks are called: in the unit of the job."""
        unit = "inches" if self.wanted.unit is Unit.INCH else "millimetres"
        return self._values(f"{part} {unit}")

    def _number(self, before: Words, value: Fraction) -> str:
        return self._say(*before, *words_for(value, self.wanted.unit, self.random.choice(list(Habit)), self.random), number=True)

    def _tape(self) -> str:
        """The tape over the whole run, outside to outside; it may be a millimetre out."""
        self.sums -= 1
        self.tally.sums += 1
        self.summing, self.tries = True, 0
        openings = [row[0][1] for row in self.wanted.rows[1:]]
        post = self._post()
        self.run = sum(openings, start=(len(openings) + 1) * post)
        if self.wanted.unit is Unit.MM:
            self.run += self.random.choice((-1, 0, 0, 1))
        return self._number(("the", "run", "is"), self.run)

    def _post(self) -> Fraction:
        return POST if self.wanted.unit is Unit.MM else 4 * MM_PER_INCH

    def _summing(self, heard: str, given: tuple[str, Fraction] | None) -> str | None:
        if self.tries > 2 * PATIENCE:
            self.summing, self.sums = False, 0
            return self._say("leave it")
        self.tries += 1
        asked_for = self._post() if "post width" in heard or "how wide is a post" in heard else self.run
        if "come to" in heard and (told := re.search(r"the tape says ([^.]+)\.", heard)):
            if self.run not in self._values(told[1]) and self.random.random() < self.notices:
                return self._tape_again(heard)
            return self._told_of_the_run(heard)
        if "was that " in heard:
            for place, reading in enumerate(heard.split("was that ")[1].rstrip("?. ").split(", or ")[:2]):
                if asked_for in self._values(reading):
                    return self._say("the first" if place == 0 else "the second")
            return self._say("no")
        if "is that right?" in heard:
            first = heard.split(".", maxsplit=1)[0].rsplit(": ", maxsplit=1)[-1]
            return self._say("yes" if asked_for in self._values(first) else "no")
        if "say that again" not in heard and "outside to outside, or inside" in heard:
            told = re.search(r"the run, ([^.]+)\.", heard)
            if told and self.run not in self._values(told[1]) and self.random.random() < self.notices:
                return self._tape_again(heard)
            return self._say("outside to outside")
        if "how wide is a post" in heard:
            return self._number((), self._post())
        if heard and re.search(r"(?:bay|gate) [a-z ]+, [a-z ]+\..* say: change bay", heard):
            return self._each_bay(heard)
        if "left." in heard or "say: next bay" in heard:
            return self._tape_again(heard)
        said, number = self.last
        return self._say(*said, number=number)

    def _tape_again(self, heard: str) -> str:
        if self.sums <= 0:
            self.summing = False
            return self._say("leave it")
        if "?" in heard:
            return self._say("leave it")
        return self._tape()

    def _told_of_the_run(self, heard: str) -> str:
        if "they agree" in heard or "may be out by that" in heard:
            self.summing, self.sums = False, 0
            return self._say("start marking")
        named = re.search(r"(?:bay|gate) ([a-z ]+?) (?:may be|was heard unsure;?) ([^.]+?)(?: would close it)?\.", heard)
        if "again? yes or no" in heard and named:
            number = named[1]
            offered = re.search(r"measure (?:bay|gate) ([a-z ]+) again\?", heard)
            row = self.wanted.rows[self.rows[number]] if number in self.rows else ()
            if row and offered and offered[1] == number and row[0][1] in self._values(named[2]):
                self.again = number
                return self._say("yes")
            return self._say("no")
        return self._each_bay(heard)

    def _each_bay(self, heard: str) -> str:
        """He hears every opening, and finds the first that is not his."""
        for number, said in re.findall(r"(?:bay|gate) ([a-z ]+), ([^.]+)\.", heard):
            if number not in self.rows and self.random.random() < self.notices:
                self.unwanted, self.summing = number, False  # a bay that he never measured
                return self._say("remove", "bay", number)
            if number in self.rows:
                right = self.wanted.rows[self.rows[number]][0][1]
                if right not in self._values(said) and self.random.random() < self.notices:
                    self.again = number
                    kind = "gate" if self.wanted.rows[self.rows[number]][0][0] == "opening" else "bay"
                    return self._say("change", kind, number)
        if self.sums > 0:
            return self._tape_again("")
        self.summing = False
        return self._say("start marking")

    def _wrong_in_summing_up(self, heard: str) -> str:
        """The setting that he hears wrong when both are said once more; he may fail to notice."""
        summing_up = re.search(r"pickets ([^,.]+), gaps ([^.]+)\.", heard)
        if self.row == 0 and summing_up and self.settled == list(SETTINGS):
            for name, said in zip(SETTINGS, summing_up.groups(), strict=True):
                if self._noticed_wrong(dict(self.wanted.rows[0])[name], said):
                    return name
        return ""

    def _noticed_wrong(self, value: Fraction, said: str) -> bool:
        return value not in list(self._values(said)) and self.random.random() < self.notices

    def _his_leaf(self, heard: str) -> bool:
        """Whether the leaf that he is told to cut goes with his opening and clearances; he may fail to notice that it does not."""
        told = re.search(r"cut the leaf ([^.]+?) wide", heard)
        row = dict(self.wanted.rows[self.row]) if self.row < len(self.wanted.rows) else {}
        if told is None or row.get("leaves") != 1:
            return True
        leaf = row["opening"] - row["hinge"] - row["latch"]
        return leaf in self._values(told[1]) or self.random.random() >= self.notices

    def _wrong_before_the_gap(self, heard: str) -> tuple[str, Fraction] | None:
        """What he hears wrong of a bay whose gap is to be confirmed, and how it should be."""
        found = re.search(r"bay ([a-z ]+?)((?:, (?:opening|bottom|top|pickets) [^,.]+)+)\. the gap", heard)
        if not found or found[1] not in self.rows:
            return None
        row = dict((*self.wanted.rows[0], *self.wanted.rows[self.rows[found[1]]]))
        for part in found[2].split(", ")[1:]:
            label, _, said = part.partition(" ")
            slots = {"opening": ("bottom", "top"), "pickets": ("picket",)}.get(label, (label,))
            for slot in slots:
                if slot in row and self._noticed_wrong(row[slot], said):
                    return slot, row[slot]
        return None

    def _for_something_else(self, heard: str, given: tuple[str, Fraction]) -> bool:
        """Whether he notices that his number was taken for something else, as when the “no” before it was lost."""
        bay, comma, label = heard.split(":", maxsplit=1)[0].rpartition(", ")
        other = label in LABELS.values() and label != LABELS[given[0]]
        other = other or bool(comma and self.told and bay != f"bay {self.told}")
        return other and self.random.random() < self.notices

    def _read_back(self, heard: str, given: tuple[str, Fraction]) -> bool:
        """Whether he hears his number come back; he may fail to notice that it does not."""
        heard = re.sub(r"^(?:bay|gate) [a-z ]+?(?: once more)?\. (?=[a-z ]+: )", "", heard)
        found = [value for part in re.split("[,:;]", heard.split(".", maxsplit=1)[0]) for value in self._values(part)]
        return given[1] in found or self.random.random() >= self.notices

    def _values(self, part: str) -> Iterator[Fraction]:
        """The number a part of a sentence ends with, the words before it left out."""
        words = list(dropwhile(lambda word: word not in number_words(), part.split()))
        reading = parse_length(words, self.wanted.unit)
        if isinstance(reading, SpokenLength):
            yield reading.mm
        counted = parse_count(words)
        if isinstance(counted, SpokenCount):
            yield Fraction(counted.value)

    def _which(self, heard: str, given: tuple[str, Fraction]) -> str:
        offered = heard.split("was that ")[1].rstrip("?. ").split(", or ")
        for place, reading in enumerate(offered[:2]):
            if given[1] in self._values(reading):
                return self._say("the first" if place == 0 else "the second", given=given, for_length=True)
        return self._value(*given)

    def _doubted(self, heard: str, given: tuple[str, Fraction]) -> str:
        if self._read_back(heard, given):
            return self._say("yes", given=given, for_length=True)
        self.fruitless += 1
        return self._value(*given, distinctly=True)

    def _again(self, heard: str, given: tuple[str, Fraction] | None) -> str:
        """Nothing came of it: the same once more, then in other words; a number more distinctly."""
        self.fruitless += 1
        if "say: leave it" in heard and self.fruitless > 1:
            return self._say("leave it")
        if given and self.last[0][:2] == ("next", "bay"):
            return self._say("next bay")
        if given:
            return self._value(*given, distinctly=True, **self.manner)
        said = self.meant
        return self._say(*(said if self.fruitless < 2 else self.random.choice(other_wordings(said) or (said,))))

    def _enough(self) -> str:
        """He has had enough: what stands wrong is taken away, what is open is left, and it begins anew."""
        if not self.told:
            self.settled = []
            return self._say("leave it")
        self.unwanted = self.told
        return self._say("remove bay", self.told)

    def _not_his(self, heard: str) -> str:
        """The number of the bay whose openings, read once more before the gap is confirmed, are none that he measured."""
        read = re.match(r"bay ([a-z ]+), (?:opening ([a-z ]+)[.,]|bottom ([a-z ]+), top ([a-z ]+)[.,])", heard)
        if read is None or read[1] in self.rows or self.random.random() >= self.notices:
            return ""  # what is wrong in a bay of his own is put right, not taken away
        bottom, top = read[2] or read[3], read[2] or read[4]
        for row in self.wanted.rows[1:]:
            his = dict(row)
            if "bottom" in his and his["bottom"] in self._values(bottom) and his["top"] in self._values(top):
                return ""
        return read[1]

    def _go_on(self, heard: str, given: tuple[str, Fraction] | None) -> str:
        asked = [(heard.rfind(question), slot) for question, slot in QUESTIONS.items() if question in heard and "?" in heard]
        row = self.wanted.rows[self.row] if self.row < len(self.wanted.rows) else ()
        if asked and row:
            return self._asked(max(asked)[1], row)
        if row and self.told and len(self.settled) < len(row):
            # The bay stands, though not with all he gave: something was taken for something else.
            if row[0][0] == "opening":
                self.settled = self.settled[:-1]
                return self._say("undo", for_length=True)
            return self._value(*row[len(self.settled)], named=True)
        if row and self.settled and [name for name, _ in row] == self.settled:
            self._next_row()
            row = self.wanted.rows[self.row] if self.row < len(self.wanted.rows) else ()
            if "say:" not in heard:
                return self._another(row) if row else self._all_measured(heard, [])
        told = [phrase for phrase in FOLLOWED if f"say: {phrase}" in heard or f"or {phrase}" in heard]
        if not row and "gap confirmed" not in told and ({"no more bays", "start marking"} & set(told)):
            return self._all_measured(heard, told)
        if row and ("next bay" in heard or "new bay" in heard):
            return self._another(row)
        if not row and "that was the last bay" in heard:
            return self._all_measured(heard, [])
        if not row and re.search(r"mark \w+|the first mark|last one", heard) and "say: " not in heard:
            self.fruitless = 0
            return self._say("next")
        if "not confirmed" in heard and self.mends:
            self.mending = True
            return self._value(*self.mends, named=True)
        if told == ["gap confirmed"] and self.row == len(self.wanted.rows):
            self.mends = self._wrong_before_the_gap(heard)
            if self.mends:
                return self._say("no", for_length=True)
        if told:
            return self._say(told[0])
        return self._again(heard, None)

    def _all_measured(self, heard: str, told: list[str]) -> str:
        """Nothing is left to measure: the tape over the run, a change of mind, a bay named to be marked, or on to the marks."""
        missing = self._not_measured()
        if missing is not None:
            self.back_to, self.row = self.row, missing
            self.settled, self.told = [], ""
            return self._say("gate" if self.wanted.rows[missing][0][0] == "opening" else "new bay")
        if "run agrees" in heard:
            self.sums = 0
        if self.sums > 0 and not self.marked:
            return self._tape()
        minded = self.random.random() < NEW_MIND and not self.marked and not self.again
        if minded and (changed := self._new_mind()) is not None:
            return changed
        left = sorted(number for number in self.rows if number not in self.marked)
        if len(left) > 1 and not self.named and self.random.random() < ANY_ORDER:
            self.named = self.random.choice(left)
            kind = "gate" if self.wanted.rows[self.rows[self.named]][0][0] == "opening" else "bay"
            if kind == "bay":
                return self._say("bay", self.named)
        self.named = ""
        return self._say("start marking" if "start marking" in told or self.random.random() < 0.7 else "no more bays")

    def _not_measured(self) -> int | None:
        """A row whose bay was taken away and not measured since, once he is through with all of them."""
        if self.row < len(self.wanted.rows):
            return None
        return next((row for row in range(1, len(self.wanted.rows)) if row not in self.rows.values()), None)

    def _new_mind(self) -> str | None:
        """He measured an opening once more, and it is another."""
        bays = [number for number, row in self.rows.items() if self.wanted.rows[row][0][0] == "bottom"]
        if not bays:
            return None
        number = self.random.choice(bays)
        rows = list(self.wanted.rows)
        step = Fraction(1) if self.wanted.unit is Unit.MM else MM_PER_INCH / 4
        by = self.random.choice((-9, -2, 3, 7)) * step
        rows[self.rows[number]] = tuple((name, value + by) for name, value in rows[self.rows[number]])
        self.wanted = Wanted(self.wanted.unit, tuple(rows))
        self.again = number
        return self._say("change bay", number)

    def _another(self, row: tuple[tuple[str, Fraction], ...]) -> str:
        """On to the next bay, at times with what was measured of it."""
        if row[0][0] == "opening":
            return self._say("gate")
        if self.random.random() < IN_ONE_BREATH:
            words = words_for(row[0][1], self.wanted.unit, self.habit, self.random)
            if row[0][1] == row[1][1]:
                words = (*words, "both")
            else:
                words = ("bottom", *words, "top", *words_for(row[1][1], self.wanted.unit, self.habit, self.random))
            return self._say("next", "bay", *words, given=row[0], for_length=True, number=True)
        return self._say("next bay")

    def _asked(self, slot: str, row: tuple[tuple[str, Fraction], ...]) -> str:
        """A question about one value of the row: answered, or gone back from when an earlier one is not right yet."""
        names = [name for name, _ in row]
        if slot not in names:
            if self.settled == names and self.row + 1 < len(self.wanted.rows):
                self._next_row()
                return self._asked(slot, self.wanted.rows[self.row])
            if slot in ("picket", "limit"):  # they were undone with the rest
                self.row, self.settled = 0, ["picket"] if slot == "limit" else []
                return self._asked(slot, self.wanted.rows[0])
            if self.row == 0 and len(self.settled) < len(names):  # the first bay, and a setting is not right yet
                return self._value(names[len(self.settled)], dict(row)[names[len(self.settled)]], named=True)
            return self._say("new gate" if slot == "bottom" and names[0] == "opening" and not self.settled else "leave it")
        self.told = ""
        place = names.index(slot)
        if place > len(self.settled):
            return self._say("back", for_length=True)
        del self.settled[place:]
        return self._value(slot, dict(row)[slot])

    def _next_row(self) -> None:
        if self.told:
            self.rows = {number: row for number, row in self.rows.items() if row != self.row} | {self.told: self.row}
        self.row, self.back_to = (self.row + 1, None) if self.back_to is None else (self.back_to, None)
        self.done.add(self.told)
        self.settled, self.told, self.fruitless = [], "", 0

    # What he says --------------------------------------------------------------------------------------------------

    def _value(self, slot: str, value: Fraction, *, correcting: bool = False, distinctly: bool = False, named: bool = False) -> str:
        row = dict(self.wanted.rows[min(self.row, len(self.wanted.rows) - 1)])
        if slot == "leaves":
            words: Words = tuple(say_count(int(value)).split())
        elif slot == "top" and value == row.get("bottom") and not (correcting or distinctly or named):
            words = ("the", "same")
        elif slot == "bottom" and "top" in row and not (correcting or distinctly or named) and self.random.random() < IN_ONE_BREATH:
            words = words_for(value, self.wanted.unit, self.habit, self.random)
            if row["top"] == value:
                words = (*words, *self.random.choice((("both",), ("both", "the", "same"))))
            else:
                words = ("bottom", *words, "top", *words_for(row["top"], self.wanted.unit, self.habit, self.random))
        elif slot == "picket" and not (correcting or distinctly or named) and self.random.random() < IN_ONE_BREATH:
            words = words_for(value, self.wanted.unit, self.habit, self.random)
            words = (*words, "gap", *words_for(row["limit"], self.wanted.unit, self.habit, self.random))
        else:
            habits = [Habit.DIGITS, Habit.CARDINAL] if distinctly or correcting else [self.habit]
            words = words_for(value, self.wanted.unit, self.random.choice(habits), self.random)
            if distinctly and words == self.last[0]:  # that was not heard: another wording
                words = words_for(value, self.wanted.unit, self.random.choice(list(Habit)), self.random)
        if correcting:
            self.fruitless += 1
            words = ("no", *words)
        elif named:
            label = f"{slot} opening" if slot in ("bottom", "top") else LABELS[slot]
            words = (*label.split(), *words)
        self.manner = {"correcting": correcting, "named": named}
        return self._say(*words, given=(slot, value), for_length=True, number=words[0] != "the")

    def _say(self, *words: str, given: tuple[str, Fraction] | None = None, for_length: bool = False, number: bool = False) -> str:
        said = tuple(word for part in words for word in part.split())
        self.meant = said
        if " ".join(said) in SAID_IN and self.random.random() < IN_OTHER_WORDS:
            said = self.random.choice(in_other_words(" ".join(said)) or (said,))
        self.given, self.last = given, (said, number)
        unasked = self.assistant.unasked()
        if unasked:  # he hears it out first
            self.given = None
            return self._listen(unasked)
        reply = self.assistant.answer(said, number)
        heard = self.assistant.made_of_it
        if number and heard is not None:
            self.tally.said += len(said)
            self.tally.misheard += distance(said, heard)
        self.tally.turns += 1
        self.tally.length_turns += for_length
        self.log.append(f"builder    {' '.join(said)}" + ("" if heard == said else f"   [heard: {' '.join(heard or ('-',))}]"))
        return self._listen(reply)

    def _listen(self, reply: str) -> str:
        words = len(reply.split())
        self.tally.spoken += words
        self.tally.spoken_measuring += words if self.row < len(self.wanted.rows) else 0
        self.log.append(f"assistant  {reply}")
        return reply.lower()


def wrong_values(wanted: Wanted, job: Job, known: Mapping[str, int] | None = None) -> Iterator[tuple[int, str]]:
    """Every value of a confirmed bay that is not what the builder measured, and every bay too many or too few.

    `known`: by the number of a bay which row he takes it for; without it bays stand in the order of the rows.
    """
    rows = wanted.rows[1:]
    settings = dict(wanted.rows[0])
    for index in [place for place in range(len(job.bays)) if is_confirmed(job, place)]:
        bay = job.bays[index]
        place = index if known is None else known.get(say_count(bay.number), len(rows) + 1) - 1
        row = dict(rows[place]) if place < len(rows) else {}
        taken: dict[str, Fraction] = {"picket": bay.picket, "limit": bay.limit.value}
        if bay.gate is None:
            taken.update(bay.openings)
        else:
            taken["opening"] = bay.openings[0][1]
            taken |= {"hinge": bay.gate.hinge, "latch": bay.gate.latch, "leaves": Fraction(bay.gate.leaves)}
        for name, value in (settings | row).items():
            if taken.get(name) != value:
                yield index, name
    for index in range(len(job.bays), len(rows)):
        yield index, "missing"
    for index in range(len(rows), len(job.bays)):
        yield index, "too many"


def add(total: Tally, one: Tally) -> Tally:
    """Two tallies in one; a few examples are kept."""
    numbers = {name: getattr(total, name) + getattr(one, name) for name in Tally.__dataclass_fields__ if name != "examples"}
    return Tally(**numbers, examples=(total.examples + one.examples)[:5])
