"""The label of a part: its QR code read by another program, its lines, its warnings."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from xml.etree import ElementTree

import numpy
import pytest
import zxingcpp

from bench.process.clocks.edges import Edge
from bench.records.label import (
    DOTS_MM,
    ISOCYANATE,
    LABEL_WIDTH,
    WIDE_MM,
    label,
    label_html,
    label_svg,
    label_zpl,
)
from bench.records.plain_text import plain, width_of
from bench.shop.core.transaction import Shop
from bench.shop.parts import testing
from bench.shop.records.job_record import Sheet
from bench.testing import ManualClock
from tests.shop.doing import done

from .conftest import typed
from .making import CONTROL, HOSTILE, curing, told

SVG = "{http://www.w3.org/2000/svg}"
PIXELS_MM = 5
TAGS = ["7", "471", "4b", "10", "塗7"]


def with_tag(sheet: Sheet, tag: str) -> Sheet:
    return replace(sheet, part=replace(sheet.part, tag=tag))


def drawn(svg: str) -> numpy.ndarray:
    """The dark squares of a picture on white paper, in grey, as a camera would see them."""
    root = ElementTree.fromstring(svg)
    wide, high = (float(each) for each in root.attrib["viewBox"].split()[2:])
    paper = numpy.full((round(high * PIXELS_MM), round(wide * PIXELS_MM)), 255, numpy.uint8)
    (path,) = root.iter(f"{SVG}path")
    square = re.compile(r"M([\d.]+) ([\d.]+)h1v1h-1z")
    assert square.sub("", path.attrib["d"]) == ""
    for x, y in square.findall(path.attrib["d"]):
        left, top = round(float(x) * PIXELS_MM), round(float(y) * PIXELS_MM)
        paper[top : top + PIXELS_MM, left : left + PIXELS_MM] = 0
    return paper


def lines_of(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("tag", TAGS)
def test_another_program_reads_the_tag_from_the_code(sheet: Sheet, tag: str) -> None:
    svg = label_svg(with_tag(sheet, tag))
    (code,) = zxingcpp.read_barcodes(drawn(svg))
    assert (code.text, code.format.name) == (tag, "QRCode")
    # On its side too, as a label hangs.
    (turned,) = zxingcpp.read_barcodes(numpy.rot90(drawn(svg)).copy())
    assert turned.text == tag
    assert svg.strip() in label_html(with_tag(sheet, tag))


def test_a_code_that_lost_a_corner_to_a_thumb_still_reads(sheet: Sheet) -> None:
    """Level M restores 15 % of it (ISO/IEC 18004, from memory); level L, 7 %, would not do here."""
    paper = drawn(label_svg(with_tag(sheet, "471")))
    begins = (2 + 4 + 11) * PIXELS_MM  # of five modules by five, inside the code
    paper[begins : begins + 5 * PIXELS_MM, begins : begins + 5 * PIXELS_MM] = 255
    (code,) = zxingcpp.read_barcodes(paper)
    assert code.text == "471"


@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_every_form_has_the_same_lines_and_takes_whatever_was_typed(
    sheet: Sheet, what: str
) -> None:
    hostile = typed(sheet, {**HOSTILE, **CONTROL}[what])
    lines = label(hostile).splitlines()
    assert lines_of(label_svg(hostile)) == lines[:-1]
    assert max(map(width_of, lines)) <= LABEL_WIDTH
    zpl = label_zpl(hostile)
    assert zpl_texts(zpl) == [plain(hostile.part.tag), *lines[:-1]]


def zpl_texts(zpl: str) -> list[str]:
    """The texts of a label printer's file: of the code, then line by line."""
    fields = re.findall(r"\^FH_\^FD(.*?)\^FS", zpl)
    texts = [re.sub(r"_([0-9A-F]{2})", lambda m: chr(int(m[1], 16)), each) for each in fields]
    assert texts[0].startswith("MA,")  # level M, the kind of letters found by the printer
    return [texts[0].removeprefix("MA,"), *texts[1:]]


def test_a_label_printers_file_is_whole_and_everything_lies_on_the_label(sheet: Sheet) -> None:
    """Read back, not printed: no label printer was there."""
    zpl = label_zpl(with_tag(sheet, "471"))
    assert zpl.startswith("^XA\n")
    assert zpl.endswith("\n^XZ\n")
    assert zpl.isascii()
    assert set(re.findall(r"[\^~][A-Z]{2}|\^A0", zpl)) == {
        *("^XA", "^FX", "^CI", "^PW", "^LL", "^FO", "^BQ", "^FH", "^FD", "^FS", "^A0", "^XZ"),
    }
    wide, high = map(int, re.findall(r"\^PW(\d+)\^LL(\d+)", zpl)[0])
    assert wide == WIDE_MM * DOTS_MM
    (code, *texts) = [tuple(map(int, each)) for each in re.findall(r"\^FO(\d+),(\d+)", zpl)]
    (module,) = map(int, re.findall(r"\^BQN,2,(\d+)", zpl))
    assert min(code) >= 4 * module, "as much must be clear on every side"
    assert code[0] + (21 + 4) * module <= min(x for x, _ in texts)
    assert max(y for _, y in texts) < high
    assert all(x + LABEL_WIDTH * 2 * DOTS_MM <= wide for x, _ in texts)


def test_it_says_when_it_may_be_handled_and_warns_until_it_is_cured(
    shop: Shop, clock: ManualClock
) -> None:
    curing(shop, clock)
    sheet = told(shop)
    assert sheet.cure is not None
    words = " ".join(label(sheet).split())
    assert any(sheet.products[step.plan.product].isocyanate for step in sheet.done_coats())
    assert ISOCYANATE in words
    assert "HANDLE ONCE CURED FULL CURE ABOUT" in words
    contact = Edge(datetime(2025, 6, 10, 14, 3, tzinfo=UTC), "opening")
    soon = replace(sheet, cure=replace(sheet.cure, contact=contact))
    assert "HANDLE AFTER 2025-06-10 14:03" in " ".join(label(soon).split())
    clock.advance(days=14)
    done(testing.pass_test(shop, 1, "Mo"))
    words = " ".join(label(told(shop)).split())
    assert "CURED" in words
    assert "ISOCYANATE" not in words
    assert "HANDLE" not in words
