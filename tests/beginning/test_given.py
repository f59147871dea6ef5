"""Files that a course is begun from: every kind that people have, and one plain sentence for what is none."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import docx
import pypdf
import pytest
import typst

from lessonplan.beginning.written.given import MOST_BYTES, read_given
from lessonplan.course.files import UnfitError

PRINT = "Hat\n\nCast on 72 (80) stitches – ½ of them “loosely”.\n"
BOX = (
    '<w:document xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
    ' xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"><w:body>{}</w:body></w:document>'
)


def kept(folder: Path, name: str, data: bytes) -> Path:
    (folder / name).write_bytes(data)
    return folder / name


def word(folder: Path, body: str) -> Path:
    """A Word file whose page is written in its XML by hand."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as parts:
        parts.writestr("word/document.xml", BOX.format(body))
    return kept(folder, "page.docx", held.getvalue())


def printed(folder: Path, source: str) -> Path:
    """A PDF set from source."""
    (folder / "page.typ").write_text(source, encoding="utf-8")
    typst.compile(folder / "page.typ", output=folder / "page.pdf")
    return folder / "page.pdf"


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_text_in_the_encodings_that_editors_write(tmp_path: Path, codec: str) -> None:
    given = read_given(kept(tmp_path, "hat.txt", PRINT.replace("\n", "\r\n").encode(codec)))
    assert given.text == PRINT
    assert bool(given.remark) == (codec == "cp1252")


def test_a_word_file_gives_headings_lists_and_tables(tmp_path: Path) -> None:
    page = docx.Document()
    page.add_heading("Larch Hat", 0)
    page.add_heading("Brim", 2)
    page.add_paragraph("Cast on ").add_run("72 sts").bold = True
    page.add_paragraph().add_run("Crown").bold = True
    for text in ("Knit.", "Purl."):
        page.add_paragraph(text, style="List Number")
    page.add_paragraph("a marker", style="List Bullet")
    for rows in ([["k", "knit"], ["p", "purl"]], [["Size", "S", "M"]]):
        table = page.add_table(len(rows), len(rows[0]))
        for row, texts in zip(table.rows, rows, strict=True):
            for cell, text in zip(row.cells, texts, strict=True):
                cell.text = text
    page.sections[0].footer.paragraphs[0].text = "for the knit-along"
    page.save(str(tmp_path / "hat.docx"))
    lines = [line for line in read_given(tmp_path / "hat.docx").text.split("\n") if line]
    assert lines == [
        "# Larch Hat", "## Brim", "Cast on 72 sts", "**Crown**", "1. Knit.", "2. Purl.", "- a marker",
        "| k | knit |", "| p | purl |", "Size: S, M", "for the knit-along",
    ]  # fmt: skip


def test_words_inserted_in_boxes_and_controls_are_kept_and_deleted_ones_are_not(tmp_path: Path) -> None:
    run = "<w:r><w:t>{}</w:t></w:r>"
    gone = "<w:del><w:r><w:delText>six</w:delText></w:r></w:del>"
    body = (
        f"<w:p>{run.format('Knit ')}<w:ins>{run.format('two ')}</w:ins>{gone}"
        f"{run.format('rounds.')}</w:p><w:sdt><w:sdtContent><w:p>{run.format('Purl one.')}</w:p></w:sdtContent></w:sdt>"
        f"<w:p><w:r><mc:AlternateContent><mc:Choice><w:txbxContent><w:p>{run.format('Turn.')}</w:p></w:txbxContent>"
        f"</mc:Choice><mc:Fallback><w:txbxContent><w:p>{run.format('Turn.')}</w:p></w:txbxContent></mc:Fallback>"
        "</mc:AlternateContent></w:r></w:p>"
    )
    lines = [line for line in read_given(word(tmp_path, body)).text.split("\n") if line]
    assert lines == ["Knit two rounds.", "Purl one.", "Turn."]


def test_a_pdf_gives_its_lines_with_gaps_and_headings(tmp_path: Path) -> None:
    source = "= Larch Hat\nA hat for autumn.\n\n== Brim\nCast on 72 sts.\\\nRnd 1: Knit.\n\nFinish the official edge.\n"
    text = read_given(printed(tmp_path, source)).text
    assert text.split("\n") == [
        "**Larch Hat**", "A hat for autumn.", "", "**Brim**", "Cast on 72 sts.", "Rnd 1: Knit.", "",
        "Finish the official edge.",
    ]  # fmt: skip


def test_what_is_no_text_is_one_sentence(tmp_path: Path) -> None:
    locked, pages = pypdf.PdfWriter(), pypdf.PdfWriter()
    locked.append(printed(tmp_path, "Cast on seventy-two stitches, and knit.\n"))
    locked.encrypt("secret", algorithm="RC4-128")
    pages.add_blank_page(200, 200)
    for writer, name in ((locked, "locked.pdf"), (pages, "scan.pdf")):
        writer.write(tmp_path / name)
    with (tmp_path / "large.txt").open("wb") as file:
        file.truncate(100_000_000)
    broken = (tmp_path / "page.pdf").read_bytes()[:200]
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("word/document.xml", "<!DOCTYPE x [<!ENTITY a 'aaaa'>]><x>&a;</x>")
    for name, data, says in [
        ("empty.txt", b" \r\n ", "is empty"),
        ("picture.jpg", bytes(range(256)) * 9, "not a text file"),
        ("cut.txt", b"\xff\xfe" + "Knit".encode("utf-16-le") + b"\x00\xd8", "UTF-8"),
        ("old.doc", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "old Word file"),
        ("rich.rtf", b"{\\rtf1 Knit}", "rich text"),
        ("broken.docx", b"PK\x03\x04" + bytes(60), "may be broken"),
        ("text.docx", b"Cast on 72 sts.", "may be broken"),
        ("bomb.docx", bomb.getvalue(), "may be broken"),
        ("broken.pdf", broken, "cannot be read"),
    ]:
        kept(tmp_path, name, data)
        with pytest.raises(UnfitError) as bad:
            read_given(tmp_path / name)
        assert says in str(bad.value), name
        assert "\n" not in str(bad.value)
    for name, says in (("locked.pdf", "password"), ("scan.pdf", "pictures of pages"), ("large.txt", "100.0 MB")):
        with pytest.raises(UnfitError, match=says):
            read_given(tmp_path / name)
    with pytest.raises(UnfitError, match="not a plain file"):
        read_given(tmp_path)
    with pytest.raises(FileNotFoundError):
        read_given(tmp_path / "nowhere.txt")
    assert MOST_BYTES < 100_000_000


def test_signs_that_no_course_can_hold_are_blanks(tmp_path: Path) -> None:
    text = "Cast on 72 sts and knit for as long as you like, then stop. " * 9
    given = read_given(kept(tmp_path, "odd.txt", f"{text}\u2028Knit\x07 on\ufffe.".encode()))
    assert given.text.endswith("\nKnit  on .")
