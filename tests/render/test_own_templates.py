"""A course's own templates: they place values, and can do nothing else, whatever stands in them."""

from __future__ import annotations

import pickle
import re
import shutil
from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.files import UnfitError
from lessonplan.course.problems import Problem
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.planning.worked import Plan, Result
from lessonplan.render import apart, pages
from lessonplan.render.pictures import Pictures
from tests.small_course import write_course


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    result = lessonplan.plan(write_course(tmp_path_factory.mktemp("small")))
    assert result.plan is not None
    return result.plan


def bring(course: Path, templates: dict[str, str | bytes]) -> Path:
    """Give a course these templates of its own."""
    (course / "templates").mkdir(exist_ok=True, parents=True)
    for name, text in templates.items():
        (course / "templates" / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return course


def built(folder: Path, templates: dict[str, str | bytes]) -> Result:
    """Build the small course with these templates of its own, as the command does."""
    return lessonplan.build(bring(write_course(folder / "c"), templates))


def filled(plan: Plan, course: Path, template: str = "run-sheet.html") -> str:
    """Fill in one page of the small course, in this process."""
    view = run_sheet_view(plan, plan.days[0])
    return pages.page(template, view, course, language="en", pictures=Pictures(plan)).decode()


def wrong_in(plan: Plan, course: Path, text: str | bytes) -> Problem:
    """Give what is wrong with a template of the run sheet."""
    with pytest.raises(UnfitError) as bad:
        filled(plan, bring(course, {"run-sheet.html": text}))
    assert bad.value.problem.severity == "error"
    return bad.value.problem


def errors(result: Result) -> list[tuple[str, int, str]]:
    wrong = [problem for problem in result.problems if problem.severity == "error"]
    return [(problem.where.file, problem.where.line, problem.code) for problem in wrong]


def test_all_templates_as_the_courses_own_give_the_same_bytes(root: Path, sample_output: Path, tmp_path: Path) -> None:
    shutil.copytree(root / "sample_course", tmp_path / "c", ignore=shutil.ignore_patterns("out"))
    shutil.copytree(root / "templates", tmp_path / "c" / "templates")
    result = lessonplan.build(tmp_path / "c", tmp_path / "own")
    assert errors(result) == []
    names = [path.name for path in sorted(sample_output.iterdir())]
    assert [path.name for path in sorted((tmp_path / "own").iterdir())] == names
    for name in names:
        assert (tmp_path / "own" / name).read_bytes() == (sample_output / name).read_bytes(), name


def test_build_says_which_own_templates_are_used(tmp_path: Path) -> None:
    own: dict[str, str | bytes] = {"errata.html": "x", "table.js": "x", "handuot.html": "x", ".DS_Store": "x"}
    notes = {p.where.file: (p.message, p.hint) for p in built(tmp_path, own).problems if p.code == "own-template"}
    assert set(notes) == {"templates/errata.html", "templates/table.js", "templates/handuot.html"}
    assert "used in place of" in notes["templates/errata.html"][0]
    assert "not used" in notes["templates/table.js"][0]
    assert "handout.html" in notes["templates/handuot.html"][1]


class Planted:
    """When it is read back from its bytes, it makes a file."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[object, tuple[str, str]]:
        return open, (str(self.path), "w")


ESCAPES = {
    "through a global": "{{ cycler.__init__.__globals__.os.popen('touch %s').read() }}",
    "through a filter": "{{ (view | attr('__class__')).__base__.__subclasses__() }}",
    "through a format": "{{ '{0.__class__.__init__.__globals__}'.format(view) }}",
    "through a method": "{{ pictures.small.__func__.__globals__['lessonplan'] }}",
    "through the plan": "{{ pictures._plan.course }}",
    "to the plan": "{{ pictures.plan.course.title }}",
    "by a change": "{{ view.rows.append(1) }}{{ view.__setattr__('title', 'x') }}",
}


@pytest.mark.parametrize("way", ESCAPES)
def test_no_way_out_of_the_sandbox(plan: Plan, tmp_path: Path, way: str) -> None:
    problem = wrong_in(plan, tmp_path, "\n" + ESCAPES[way].replace("%s", str(tmp_path / "planted")))
    assert (problem.where.file, problem.where.line, problem.code) == ("templates/run-sheet.html", 2, "template")
    assert not (tmp_path / "planted").exists()


@pytest.mark.parametrize(
    ("thing", "use"), [(date(2027, 3, 6), "today()"), (Path("/"), "exists()"), (shutil, "os"), (Result, "mro()")]
)
def test_of_what_is_no_plain_value_nothing_is_seen(plan: Plan, tmp_path: Path, thing: object, use: str) -> None:
    course = bring(tmp_path, {"run-sheet.html": f"{{{{ thing.{use} }}}}"})
    with pytest.raises(UnfitError, match="may not do this"):
        pages.page("run-sheet.html", plan.days[0], course, language="en", thing=thing)


def test_a_model_that_reads_pickles_is_out_of_reach(plan: Plan, tmp_path: Path) -> None:
    # Pydantic's models keep a parse_raw that runs what is pickled; a sandbox that shows one would be none.
    data = pickle.dumps(Planted(tmp_path / "planted"), protocol=0).decode("ascii")
    for way in ("pictures._plan.course.course", "pictures.plan.course.course", "view.course", "self.course", "model"):
        text = f"{{{{ {way}.parse_raw({data!r}.encode(), proto='pickle', allow_pickle=True) }}}}"
        course = bring(tmp_path / way, {"run-sheet.html": text})
        with pytest.raises(UnfitError):
            pages.page(
                "run-sheet.html", plan.days[0], course, language="en", pictures=Pictures(plan), model=plan.course.course
            )
    assert not (tmp_path / "planted").exists()


def test_links_and_paths_do_not_lead_out_of_the_course(plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "secret.css").write_text("secret {}", encoding="utf-8")
    course = bring(tmp_path / "c", {})
    (course / "templates" / "style.css").symlink_to(tmp_path / "secret.css")
    with pytest.raises(UnfitError, match=r"templates/style\.css:0:0: error outside"):
        filled(plan, course)
    other = bring(tmp_path / "elsewhere", {"run-sheet.html": "secret"})
    linked = tmp_path / "d"
    linked.mkdir()
    (linked / "templates").symlink_to(other / "templates")
    with pytest.raises(UnfitError, match=r"error outside"):
        filled(plan, linked)


@pytest.mark.parametrize("name", ["../course.yaml", "/etc/hostname", "../../secret.css", "no.html", "../c/course.yaml"])
def test_a_template_can_only_take_in_templates(plan: Plan, tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.css").write_text("secret {}", encoding="utf-8")
    (tmp_path / "course.yaml").write_text("title: x", encoding="utf-8")
    problem = wrong_in(plan, tmp_path / "c", f"x\n{{% include {name!r} %}}")
    assert (problem.where.file, problem.where.line) == ("templates/run-sheet.html", 2)


@pytest.mark.parametrize(
    "text",
    [
        "<script src='http://evil.example/x.js'></script>{{ view.title }}",
        "<!-- <!doctype html><html><head><body><script>alert(1)</script>",
        "<meta http-equiv='Content-Security-Policy' content=\"default-src *; script-src * 'unsafe-inline'\">",
        "{% set policy = '' %}{% set language = '\"><script>' %}{{ policy }}",
    ],
)
def test_the_policy_comes_first_whatever_the_template_says(plan: Plan, tmp_path: Path, text: str) -> None:
    for own in ("run-sheet.html", "base.html"):
        course = bring(tmp_path / own, {own: text})
        found = re.match(
            r'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
            r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">\n',
            filled(plan, course),
        )
        assert found, own
        assert found[1].startswith("default-src &#39;none&#39;; style-src &#39;sha256-")
        assert "script" not in found[1]


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("ok\n{% for %}", 2, "Expected an expression"),
        ("ok\n\n{{ view.nosuch }}", 3, "no “nosuch”"),
        ("{{ nosuch }}", 1, "no “nosuch”"),
        ("ok\n{{ 1 | nosuch }}", 2, "nosuch"),
        ("{{ 1 / 0 }}", 1, "division by zero"),
        ("a\n{{ pictures.small(1) }}", 2, "missing"),
        ("a\n{% macro f() %}{{ f() }}{% endmacro %}{{ f() }}", 2, "without end"),
        ("{% for i in range(1000000000) %}x{% endfor %}", 1, "Range too big"),
        (b"ok\n\xe9\xff", 2, "not UTF-8"),
        ("x" * 1_000_001, 0, "1 MB at most"),
        ("{% for i in range(100000) %}" + "{{ 'x' * 99999 }}" + "{% endfor %}", 0, "no end"),
    ],
)
def test_what_is_wrong_is_a_problem_with_its_line(
    plan: Plan, tmp_path: Path, text: str | bytes, line: int, word: str
) -> None:
    problem = wrong_in(plan, tmp_path, text)
    assert (problem.where.file, problem.where.line) == ("templates/run-sheet.html", line)
    assert word in problem.message


def test_own_templates_that_do_not_fit_the_others_are_told_of_each_once(tmp_path: Path) -> None:
    result = built(tmp_path, {"errata.html": "a\n{% for %}", "_parts.html": "{% macro stitches() %}{% endmacro %}"})
    assert result.plan is None
    assert not (tmp_path / "c" / "out").exists()
    wrong = [problem for problem in result.problems if problem.severity == "error"]
    assert {problem.where.file for problem in wrong} == {"templates/", "templates/errata.html"}
    assert len(set(wrong)) == len(wrong)
    told = r"There is no “\w+” here\. It is needed in lessonplan's [a-z-]+\.html, line \d+\."
    assert all(re.fullmatch(told, problem.message) for problem in wrong if problem.where.file == "templates/")


def test_work_without_end_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart, "MAX_SECONDS", 3.0)
    # One step of the machine's own: nothing in Python interrupts it.
    result = built(tmp_path, {"errata.html": "{% set n = 10 %}{{ 7 ** (n ** n) }}"})
    assert errors(result) == [("templates/", 0, "template")]


def test_memory_without_end_is_a_problem_with_its_line(tmp_path: Path) -> None:
    doubling = "a\n{% set x = 'x' %}\n" + "{% set x = x ~ x %}" * 99
    assert errors(built(tmp_path, {"errata.html": doubling})) == [("templates/errata.html", 3, "template")]


def test_work_apart_gives_its_value_or_its_own_account() -> None:
    assert apart.apart(len, "abc") == 3
    with pytest.raises(RuntimeError, match="MemoryError"):
        apart.apart(bytes, 2 * 2**30)
    with pytest.raises(RuntimeError, match="ValueError"):
        apart.apart(int, "three")
