from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, strategies as st

from lessonplan.course.problems import Problem
from lessonplan.shoot.takes.log import COLUMNS, MAX_BYTES, MAX_LINES, Take, Verdict, in_order, merged_csv, read_log

HEAD = "id,device,day,shot,take,start,stop,verdict,slip,note\n"
DAY = date(2027, 3, 6)


def read(text: str) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    return read_log(text.encode(), "log.csv")


def only(text: str) -> tuple[str, int, int]:
    """The one problem of a text: code, line and column."""
    _, problems = read(text)
    assert len(problems) == 1, [str(problem) for problem in problems]
    return problems[0].code, problems[0].where.line, problems[0].where.column


def test_a_line_is_a_take() -> None:
    takes, problems = read(HEAD + 'a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,good,yes,"tail, 5"""\n')
    assert problems == ()
    assert takes == (Take("a-1", "a", DAY, "2.4.1", 1, 34265, 34330, "good", "yes", 'tail, 5"'),)
    assert takes[0].seconds == 65
    assert (takes[0].where.file, takes[0].where.line) == ("log.csv", 2)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_what_spreadsheets_make_of_it_reads_alike(separator: str, mark: str, end: str) -> None:
    text = HEAD + "a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,good,,\n"
    takes, problems = read(mark + text.replace(",", separator).replace("\n", end))
    assert problems == ()
    assert [(take.shot, take.seconds) for take in takes] == [("2.4.1", 65)]


def test_columns_may_come_in_any_order_and_most_may_be_missing() -> None:
    takes, problems = read("shot,day,take,stop,start\n2.4.1,2027-03-06,1,9:33,9:31\n")
    assert problems == ()
    assert takes[0].id == "typed/2027-03-06/2.4.1/1/09:31:00"
    assert (takes[0].device, takes[0].seconds) == ("typed", 120)


def test_lines_left_free_above_the_columns_are_passed_over() -> None:
    takes, problems = read("\n \n" + HEAD + "a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,good,,\n")
    assert problems == ()
    assert [(one.shot, one.where.line) for one in takes] == [("2.4.1", 4)]


def test_columns_of_the_teacher_s_own_are_told_of_and_kept() -> None:
    takes, problems = read("day,shot,take,lens,start,stop,light\n2027-03-06,2.4.1,1,50 mm,9:31,9:33,dull\n")
    assert takes[0].own == (("lens", "50 mm"), ("light", "dull"))
    assert [(one.code, one.severity, one.where.line, one.where.column) for one in problems] == [
        ("own-column", "note", 1, 15),
        ("own-column", "note", 1, 31),
    ]
    assert problems[0].message == "The column “lens” is not read; it is kept as it is."


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [
        ("9:31", 34260),
        ("09.31.05", 34265),
        ("9:31:05 am", 34265),
        ("1:00 PM", 46800),
        ("12:10 a.m.", 600),
        ("24:10:00", 87000),
    ],
)
def test_clock_times_as_people_type_them(typed: str, seconds: int) -> None:
    takes, _ = read(f"day,shot,take,start,stop\n2027-03-06,1.1.1,1,{typed},\n")
    assert takes[0].start == seconds


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ("a-1,a,2027-03-06,2.4.1,1,09:31:05,09:30:10,good,,", ("stop-before-start", 2, 35)),
        ("a-1,a,2027-03-06,2.4.1,1,09:31:05,,good,,", ("no-stop", 2, 35)),
        ("a-1,a,2027-03-06,2.4.1,1,half nine,09:31:00,good,,", ("time", 2, 26)),
        ("a-1,a,2027-03-06,2.4.1,1,29:31pm,09:31:00,good,,", ("time", 2, 26)),
        ("a-1,a,2027-03-06,2.4.1,1,01:00:00,23:31:00,good,,", ("too-long", 2, 35)),
        ("a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,perfect,,", ("verdict", 2, 44)),
        ("a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,good", ("cells", 2, 1)),
        ("a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,good,,a,b", ("cells", 2, 1)),
    ],
)
def test_a_doubtful_line_is_told_of_and_kept(line: str, problem: tuple[str, int, int]) -> None:
    assert only(HEAD + line + "\n") == problem
    assert len(read(HEAD + line)[0]) == 1


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ("a-1,a,6 March,2.4.1,1,09:31:05,09:32:10,good,,", ("day", 2, 7)),
        ("a-1,a,2027-02-30,2.4.1,1,09:31:05,09:32:10,good,,", ("day", 2, 7)),
        ("a-1,a,2027-03-06,2.4.1,two,09:31:05,09:32:10,good,,", ("take-number", 2, 24)),
        ("a-1,a,2027-03-06,,1,09:31:05,09:32:10,good,,", ("unknown-shot", 2, 18)),
    ],
)
def test_a_line_that_cannot_be_placed_is_told_of_and_left_out(line: str, problem: tuple[str, int, int]) -> None:
    assert only(HEAD + line + "\n") == problem
    assert read(HEAD + line)[0] == ()


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b"\xef\xbb\xbf \r\n,,;\n", "empty-file"),
        (b"PK\x03\x04rest", "not-csv"),
        (b"id,day\xff\n", "encoding"),
        (b"id\0,day\n", "not-csv"),
        (b'{"takes": []}', "columns"),
        (b"x" * (MAX_BYTES + 1), "too-big"),
        (HEAD.encode() + b'"\n' * MAX_LINES, "too-big"),
    ],
)
def test_what_is_no_log_is_one_problem(data: bytes, code: str) -> None:
    takes, problems = read_log(data, "log.csv")
    assert takes == ()
    assert [problem.code for problem in problems] == [code]


def test_a_misspelt_column_is_named() -> None:
    _, problems = read("day,shot,take,start,stop,verdct\n")
    assert "“verdict”" in problems[0].hint


def test_a_note_may_go_over_two_lines_and_counts_them() -> None:
    text = HEAD + 'a-1,a,2027-03-06,1.1.1,1,09:31:05,09:32:10,good,,"two\nlines"\nbad\n'
    takes, problems = read(text)
    assert takes[0].note == "two lines"
    assert {problem.where.line for problem in problems} == {4}


@pytest.mark.parametrize("later", ["", 'so"', '"so"'])
def test_a_quote_left_open_does_not_swallow_the_takes_after_it(later: str) -> None:
    line = "a-{0},a,2027-03-06,1.1.1,{0},09:3{0}:05,09:3{0}:50,good,,"
    takes, problems = read(HEAD + line.format(1) + '"so\n' + line.format(2) + "\n" + line.format(3) + later + "\n")
    assert [take.id for take in takes] == ["a-1", "a-2", "a-3"]
    assert [(problem.code, problem.where.line) for problem in problems] == [("quote", 2)]


def test_a_quote_left_open_early_in_a_line_does_not_swallow_the_rest_of_it() -> None:
    takes, problems = read(HEAD + 'a-1,a,2027-03-06,"1.1.1,1,09:31:05,09:32:10,good,,\nsome words"\n')
    assert [take.id for take in takes] == ["a-1"]
    assert ("quote", 2) in [(problem.code, problem.where.line) for problem in problems]


def test_inch_marks_within_a_cell_are_letters() -> None:
    takes, problems = read(HEAD + 'a-1,a,2027-03-06,1.1.1,1,09:31:05,09:32:10,good,,leave 5" of tail\n')
    assert (takes[0].note, problems) == ('leave 5" of tail', ())


@given(
    st.lists(st.lists(st.text(st.characters(exclude_categories=["Cs", "Cc"])), min_size=10, max_size=10), max_size=4)
)
def test_cells_are_split_as_the_standard_library_writes_them(rows: list[list[str]]) -> None:
    out = io.StringIO()
    csv.writer(out).writerows(
        [
            COLUMNS,
            *(
                ["x", "d", "2027-03-06", "1.1.1", "9", "", "1", "9:00", "9:01", "", "", "".join(row)] + [""] * 4
                for row in rows
            ),
        ]
    )
    takes, _ = read_log(out.getvalue().encode(), "log.csv")
    want = [" ".join("".join(row).split()) for row in rows]
    assert [take.note.removeprefix("'") for take in takes] == [note.removeprefix("'") for note in want]


@given(
    st.binary(max_size=300)
    | st.text(alphabet='",;\r\n\t 0129:-.agodxy\ufeff', max_size=200).map(lambda t: (HEAD + t).encode())
)
def test_no_bytes_break_the_reader(data: bytes) -> None:
    takes, problems = read_log(data, "log.csv")
    assert all(problem.message.endswith(".") for problem in problems)
    assert read_log(merged_csv(takes), "again.csv")[0] or not takes


WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12).map(lambda text: " ".join(text.split()))
NAMES = st.text(alphabet="ab=+'-@\",; 1", min_size=1, max_size=6).map(lambda text: " ".join(text.split())).filter(bool)


@st.composite
def any_take(draw: st.DrawFn) -> Take:
    start = draw(st.none() | st.integers(0, 86399))
    length = draw(st.none() | st.integers(0, 4000))
    stop = None if length is None or start is None else start + length
    verdict: Verdict = draw(st.sampled_from(("best", "good", "usable", "again", "")))
    slip = draw(WORDS.filter(lambda text: text.lower() not in ("no", "-", "0")))
    shot, number = draw(st.sampled_from(("1.1.1", "2.4.1"))), draw(st.integers(1, 999))
    slate, title = draw(st.integers(0, 99)), draw(WORDS)
    take = Take(draw(NAMES), draw(NAMES), DAY, shot, number, start, stop, verdict, slip, draw(WORDS), slate, title)
    return replace(take, camera=draw(WORDS), card=draw(WORDS), clip=draw(WORDS), timecode=draw(WORDS))


@given(st.lists(any_take(), max_size=5))
def test_written_takes_read_back_equal(takes: list[Take]) -> None:
    back, _ = read_log(merged_csv(takes), "log.csv")
    assert in_order(back) == in_order(takes)
    assert merged_csv(back) == merged_csv(reversed(takes))


@pytest.mark.parametrize(
    ("typed", "codes"),
    [("17", []), ("", ["unknown-shot"]), ("0", ["slate", "unknown-shot"]), ("x", ["slate", "unknown-shot"])],
)
def test_a_slate_alone_names_the_shot(typed: str, codes: list[str]) -> None:
    takes, problems = read(f"day,shot,slate,title,take,start,stop\n2027-03-06,,{typed},The knot,1,9:00,9:01\n")
    assert [problem.code for problem in problems] == codes
    assert [(take.shot, take.slate, take.title) for take in takes] == ([] if codes else [("", 17, "The knot")])


def test_slates_and_titles_are_written_only_where_there_are_any() -> None:
    plain = Take("a-1", "a", DAY, "2.4.1", 1, 34265, 34330)
    heads = [
        merged_csv([one]).decode("utf-8-sig").split("\r\n")[0] for one in (plain, replace(plain, title="The knot"))
    ]
    assert heads == [HEAD.strip(), HEAD.strip().replace("shot,", "shot,title,")]
    slated = merged_csv([plain, replace(plain, id="a-2", slate=7)]).decode("utf-8-sig").split("\r\n")
    assert slated[1:3] == [
        "a-1,a,2027-03-06,2.4.1,,1,09:31:05,09:32:10,,,",
        "a-2,a,2027-03-06,2.4.1,7,1,09:31:05,09:32:10,,,",
    ]


@given(any_take())
def test_no_written_cell_starts_a_formula(take: Take) -> None:
    rows = list(csv.reader(io.StringIO(merged_csv([take]).decode("utf-8-sig"), newline="")))
    begun = [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]
    assert [cell for cell in begun if not re.fullmatch(r"-\d+(\.\d*)?", cell)] == []  # a number runs nothing


@pytest.mark.parametrize("verdict", ["best", "usable", "again", "good", "Best", ""])
def test_verdicts_of_new_and_old_logs_are_read(verdict: str) -> None:
    takes, problems = read(HEAD + f"a-1,a,2027-03-06,2.4.1,1,09:31:05,09:32:10,{verdict},,\n")
    assert (takes[0].verdict, problems) == (verdict.lower(), ())


CLIPPED = "day,shot,take,start,stop,camera,card,clip,timecode\n2027-03-06,1.1.1,1,9:00,9:01,A,A01,C0012,{}\n"


@pytest.mark.parametrize("timecode", ["", "09:00:17", "09:00:17:12", "23:59:59;01"])
def test_a_log_says_where_a_take_lies(timecode: str) -> None:
    (take,), problems = read(CLIPPED.format(timecode))
    assert (take.camera, take.card, take.clip, take.timecode) == ("A", "A01", "C0012", timecode)
    assert problems == ()


@pytest.mark.parametrize("timecode", ["9 am", "24:00:00", "09:60:00", "09:00"])
def test_what_is_no_camera_clock_is_told_of_and_kept(timecode: str) -> None:
    (take,), problems = read(CLIPPED.format(timecode))
    assert take.timecode == timecode
    assert [(problem.code, problem.where.line, problem.where.column) for problem in problems] == [("timecode", 2, 42)]
