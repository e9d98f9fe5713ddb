"""The label of a part: for masking tape or a tie-on tag by hand, or for a printer, with a QR code.

The QR code (ISO/IEC 18004) holds the tag alone, which a scanner types where a tag is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import segno

from bench.records.as_html import document, literal
from bench.records.care_page import day
from bench.records.plain_text import folded, plain
from bench.records.record_text import edge_hour
from bench.shop.records.job_record import Sheet

LABEL_WIDTH = 24
"""As many letters as a hand writes across a strip of tape (common practice, no source)."""

LABEL_END = "-- paintbench label"
"""The last line of a label by hand, which begins with whatever the part is called."""

SVG_START = '<svg xmlns="http://www.w3.org/2000/svg" data-form="paintbench label"'
ZPL_START = "^XA\n^FXpaintbench label^FS"
"""How the two files begin."""

ISOCYANATE = "ISOCYANATE PAINT: air-fed mask to abrade or repair it"
"""On a part whose isocyanate paint is not cured yet; source: see "fresh isocyanate" in HAZARDS."""

QUIET = 4
"""Clear modules around the code (ISO/IEC 18004, from memory)."""

MODULE_MM = 1.0
LINE_MM = 4.5
LETTER_MM = 3.2
MARGIN_MM = 2.0
"""A module of 1 mm and letters of 3.2 mm read from arm's length (common practice, no source)."""

WIDE_MM = 90.0
DOTS_MM = 8
"""Width of the label; dots of a label printer of 203 dots an inch."""


def label(sheet: Sheet) -> str:
    """Write a few lines of at most 24 columns; what is longer is folded, not cut."""
    lines = [*_folded_lines(sheet), *folded(LABEL_END, LABEL_WIDTH, "  ")]
    return "".join(line + "\n" for line in lines)


def label_svg(sheet: Sheet, shop: str = "") -> str:
    """Write the label as a picture in millimetres: the QR code, and its lines beside it.

    shop: its name, on the last lines of a label that is printed.
    """
    return _svg(_folded_lines(sheet, shop), sheet) + "\n"


def label_html(sheet: Sheet, shop: str = "") -> str:
    """Write the label as a page of its own size, to print from a browser."""
    title = f"Label, tag {sheet.part.tag} {sheet.part.name}"
    lines = _folded_lines(sheet, shop)
    style = (
        f"@page {{ size: {WIDE_MM:g}mm {_high_mm(lines, sheet):g}mm; margin: 0; }} "
        "body { margin: 0; } svg { display: block; }"
    )
    return document(_svg(lines, sheet), title, style)


def label_zpl(sheet: Sheet, shop: str = "") -> str:
    """Write the label in the language of label printers, for 8 dots a millimetre."""
    folded_lines = _folded_lines(sheet, shop)
    left = round((MARGIN_MM + QUIET * MODULE_MM) * DOTS_MM)
    beside = round(_text_mm(sheet) * DOTS_MM)
    lines = [
        ZPL_START,
        "^CI28",  # UTF-8
        f"^PW{round(WIDE_MM * DOTS_MM)}^LL{round(_high_mm(folded_lines, sheet) * DOTS_MM)}",
        f"^FO{left},{left}^BQN,2,{round(MODULE_MM * DOTS_MM)}^FH_^FDMA,{_zpl_text(_tag(sheet))}^FS",
    ]
    for n, line in enumerate(folded_lines):
        top = round((MARGIN_MM + n * LINE_MM) * DOTS_MM)
        size = round(LETTER_MM * DOTS_MM)
        lines.append(f"^FO{beside},{top}^A0N,{size},0^FH_^FD{_zpl_text(line)}^FS")
    return "\n".join([*lines, "^XZ", ""])


def _zpl_text(text: str) -> str:
    """Write by number what has a meaning, its sign for that too."""
    return "".join(f"_{ord(c):02X}" if c in "^~_\\" else c for c in text)


def _tag(sheet: Sheet) -> str:
    return plain(sheet.part.tag)


def _modules(sheet: Sheet) -> tuple[bytearray, ...]:
    """Return the rows of the code without its margin: 1 is dark."""
    return segno.make(_tag(sheet), micro=False, error="m", boost_error=False).matrix


def _text_mm(sheet: Sheet) -> float:
    """Return how far from the left the lines begin: behind the code and its clear margin."""
    return MARGIN_MM + (len(_modules(sheet)) + 2 * QUIET) * MODULE_MM


def _high_mm(lines: list[str], sheet: Sheet) -> float:
    lines_mm = len(lines) * LINE_MM
    return 2 * MARGIN_MM + max(lines_mm, (len(_modules(sheet)) + 2 * QUIET) * MODULE_MM)


def _svg(lines: list[str], sheet: Sheet) -> str:
    rows = _modules(sheet)
    corner = MARGIN_MM + QUIET * MODULE_MM
    dark = "".join(
        f"M{corner + x * MODULE_MM:g} {corner + y * MODULE_MM:g}h{MODULE_MM:g}v{MODULE_MM:g}"
        f"h-{MODULE_MM:g}z"
        for y, row in enumerate(rows)
        for x, module in enumerate(row)
        if module
    )
    wide, high = f"{WIDE_MM:g}", f"{_high_mm(lines, sheet):g}"
    left = f"{_text_mm(sheet):g}"
    text = "".join(
        f'<text x="{left}" y="{MARGIN_MM + n * LINE_MM:g}">{literal(line)}</text>'
        for n, line in enumerate(lines, start=1)
    )
    svg = (
        f'{SVG_START} width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}" '
        f'font-family="monospace" font-size="{LETTER_MM:g}" xml:space="preserve">'
        f'<rect width="{wide}" height="{high}" fill="#fff"/><path d="{dark}"/>{text}</svg>'
    )
    return svg.encode("ascii", "xmlcharrefreplace").decode("ascii")


def _folded_lines(sheet: Sheet, shop: str = "") -> list[str]:
    texts = [*_lines(sheet), *([shop] if shop else [])]
    return [line.rstrip() for text in texts for line in folded(text, LABEL_WIDTH, "  ")]


def _lines(sheet: Sheet) -> Iterator[str]:
    part = sheet.part
    many = f" x{part.count}" if part.count > 1 else ""
    yield f"{part.tag} {part.name}{many}"
    if part.job:
        yield part.job
    coats = [step.plan.name for step in sheet.done_coats()]
    for name, same in groupby(coats):
        times = len(list(same))
        yield f"{name} x{times}" if times > 1 else name
    if not coats:
        yield "no coat yet"
    last = sheet.products.get(sheet.done_coats()[-1].plan.product) if coats else None
    if last is not None and last.colour:
        yield f"colour {last.colour}"
    yield from _cure(sheet)


def _cure(sheet: Sheet) -> Iterator[str]:
    """Say when it may be handled, when it is cured, and what its paint still does to breath."""
    cure = sheet.cure
    if cure is not None and cure.passed_at is not None:
        yield f"CURED {cure.passed_at:%Y-%m-%d} {cure.passed_by}"
        return
    if cure is None:
        yield "NOT FINISHED" if sheet.left_to_do else "full cure not known"
    else:
        yield f"HANDLE AFTER {edge_hour(cure.contact)}" if cure.contact else "HANDLE ONCE CURED"
        full = cure.full_cure
        yield f"FULL CURE ABOUT {day(full.shown)}{full.doubt}" if full else "full cure not known"
    products = (sheet.products.get(step.plan.product) for step in sheet.done_coats())
    if any(product is not None and product.isocyanate for product in products):
        yield ISOCYANATE
