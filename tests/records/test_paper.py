"""What is printed: its size, its page numbers and tag, the letterhead, lines to sign, and the PDF."""

from __future__ import annotations

import builtins
import io
import re
import sys
from collections.abc import Callable
from typing import Any

import pytest

from bench.process.refusals.refusal import Refusal
from bench.records.as_html import html
from bench.records.as_pdf import pdf
from bench.records.forms import FORMS, JOB_FORMS, mark_of
from bench.records.handover_page import handover_page
from bench.records.job_record import sheet_page
from bench.records.quote_page import quote_page
from bench.shop.core.transaction import Shop
from bench.shop.data.output_files import paper_of_shop
from bench.shop.people.handover import handover
from bench.shop.records.job_page import JobPage, job_page
from bench.shop.records.job_record import Sheet
from bench.shop.settings.paper import Paper
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock.quote import AskedItem, Quote, quote
from tests.shop.doing import done

from .conftest import typed
from .making import CONTROL, HOSTILE
from .test_html import read

SHED = Paper("letter", ("Boat shed <paint>", "Quay Lane 3", "Rivermouth"))


def decoded(css: str) -> str:
    """A text of CSS as a reader has it (CSS Syntax Level 3, 4.3.7, from memory)."""
    return re.sub(r"\\([0-9a-f]{1,6}) ", lambda code: chr(int(code[1], 16)), css)


def foot(told: str) -> str:
    """What stands at the foot of every sheet of paper, beside its number."""
    (text,) = re.findall(r'@bottom-left \{ content: "(.*?)";', told)
    return decoded(text)


def printed(shop: Shop) -> dict[str, Callable[[Paper], str]]:
    """Every page of a shop that is printed on A4 or Letter."""
    from .making import told

    sheet, page = told(shop), job_page(shop, "Trolley 7")
    asked = quote(shop, [AskedItem("zinc-new", "frame")])
    assert isinstance(page, JobPage)
    assert isinstance(asked, Quote)
    return {
        "record": lambda paper: FORMS["html"].write(sheet, paper),
        "care page": lambda paper: FORMS["care-html"].write(sheet, paper),
        "job page": lambda paper: JOB_FORMS["html"](page, paper),
        "quote": lambda paper: html(quote_page(asked), "Quote, written now", paper),
        "hand-over": lambda paper: html(
            handover_page(handover(shop)), "Hand-over, written now", paper
        ),
    }


def test_every_page_has_its_paper_its_number_its_letterhead_and_lines_to_sign(
    worked_on: Shop,
) -> None:
    for name, write in printed(worked_on).items():
        # ISO 216 and ANSI/ASME Y14.1 by the names that CSS has for them (from memory).
        for paper, size in ((Paper(), "A4"), (SHED, "letter")):
            told = write(paper)
            assert f"@page {{ size: {size};" in told, name
            assert '"page " counter(page) " of " counter(pages)' in told, name
            assert foot(told) == re.findall("<title>(.*?)</title>", told)[0], name
            words = read(told)
            assert all(line in words for line in paper.letterhead), name
            assert re.search("Received by|Receiver of|Taken over by|not finished", words), name
        assert mark_of(told[:4096]), name


@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_no_name_breaks_out_of_the_foot_of_the_page(sheet: Sheet, what: str) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    told = FORMS["html"].write(typed(sheet, f"{text} }} p {{"), Paper())
    style = told.partition("<style>")[2].partition("</style>")[0]
    assert style.count("{") == style.count("}") == FORMS["html"].write(sheet, Paper()).count("{")
    assert foot(told).startswith("Job record, tag ")


def test_a_printed_label_ends_in_the_shop_s_name(sheet: Sheet) -> None:
    for form in ("label-html", "label-svg", "label-zpl"):
        plain = FORMS[form].write(sheet, Paper())
        named = FORMS[form].write(sheet, Paper("a4", ("Boat shed", "Quay Lane")))
        assert "Boat shed" in named.replace("_20", " "), form
        assert "Quay Lane" not in named, form
        assert "Boat shed" not in plain, form


@pytest.mark.parametrize(
    ("typed_lines", "kept", "refused"),
    [
        ("Boat shed|Quay Lane 3 | ", ("Boat shed", "Quay Lane 3"), ""),
        ("", (), ""),
        ("1|2|3|4|5", ("1", "2", "3", "4", "5"), ""),
        ("1|2|3|4|5|6", (), "the letterhead is too long (6 lines)"),
        ("x" * 61, (), "a line of the letterhead is too long (61 characters)"),
        ("a\tb", (), "a line of the letterhead has a control character"),
    ],
)
def test_the_letterhead_is_kept_as_it_was_typed_or_refused(
    shop: Shop, typed_lines: str, kept: tuple[str, ...], refused: str
) -> None:
    answer = set_settings(shop, "Kit", paper="letter", letterhead=typed_lines)
    assert str(answer).startswith(refused) if refused else not isinstance(answer, Refusal)
    assert paper_of_shop(shop) == (Paper() if refused else Paper("letter", kept))
    done(set_settings(shop, "Kit", paper="a4", letterhead="Shed"))
    assert paper_of_shop(shop) == Paper("a4", ("Shed",))
    assert str(set_settings(shop, "Kit", paper="a5")) == "paper a5: one of a4, letter"


def test_without_the_extra_a_pdf_is_refused_with_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = builtins.__import__

    def without(fault: Exception) -> Callable[..., Any]:
        def load(name: str, *rest: Any, **more: Any) -> Any:
            if name == "weasyprint":
                raise fault
            return real(name, *rest, **more)

        return load

    for fault, told in (
        (ImportError("No module named 'weasyprint'"), "pip install 'paintbench[pdf]'"),
        (OSError("cannot load library 'libpango-1.0-0': x\ny"), "apt install libpangoft2-1.0-0"),
    ):
        monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
        monkeypatch.setattr(builtins, "__import__", without(fault))
        refused = pdf("<p>")
        monkeypatch.undo()
        assert isinstance(refused, Refusal)
        assert told in str(refused)
        assert "\n" not in str(refused)


def weasyprint_runs() -> bool:
    try:
        import pypdf
        import weasyprint
    except (ImportError, OSError):
        return False
    return bool(pypdf and weasyprint)


@pytest.mark.skipif(not weasyprint_runs(), reason="WeasyPrint, Pango or pypdf is not installed")
def test_a_pdf_has_the_tag_and_its_number_on_every_sheet_of_paper(sheet: Sheet) -> None:
    from pypdf import PdfReader

    for paper, wide, high in ((Paper(), 595, 842), (SHED, 612, 792)):
        made = pdf(html(sheet_page(sheet), "Job record, tag 1 Roller brackets", paper))
        assert isinstance(made, bytes)
        pages = PdfReader(io.BytesIO(made)).pages
        assert 2 <= len(pages) <= 8
        for number, page in enumerate(pages, start=1):
            # ISO 216: 210 x 297 mm; Letter: 8.5 x 11 in; 72 points an inch.
            assert (round(page.mediabox.width), round(page.mediabox.height)) == (wide, high)
            words = " ".join(page.extract_text().split())
            assert "Job record, tag 1 Roller brackets" in words
            assert f"page {number} of {len(pages)}" in words
