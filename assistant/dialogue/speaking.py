"""How values are put into words under the user's settings: unit, number style, full or short answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction

from assistant.job import Settings
from assistant.language.understanding import Intent
from assistant.measured import Bay, Slope
from assistant.numbers import Ambiguous, other_form, say_count, say_length, say_number
from assistant.numbers.styles import NumberStyle
from assistant.set_out import Rail, SetOut
from assistant.setout.ends import End, EndKind
from assistant.setout.lengths import MM_PER_INCH, Length, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.tolerances import OUT_OF_PLUMB, TAPE_ERROR
from assistant.setout.trouble import ImpossibleError

GAP_STEP = {Unit.INCH: MM_PER_INCH / 32, Unit.FOOT_INCH: MM_PER_INCH / 32}
"""A gap is spoken finer than marks are set, for it is checked and confirmed: to a thirty-second of an inch …"""

GAP_STEP_METRIC = Fraction(1, 10)
"""… or a tenth of a millimetre."""


def spoken(settings: Settings, length: Length) -> str:
    """A length in words with its unit, exact where it can be said so, else behind “about”."""
    value = gap_value(settings, length)
    about = "" if value == length else "about "
    return about + say_length(value, settings.unit, settings.numbers)


def bare(settings: Settings, length: Length) -> str:
    """The same, millimetres in a job of millimetres left unsaid."""
    return without_millimetres(settings, spoken(settings, length))


def without_millimetres(settings: Settings, text: str) -> str:
    """A length in words, its unit left out in a job of millimetres."""
    return text.removesuffix(" millimetres").removesuffix(" millimetre") if settings.unit is Unit.MM else text


def mark_words(settings: Settings, unit: Unit, value: Length) -> str:
    """A mark: its number and nothing else, in the unit it is called in."""
    return say_length(value, unit, settings.numbers, with_unit=False)


def gap_value(settings: Settings, gap: Length) -> Length:
    """A length as it is spoken outside a mark: rounded once, to a tenth of a millimetre or a thirty-second of an inch."""
    step = GAP_STEP.get(settings.unit, GAP_STEP_METRIC)
    return round(gap / step) * step


def limit_words(settings: Settings, limit: GapLimit) -> str:
    """A largest gap in words."""
    return ("under " if limit.strict else "up to ") + spoken(settings, limit.value)


def end_words(settings: Settings, end: End) -> str:
    """What stands at a post, in words."""
    if end.kind is EndKind.SET_GAP:
        return f"a set gap of {spoken(settings, end.fixed)}"
    return {"gap": "a gap", "picket against the post": "a picket", "half gap": "half a gap"}[end.kind.value]


def counted(count: int, one: str, many: str = "") -> str:
    """“one picket”, “twenty four pickets”."""
    return f"{say_count(count)} {one if count == 1 else many or one + 's'}"


def bay_name(bay: Bay) -> str:
    """“bay three”."""
    return f"{'gate' if bay.gate else 'bay'} {say_count(bay.number)}"


def bay_called(bay: Bay) -> str:
    """“bay three”, “bay three, raked”: with how it follows the ground."""
    return bay_name(bay) if bay.slope is None else f"{bay_name(bay)}, {bay.slope.value}"


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")


def bays_named(bays: Iterable[Bay]) -> str:
    """“bay one”, “bays one and three”, “bay one, gate two and bay three”."""
    names = [bay_name(bay) for bay in bays]
    if len(names) > 1 and not any(name.startswith("gate") for name in names):
        names = [names[0].replace("bay", "bays", 1), *(name.removeprefix("bay ") for name in names[1:])]
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def gaps(settings: Settings, made: SetOut, said: Callable[[Settings, Length], str]) -> str:
    """The gap of a bay, or of each rail where they differ."""
    if len({rail.gap for rail in made.rails}) == 1:
        return said(settings, made.rails[0].gap)
    return ", ".join(f"{rail.name} {said(settings, rail.gap)}" for rail in made.rails)


def summary(settings: Settings, made: SetOut, *, brief: bool = False) -> str:
    """Pickets and gaps of a bay in a sentence or two; brief, as in short answers, the gaps are not counted and millimetres go unsaid."""
    parts = [f"{bay_called(made.bay)}: {counted(made.pickets, 'picket')}"]
    if made.pickets != made.count:
        parts[0] += f", {say_count(made.count)} in each leaf"
    alike = len({rail.gap for rail in made.rails}) == 1
    if settings.full and not brief:
        parts[0] += f", {counted(made.rails[0].layout.gap_count, 'gap')}" + (" of " if alike else "; ") + gaps(settings, made, spoken)
    else:
        parts[0] += f", gap{'' if alike else 's:'} {gaps(settings, made, bare)}"
    if not made.allowed:
        parts.append(f"that is over the largest gap, {limit_words(settings, made.bay.limit)}")
    return " ".join(sentence(part) for part in parts)


def told(settings: Settings, made: SetOut, earlier: Sequence[Bay]) -> str:
    """The summary of a bay, and what is to be said about it: a post out of plumb, which rail is marked; then in 25 words."""
    openings = [opening for _, opening in made.bay.openings]
    difference = max(openings) - min(openings)
    texts = [summary(settings, made, brief=difference > OUT_OF_PLUMB)]
    if made.gate is not None:
        texts.append(f"Cut {'the' if made.gate.opening.leaves == 1 else 'each'} leaf {spoken(settings, made.gate.opening.leaf)} wide.")
        if not made.gate.clearances_allowed:
            texts.append("A clearance beside the leaf is over the largest gap.")
    if difference > TAPE_ERROR:
        texts.append(f"Post out of plumb by {bare(settings, difference)}.")
    elif difference > OUT_OF_PLUMB:
        texts.append(f"Out of plumb by {bare(settings, difference)}, or tape?")
    if made.unmarked:
        # How it is done is said for the first such bay, and in full answers every time.
        known = not settings.full and any(len({opening for _, opening in one.openings}) > 1 for one in earlier)
        texts.append(f"Mark the {made.rails[0].name} rail" + ("." if known else ", plumb from it."))
    return " ".join(texts)


def rail_words(made: SetOut, rail: Rail) -> str:
    """“bottom rail, from the left post, left edges”."""
    side = made.origin.value
    place = f"{rail.name} rail, from the {side}" if made.gate is None else f"{rail.name}, from its {side.removesuffix(' post')} end"
    return f"{place}, {made.edge.value}s" + (", along the slope" if made.bay.slope is Slope.RAKED else "")


def distinctly(settings: Settings, length: Length, intent: Intent) -> str:
    """A number so that it cannot be mistaken for another: digit by digit."""
    if intent.count is not None and intent.length is None:
        return say_number(length, NumberStyle.DIGITS)
    value = gap_value(settings, length)
    return say_length(value, settings.unit, NumberStyle.DIGITS)


def in_digits(settings: Settings, length: Length) -> str:
    """A length so that it cannot be mistaken for another: millimetres digit by digit, their unit unsaid in a job of millimetres."""
    if settings.unit is not Unit.MM:
        return spoken(settings, length)
    return without_millimetres(settings, say_length(gap_value(settings, length), Unit.MM, NumberStyle.DIGITS))


def read_back(settings: Settings, intent: Intent) -> str:
    """What was accepted, in the other form than it was heard."""
    heard = intent.length
    if heard is None:
        return say_count(intent.count or 0)
    assert not isinstance(heard, Ambiguous)
    text = other_form(heard, settings.unit)
    # A number said bare, and read in the job's own unit, is read back bare; any other names its unit.
    if heard.unit_said is None and heard.unit is settings.unit:
        return without_millimetres(settings, text)
    return text


def impossible(settings: Settings, error: ImpossibleError) -> str:
    """Why something cannot be set out, in the user's unit."""
    lengths = {name: spoken(settings, length) for name, length in error.lengths.items()}
    counts = {name: say_count(count) for name, count in error.numbers.items()}
    return sentence(error.sentence.format(**lengths, **counts))
