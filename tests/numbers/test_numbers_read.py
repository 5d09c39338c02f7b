"""Spoken lengths and counts: what each form means, what is asked back, what is refused.

Forms of metric trades: ausdesign.com.au, article 41. The carpenter's number code, strong and shy: Fine Homebuilding 78
(1993). "Decimal point means metres": Australian training and glossary pages on drawings. Year forms: CLDR spell-out
rules. Rows without one of these names are common practice, no source.
"""

from fractions import Fraction

import pytest

from assistant.numbers import (
    Ambiguous,
    NoParse,
    Number,
    Reason,
    SpokenCount,
    SpokenLength,
    alternatives,
    number_words,
    parse_count,
    parse_length,
    parse_number,
)
from assistant.setout.lengths import MM_PER_FOOT, MM_PER_INCH, Unit

INCH = MM_PER_INCH
F = Fraction


def read(text: str, unit: Unit = Unit.MM, *, sixteenths: bool = False) -> Fraction | list[Fraction] | Reason:
    """The millimetres, the candidates' millimetres, or why not."""
    found = parse_length(text.split(), unit, sixteenths=sixteenths)
    if isinstance(found, Ambiguous):
        return [candidate.mm for candidate in found.candidates]
    return found.reason if isinstance(found, NoParse) else found.mm


TRADE = {  # ausdesign.com.au article 41
    "thirty six hundred": 3600,
    "eight five seventy three": 8573,
    "thirteen eight eighty five": 13885,
    # CLDR spellout-numbering-year, num2words year form
    "twenty one sixty": 2160,
    "twenty two oh four": 2204,
    "twenty two fourteen": 2214,
    "one oh five": 105,
    "eighty five seventy three": 8573,
    "eleven oh five": 1105,
    # common practice, no source
    "twenty four hundred": 2400,
    "ten fifty": 1050,
    "eighteen oh five": 1805,
    "eighteen fifteen": 1815,
    "eighteen fifty": 1850,
    "two oh eight": 208,
    "eight sixty": 860,
    "two oh forty": 2040,
    "thirteen oh eighty five": 13085,
    "thirteen eight hundred": 13800,
    "thirteen eight hundred and five": 13805,
    "twenty one hundred and sixty": 2160,
    "two thousand one sixty": 2160,
    "twenty one one sixty": 21160,
    "a hundred and five": 105,
    "a hundred": 100,
    "hundred": 100,
    "hundred and five": 105,
    "a thousand": 1000,
    "one hundred five": 105,
    "two thousand and sixty": 2060,
    "ninety nine thousand nine hundred and ninety nine": 99_999,
    # digits
    "two four oh oh": 2400,
    "two one six oh": 2160,
    "two one six zero": 2160,
    "one nought five": 105,
    "double oh five": 5,
    "double two": 22,
    "one triple oh": 1000,
    "treble nine": 999,
    "zero": 0,
}


@pytest.mark.parametrize(("text", "millimetres"), TRADE.items())
def test_a_whole_number_in_a_millimetre_job_is_millimetres(text: str, millimetres: int) -> None:
    """Bare, and the same with its unit said in any spelling."""
    assert read(text) == millimetres
    for unit in ("millimetres", "millimetre", "millimeters", "mil"):
        assert read(f"{text} {unit}", Unit.INCH) == millimetres


METRIC = {
    # decimal point = metres on metric drawings
    "two point one six": F(2160),
    "two point four": F(2400),
    "zero point three seven five": F(375),  # num2words 0.5.14
    "two point oh four": F(2040),
    "thirty five point zero": F(35_000),
    "point five": F(500),
    "oh point five": F(500),
    "two point sixteen": F(2160),
    "two point one sixty": F(2160),
    "two point double oh five": F(2005),
    "two point one six metres": F(2160),
    "two point one six meters": F(2160),
    "ninety five point two millimetres": F(952, 10),
    "twenty one sixty point five millimetres": F(4321, 2),
    "nine five point two mil": F(952, 10),
    "ninety five and a half": F(191, 2),
    "one and a half millimetres": F(3, 2),
    "half a millimetre": F(1, 2),
    "ninety five centimetres": F(950),
    "two point five centimeters": F(25),
    "two metres": F(2000),
    "a metre": F(1000),
    "half a metre": F(500),
    "a metre and a half": F(1500),
    "metre and a half": F(1500),
    "two and a half metres": F(2500),
    "two metres and a half": F(2500),
    "three quarters of a metre": F(750),
    "two metres one sixty": F(2160),
    "two metres one hundred and sixty": F(2160),
    "two metre one six oh": F(2160),
    "two metres oh forty": F(2040),
    "two metres and forty millimetres": F(2040),
    "two metres forty mil": F(2040),
    "two metres and forty centimetres": F(2400),
    "two meters five hundred": F(2500),
}


@pytest.mark.parametrize(("text", "millimetres"), METRIC.items())
def test_metric_lengths(text: str, millimetres: Fraction) -> None:
    assert read(text) == millimetres


IMPERIAL = {
    "seven foot four and three eighths": F(707, 8),  # 88-3/8 in = 2244.725 mm, by NIST SP 811's inch
    "seven foot four three eighths": F(707, 8),
    "seven feet four inches": F(88),
    "seven feet and four inches": F(88),
    "seven feet four inches and three eighths": F(707, 8),
    "seven foot three eighths": F(675, 8),
    "seven foot": F(84),
    "one foot six": F(18),
    "a foot": F(12),
    "a foot and a half": F(18),
    "foot and a half": F(18),
    "two and a half feet": F(30),
    "foot six": F(18),
    "five foot nothing": F(60),
    "five foot even": F(60),
    "seven foot and an eighth": F(673, 8),
    "seven foot one quarter inch": F(337, 4),
    "seven foot one and a quarter": F(341, 4),
    "inch and three quarters": F(7, 4),
    "one hundred and one quarter inches": F(401, 4),
    "eleven thirty seconds": F(11, 32),
    "four and three eighths and a sixteenth": F(71, 16),
    "half and a sixteenth": F(9, 16),
    "five eighths and a sixteenth of an inch": F(11, 16),
    "seven foot and a half inch": F(169, 2),
    "half a foot": F(6),
    "eighty eight and three eighths inches": F(707, 8),
    "three and a half inches": F(7, 2),
    "three inches and a half": F(7, 2),
    "an inch and three quarters": F(7, 4),
    "half an inch": F(1, 2),
    "half inch": F(1, 2),
    "a quarter inch": F(1, 4),
    "three quarter inch": F(3, 4),
    "five eighth inch": F(5, 8),
    "three eighths of an inch": F(3, 8),
    "seven sixteenths of an inch": F(7, 16),
    "twenty three sixty fourths of an inch": F(23, 64),
    "two point one six inches": F(216, 100),
    "eight eight and five eighths inches": F(709, 8),
    "eighty eight and five eighths inches strong": F(5673, 64),
    # quarters and finer are inches in any job
    "four and three eighths": F(35, 8),
    "four three eighths": F(35, 8),
    "three eighths": F(3, 8),
    "three quarters": F(3, 4),
    "three fourths": F(3, 4),
    "an eighth": F(1, 8),
    "three eighth": F(3, 8),
    "one sixteenths": F(1, 16),
    "seven sixteenths": F(7, 16),
    "five thirty seconds": F(5, 32),
    "four five thirty seconds": F(133, 32),
    "one thirty second": F(1, 32),
    "one sixty fourth": F(1, 64),
    "eighty eight and five eighths strong": F(5673, 64),  # strong = + 1/64 in, Fine Homebuilding 78
    "eighty eight and five eighths shy": F(5671, 64),
}


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize(("text", "inches"), IMPERIAL.items())
def test_imperial_lengths_are_the_same_in_every_job(text: str, inches: Fraction, unit: Unit) -> None:
    assert read(text, unit) == inches * INCH


BARE_INCHES = {
    "eighty five": F(85),
    "two point one six": F(216, 100),
    "a half": F(1, 2),
    "four and a half": F(9, 2),
    "ninety strong": F(90) + F(1, 64),
    "one oh five and a half": F(211, 2),
}


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.FOOT_INCH])
@pytest.mark.parametrize(("text", "inches"), BARE_INCHES.items())
def test_a_bare_number_in_an_inch_job_is_inches(text: str, inches: Fraction, unit: Unit) -> None:
    assert read(text, unit) == inches * INCH


@pytest.mark.parametrize(("unit", "millimetres"), [(Unit.CM, 25), (Unit.M, 2500)])
def test_a_bare_number_takes_the_unit_of_the_job(unit: Unit, millimetres: int) -> None:
    for text in ("two point five", "two and a half"):
        assert read(text, unit) == millimetres


@pytest.mark.parametrize(
    ("text", "inches"),
    [  # Fine Homebuilding 78 (1993)
        ("thirty six twelve", F(147, 4)),
        ("thirty six twelve and a half", 36 + F(25, 32)),
        ("thirty six twelve strong", 36 + F(49, 64)),
        ("thirty six thirteen shy", 36 + F(51, 64)),
        # its rule on other numbers
        ("seven four", F(29, 4)),
        ("twenty one five", 21 + F(5, 16)),
        # no code: one number
        ("twenty five", F(25)),
        ("ten fifty", F(1050)),
    ],
)
def test_the_carpenters_code_when_asked_for(text: str, inches: Fraction) -> None:
    assert read(text, Unit.INCH, sixteenths=True) == inches * INCH


DOUBTFUL = [
    ("three metre sixty", Unit.MM, [F(3600), F(3060)]),
    ("two metres oh five", Unit.MM, [F(2050), F(2005)]),
    ("two metres four", Unit.MM, [F(2400), F(2004)]),
    ("three half inch", Unit.MM, [F(7, 2) * INCH, F(3, 2) * INCH]),
    ("seven foot and three quarters", Unit.MM, [F(93) * INCH, F(339, 4) * INCH]),
    ("six foot and a quarter", Unit.MM, [75 * INCH, F(289, 4) * INCH]),
    ("six foot and a half", Unit.FOOT_INCH, [78 * INCH, F(145, 2) * INCH]),
    ("a foot and a quarter", Unit.INCH, [15 * INCH, F(49, 4) * INCH]),
    ("seven foot one quarter", Unit.INCH, [F(337, 4) * INCH, F(341, 4) * INCH]),
    ("twenty one quarter inches", Unit.INCH, [F(81, 4) * INCH, F(85, 4) * INCH]),
    ("ninety one eighth", Unit.MM, [F(721, 8) * INCH, F(729, 8) * INCH]),
    ("one hundred and twenty one eighth inch", Unit.MM, [F(961, 8) * INCH, F(969, 8) * INCH]),
    ("one hundred one quarter inches", Unit.INCH, [F(401, 4) * INCH, F(405, 4) * INCH]),
    ("five eighths and a sixteenth", Unit.INCH, [F(11, 16) * INCH, F(1089, 16) * INCH, F(929, 16) * INCH]),
    ("three eighths and a half inches", Unit.MM, [F(7, 8) * INCH, F(77, 2) * INCH]),
    ("seven four", Unit.INCH, [88 * INCH, 74 * INCH]),
    ("seven four", Unit.FOOT_INCH, [88 * INCH, 74 * INCH]),
    ("seven ten", Unit.INCH, [94 * INCH, F(61, 8) * INCH, 710 * INCH]),
    ("thirty six twelve", Unit.INCH, [F(147, 4) * INCH, 3612 * INCH]),
    ("thirty six twelve and a half", Unit.INCH, [F(1177, 32) * INCH, F(7225, 2) * INCH]),
    ("thirty six twelve strong", Unit.INCH, [F(2353, 64) * INCH, (3612 + F(1, 64)) * INCH]),
    ("eight eight and five eighths", Unit.INCH, [F(837, 8) * INCH, F(709, 8) * INCH]),
    ("eight eight and five eighths", Unit.MM, [F(837, 8) * INCH, F(709, 8) * INCH]),
    ("twenty three eighths", Unit.MM, [F(163, 8) * INCH, F(23, 8) * INCH]),
    ("one hundred and twenty three thirty seconds", Unit.INCH, [(100 + F(23, 32)) * INCH, (120 + F(3, 32)) * INCH]),
]


@pytest.mark.parametrize(("text", "unit", "candidates"), DOUBTFUL)
def test_what_has_two_readings_is_asked_back(text: str, unit: Unit, candidates: list[Fraction]) -> None:
    assert read(text, unit) == candidates


def test_two_numbers_are_one_number_in_a_millimetre_job() -> None:
    """Feet without the word, and the carpenter's code, are inch talk."""
    assert read("seven four") == 74
    assert read("thirty six twelve") == 3612


REFUSED = [
    ("", Reason.NOTHING_SAID),
    ("next", Reason.NOT_A_NUMBER),
    ("oh", Reason.NOT_A_NUMBER),
    ("and", Reason.NOT_A_NUMBER),
    ("hundred hundred", Reason.NOT_A_NUMBER),
    ("point", Reason.NOT_A_NUMBER),
    ("millimetres", Reason.NOT_A_NUMBER),
    ("twenty sixty one two", Reason.NOT_A_NUMBER),
    ("twenty fifty oh", Reason.NOT_A_NUMBER),
    ("forty three and", Reason.NOT_A_NUMBER),
    ("one hundred thousand", Reason.NOT_A_NUMBER),
    ("two thousand and one hundred", Reason.NOT_A_NUMBER),
    ("two hundred two hundred", Reason.NOT_A_NUMBER),
    ("nine eighths", Reason.NOT_A_NUMBER),
    ("twenty one one eighths", Reason.NOT_A_NUMBER),
    ("seven foot fourteen", Reason.NOT_A_NUMBER),
    ("two feet three feet", Reason.NOT_A_NUMBER),
    ("two inches three feet", Reason.NOT_A_NUMBER),
    ("two metres one thousand", Reason.NOT_A_NUMBER),
    ("two metres four inches", Reason.NOT_A_NUMBER),
    ("two point", Reason.NOT_A_NUMBER),
    ("two point four point six", Reason.NOT_A_NUMBER),
    ("one two three four five six", Reason.NOT_A_NUMBER),
    ("three feet two and a half short", Reason.HOW_MUCH),  # a renovation blog: not a number, ask how much
    ("a tad more than thirty five", Reason.NOT_A_NUMBER),  # a builder's remark on a forum: the next whole millimetre is meant
    ("won", Reason.NOT_A_NUMBER),  # homophones of numbers are no numbers
    ("ate", Reason.NOT_A_NUMBER),
    ("two to four", Reason.NOT_A_NUMBER),
    ("twenty for", Reason.NOT_A_NUMBER),
    ("plus five", Reason.NOT_A_NUMBER),
    ("minus five", Reason.NOT_A_NUMBER),
    ("ninety over", Reason.HOW_MUCH),
    ("ninety strong", Reason.NEEDS_INCHES),
    ("ninety millimetres shy", Reason.NEEDS_INCHES),
    ("seven foot strong", Reason.NEEDS_INCHES),
    ("double two inches strong", Reason.NEEDS_INCHES),
    ("short", Reason.NOT_A_NUMBER),
]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_what_is_no_length_is_refused_with_a_reason(text: str, reason: Reason) -> None:
    assert read(text) == reason


def test_a_length_remembers_how_it_was_said() -> None:
    words = ("two", "point", "four")
    assert parse_length(words, Unit.MM) == SpokenLength(F(2400), Unit.M, None, words)
    feet = parse_length(("seven", "foot", "four"), Unit.MM)
    assert isinstance(feet, SpokenLength)
    assert (feet.unit, feet.unit_said, feet.value) == (Unit.FOOT_INCH, Unit.FOOT_INCH, F(22, 3))
    fine = parse_length(("three", "eighths"), Unit.MM)
    assert isinstance(fine, SpokenLength)
    assert (fine.unit, fine.unit_said, fine.value) == (Unit.INCH, None, F(3, 8))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("seven four", F(74)),
        ("two point one six", F(216, 100)),
        ("four and three eighths", F(35, 8)),
        ("half", F(1, 2)),
    ],
)
def test_a_number_without_a_unit(text: str, value: Fraction) -> None:
    words = tuple(text.split())
    assert parse_number(words) == Number(value, words)


def test_a_number_may_be_doubtful_or_none() -> None:
    words = ("three", "half")
    assert parse_number(words) == Ambiguous((Number(F(7, 2), words), Number(F(3, 2), words)))
    assert parse_number(("next",)) == NoParse(Reason.NOT_A_NUMBER)
    assert parse_number(()) == NoParse(Reason.NOTHING_SAID)


@pytest.mark.parametrize(
    ("text", "value", "ordinal"),
    [
        ("twelve", 12, False),
        ("number twelve", 12, False),
        ("one oh five", 105, False),
        ("one two", 12, False),
        ("two hundred", 200, False),
        ("third", 3, True),
        ("twelfth", 12, True),
        ("twentieth", 20, True),
        ("twenty first", 21, True),
        ("thirty second", 32, True),
        ("hundredth", 100, True),
        ("a hundred and fifth", 105, True),
        ("two hundred thirtieth", 230, True),
        ("two hundredth", 200, True),
    ],
)
def test_counts_and_places(text: str, value: int, ordinal: bool) -> None:
    words = tuple(text.split())
    assert parse_count(words) == SpokenCount(value, ordinal, words)


@pytest.mark.parametrize("text", ["number", "number third", "twelve point five", "a half", "twelfth third", "twenty tenth"])
def test_what_is_no_count(text: str) -> None:
    assert parse_count(text.split()) == NoParse(Reason.NOT_A_NUMBER)


@pytest.mark.parametrize(
    ("text", "unit", "lengths"),
    [
        ("twenty four", Unit.MM, [24, 2400, 24_000]),  # 2400 mm and 2.4 m are one length
        ("two forty", Unit.MM, [240, 2400]),
        ("three", Unit.MM, [3, 300, 3000, 30]),
        ("twenty one sixty", Unit.MM, [2160]),
        ("ninety five point two", Unit.MM, [95_200, F(952, 10), F(952, 10) * INCH]),
        ("two point one six", Unit.MM, [2160, F(216, 100), F(216, 100) * INCH]),
        ("two point one six", Unit.INCH, [F(216, 100) * INCH, 2160]),
        ("eight", Unit.INCH, [8 * INCH, 8 * MM_PER_FOOT]),
        ("twenty one sixty", Unit.INCH, [2160 * INCH, 2160]),
        ("ninety five and a half", Unit.MM, [F(191, 2)]),
        ("nine", Unit.MM, [9, 900, 9000, 90]),
        ("twenty four millimetres", Unit.MM, [24]),
    ],
)
def test_other_readings_of_a_bare_number(text: str, unit: Unit, lengths: list[Fraction]) -> None:
    heard = parse_length(text.split(), unit)
    assert isinstance(heard, SpokenLength)
    others = alternatives(heard)
    assert others[0] == heard
    assert [other.mm for other in others] == lengths


def test_the_vocabulary_holds_the_words_of_every_table_here() -> None:
    said = {word for table in (TRADE, METRIC, IMPERIAL, BARE_INCHES) for text in table for word in text.split()}
    assert said <= number_words()
    assert not {"next", "short", "won", "to", ""} & number_words()


@pytest.mark.parametrize(
    ("heard", "inches"),
    [
        ("sixteenth and a half inches", F(33, 2)),
        ("one hundred and sixteenths and three quarters", F(467, 4)),
        ("three eighths and one eighth inches", F(305, 8)),
        ("twenty four and one eight", F(193, 8)),
        ("seven feet nine and five eight inches", F(749, 8)),
    ],
)
def test_a_th_that_noise_adds_or_takes_away_is_read_in_inches(heard: str, inches: F) -> None:
    found = parse_length(heard.split(), Unit.INCH)
    assert isinstance(found, SpokenLength)
    assert found.mm == inches * F(254, 10)
    assert found.words == tuple(heard.split())


@pytest.mark.parametrize("heard", ["one hundred and three eight", "sixteenth and", "two and four eight", "eighth and eight"])
def test_nothing_else_is_mended(heard: str) -> None:
    assert isinstance(parse_length(heard.split(), Unit.INCH), NoParse)


@pytest.mark.parametrize("heard", ["sixteenth and a half", "twenty four and one eight"])
def test_nothing_is_mended_in_a_job_of_millimetres(heard: str) -> None:
    assert isinstance(parse_length(heard.split(), Unit.MM), NoParse)
