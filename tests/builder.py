"""A simulated builder: takes a whole job through the conversation, knowing only the job, the questions and what people know of talk.

He hears every reply, answers what is asked, notices a read-back that is not what he said, corrects it, says it again when nothing comes
of it, and goes his own way out when he has had enough.  How his words reach the assistant is not his business (`Assistant`): over a
recognition channel, here, or as sound, in the benches.  Everything he decides, he decides from the spoken text alone; the job that came
of it is looked at only afterwards, to count what went wrong.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import dropwhile
from random import Random
from typing import Protocol

from channel import Channel, Words, distance
from talk import Kept, text
from wordings import Habit, other_wordings, words_for

from assistant.conversation import Conversation
from assistant.events import Utterance
from assistant.job import Job
from assistant.numbers import SpokenLength, number_words, parse_count, parse_length, say_count
from assistant.numbers.results import SpokenCount
from assistant.plan import is_confirmed
from assistant.setout.lengths import MM_PER_INCH, Length, Unit

PATIENCE = 4
"""Fruitless turns after which he leaves what he is at and begins it anew."""
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
MISSES = ("say that again", "did not get that", "not that either", "keep quiet", "first this", "not now:", "i heard you, but")


@dataclass(frozen=True)
class Wanted:
    """A job as it really is: settings first, then one row of answers for each bay."""

    unit: Unit
    rows: tuple[tuple[tuple[str, Fraction], ...], ...]

    @property
    def lengths(self) -> int:
        """How many lengths have to be dictated."""
        return sum(name != "leaves" for row in self.rows for name, _ in row)


@dataclass
class Tally:
    """What came of jobs."""

    jobs: int = 0
    lengths: int = 0
    length_turns: int = 0
    turns: int = 0
    wrong: int = 0
    """Values that were accepted and confirmed, and are not what the builder measured."""
    stuck: int = 0
    spoken: int = 0
    """Words the assistant spoke."""
    spoken_measuring: int = 0
    said: int = 0
    misheard: int = 0
    """Words of dictated lengths, and those of them that went wrong."""
    examples: list[str] = field(default_factory=list)


def random_job(random: Random) -> Wanted:
    """Three to six bays, some of them out of plumb, sometimes a gate; one job in eight in inches."""
    inches = random.random() < 0.125
    step = MM_PER_INCH / 4 if inches else Fraction(1)

    def near(low: int, high: int) -> Length:
        return round(Fraction(random.randint(low, high)) / step) * step

    picket, limit, usual = near(60, 120), near(80, 120), random.randint(1200, 2500)
    rows: list[tuple[tuple[str, Fraction], ...]] = [(("picket", picket), ("limit", limit))]
    bays = random.randint(3, 6)
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
        heard: Words | None = said
        if self.channel is not None:
            heard = self.channel.hear(self.random, said, number=number)
        self.made_of_it = heard
        return text(self.conversation.take(Utterance(heard or (), 0.0, 0.0, understood=heard is not None)))


class Builder:
    """One builder on one job."""

    def __init__(self, wanted: Wanted, assistant: Assistant, random: Random, notices: float = 1.0) -> None:
        """`notices`: how likely he is to notice a read-back that is not what he said."""
        self.wanted, self.assistant, self.random, self.notices = wanted, assistant, random, notices
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
        self.last: tuple[Words, bool] = ((), False)
        self.before = ""
        """What he had heard when he last spoke."""
        self.fruitless = 0
        self.log: list[str] = []

    def build(self) -> Tally:
        """The whole job, to the last mark."""
        heard = self._listen(self.assistant.begin())
        if self.wanted.unit is Unit.INCH:
            heard = self._say("work in inches")
        while "that was the last bay" not in heard:
            if self.tally.turns >= MOST_TURNS:
                self.tally.stuck = 1
                break
            heard = self._turn(heard)
        self.tally.wrong = sum(1 for _ in wrong_values(self.wanted, self.assistant.job))
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
        summary = re.search(r"(?:bay|gate) ([a-z ]+): [a-z ]+ pickets?, [a-z ]+ gaps?", heard)
        if summary and summary[1] in self.done and given and not self.mending:
            return self._say("undo", for_length=True)  # that went to another bay
        if summary:
            self.told = summary[1]
        if heard.startswith(("undone", "taken off")):
            self.told = ""
        if "removed" in heard or "there is no bay" in heard:
            self.unwanted = ""
        if self.unwanted and "? yes or no" not in heard:  # “remove” was not heard, or taken for something else
            return self._say(*("leave it",) if not heard or "?" in heard or "say: leave it" in heard else ("remove bay", self.unwanted))
        if "gap confirmed" in heard and (wrong := self._not_his(heard)):
            self.unwanted = wrong
            return self._say("leave it")
        if "? yes or no" in heard:
            return self._say("yes" if any(f" {bay}?" in heard for bay in (self.unwanted, self.told) if bay) else "no")
        if "removed" in heard:
            self.told, self.settled = "", []
        if self.fruitless > PATIENCE:
            self.fruitless = 0
            return self._enough()
        if "no number to correct" in heard:
            self.fruitless += 1
            return self._go_on(heard, None)
        if not heard or any(miss in heard for miss in MISSES):
            return self._again(heard, given)
        if given and self._for_something_else(heard, given):
            return self._say("no" if "was that " in heard or "is that right?" in heard else "undo", for_length=True)
        if not given and ("was that " in heard or "is that right?" in heard):
            return self._say("no")  # it took something else for a number
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
        if self.row == 0:
            self.settled.sort(key=list(SETTINGS).index)
        wrong = self._wrong_in_summing_up(heard)
        if wrong:
            self.settled.remove(wrong)
            return self._value(wrong, dict(self.wanted.rows[0])[wrong], named=True)
        return self._go_on(heard, given)

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
        found = [value for part in re.split("[,:]", heard.split(".", maxsplit=1)[0]) for value in self._values(part)]
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
        if given:
            return self._value(*given, distinctly=True, **self.manner)
        said = self.last[0]
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
        told = [phrase for phrase in FOLLOWED if f"say: {phrase}" in heard or f"or {phrase}" in heard]
        if row and ("next bay" in heard or "new bay" in heard):
            return self._say("gate" if row[0][0] == "opening" else "next bay")
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
            if self.row == 0:  # the first bay, and a setting is not right yet
                return self._value(names[len(self.settled)], dict(row)[names[len(self.settled)]], named=True)
            return self._say("leave it")
        self.told = ""
        place = names.index(slot)
        if place > len(self.settled):
            return self._say("back", for_length=True)
        del self.settled[place:]
        return self._value(slot, dict(row)[slot])

    def _next_row(self) -> None:
        if self.told:
            self.rows[self.told] = self.row
        self.row += 1
        self.done.add(self.told)
        self.settled, self.told, self.fruitless = [], "", 0

    # What he says --------------------------------------------------------------------------------------------------

    def _value(
        self, slot: str, value: Fraction, *, correcting: bool = False, distinctly: bool = False, named: bool = False
    ) -> str:
        row = dict(self.wanted.rows[min(self.row, len(self.wanted.rows) - 1)])
        if slot == "leaves":
            words: Words = tuple(say_count(int(value)).split())
        elif slot == "top" and value == row.get("bottom") and not (correcting or distinctly or named):
            words = ("the", "same")
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

    def _say(
        self, *words: str, given: tuple[str, Fraction] | None = None, for_length: bool = False, number: bool = False
    ) -> str:
        said = tuple(word for part in words for word in part.split())
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


def wrong_values(wanted: Wanted, job: Job) -> Iterator[tuple[int, str]]:
    """Every value of a confirmed bay that is not what the builder measured, and every bay too many or too few."""
    rows = wanted.rows[1:]
    settings = dict(wanted.rows[0])
    for index in [place for place in range(len(job.bays)) if is_confirmed(job, place)]:
        bay = job.bays[index]
        row = dict(rows[index]) if index < len(rows) else {}
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
