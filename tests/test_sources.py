"""What is checked against something outside the project stands in `sources.tsv`, and every row of it names a test that exists.

A row: source, edition, page or clause, value, the test that checks it, and how it is known: `read` in the source's own words, a quotation
of them or, where the row says so, a summary, `library` where another program reckons the answer, `from memory` where neither was to be
had.
"""

from __future__ import annotations

import ast
import io
import re
import tokenize
from functools import cache
from pathlib import Path

import pytest

from assistant.setout.drying import SPECIES
from assistant.setout.limits import PUBLISHED

ROOT = Path(__file__).parent.parent
TABLE = ROOT / "tests/sources.tsv"
ROWS = [tuple(line.split("\t")) for line in TABLE.read_text(encoding="utf-8").splitlines()[1:]]

OUTSIDE = re.compile(
    r"\b[a-z0-9-]+\.(?:com|org|net|edu|us|ca|nz|co\.uk|com\.au|co\.nz|co\.za|net\.au)\b"
    r"|\b(?:NIST|FPL-|ICC |IRC|ISPSC|SI 2016|Handbook|magazine|published|printed|eHow|homesteady|Tolpin|diychatroom|awomanshome"
    r"|Homebuilding|Doctor Peterson|myoldworkshop|Math Central|[Ss]chool maths|college notes|JLC|diydoctor|engineering text"
    r"|numpy|scipy|HiGHS|library)\b"
)
"""What a test says of itself, in its name or a comment, where its answer comes from outside."""


@cache
def told_in(path: str) -> dict[str, str]:
    """Every test of a file: its name, docstring and comments, as one text."""
    source = (ROOT / path).read_text(encoding="utf-8")
    comments = {
        token.start[0]: token.string for token in tokenize.generate_tokens(io.StringIO(source).readline) if token.type == tokenize.COMMENT
    }
    found = {}
    for one in ast.parse(source).body:
        if isinstance(one, ast.FunctionDef) and one.name.startswith("test_"):
            first = min([one.lineno, *(decorator.lineno for decorator in one.decorator_list)])
            told = [text for line, text in comments.items() if first <= line <= (one.end_lineno or first)]
            found[one.name] = " ".join([one.name.replace("_", " "), ast.get_docstring(one) or "", *told])
    return found


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0][:30]} {row[3][:30]}")
def test_every_row_is_whole_and_names_a_test_that_exists(row: tuple[str, ...]) -> None:
    assert len(row) == 6
    assert all(row)
    assert row[5] in ("read", "library", "from memory")
    path, _, name = row[4].partition("::")
    assert name in told_in(path)


def test_no_row_stands_twice() -> None:
    assert len(set(ROWS)) == len(ROWS)


@pytest.mark.parametrize("path", sorted(str(path.relative_to(ROOT)) for path in (ROOT / "tests/setout").glob("test_*.py")))
def test_every_check_against_something_outside_is_listed(path: str) -> None:
    listed = {row[4] for row in ROWS}
    unlisted = [name for name, told in told_in(path).items() if OUTSIDE.search(told) and f"{path}::{name}" not in listed]
    assert unlisted == []


def test_every_published_limit_and_timber_has_a_row() -> None:
    clauses = " ".join(row[2] for row in ROWS)
    for one in PUBLISHED:
        first = one.clause.split(",")[0].split(" and ")[0].split(" of ")[0]
        assert first in clauses, one.name
    values = " ".join(row[3] for row in ROWS)
    for timber in SPECIES:
        assert f"{float(timber.dry):.1f} %" in values or timber.name == "radiata pine", timber.name
