"""The largest error of a tape, against published values."""

import pytest

from assistant.setout.lengths import mm
from assistant.setout.tape import TapeClass, tape_error
from assistant.setout.trouble import ImpossibleError


@pytest.mark.parametrize(
    ("length", "errors"),
    # Ready values of two trade tables, which agree with UK SI 2016/1153, Schedule 1I.
    [
        (3000, ("0.4", "0.9", "1.8")),
        (5000, ("0.6", "1.3", "2.6")),
        (8000, ("0.9", "1.9", "3.8")),
        (10_000, ("1.1", "2.3", "4.6")),
    ],
)
def test_published_values(length, errors):
    assert [tape_error(tape, mm(length)) for tape in TapeClass] == [mm(error) for error in errors]


def test_metres_are_rounded_up_and_the_hook_adds_its_share():
    # UK SI 2016/1153, Schedule 1I: class II at 2.4 m counts as 3 m, 0.9; from the hook 1.1.
    assert tape_error(TapeClass.II, mm(2400)) == mm("0.9")
    assert tape_error(TapeClass.II, mm(2400), from_hook=True) == mm("1.1")
    assert tape_error(TapeClass.II, mm(2000)) == mm("0.7")
    assert [tape_error(tape, mm(0), from_hook=True) for tape in TapeClass] == [mm("0.2"), mm("0.5"), mm("0.9")]


def test_a_negative_length_is_refused():
    with pytest.raises(ImpossibleError, match="length cannot be -1 mm"):
        tape_error(TapeClass.I, mm(-1))
