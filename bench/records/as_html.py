"""Pages as one printable HTML file: its own style, no script, nothing fetched, pure ASCII."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape

from bench.records.air_picture import AirPicture, svg
from bench.records.blocks import Block, Entry, Facts, Heading, Page, Say, Table, Title
from bench.records.lanes_picture import LanesPicture, lanes_svg
from bench.records.plain_text import plain
from bench.shop.settings.paper import Paper, PaperSize

PLAIN_PAPER = Paper()
"""A4 without a letterhead."""

PAGE_SIZES: Mapping[PaperSize, str] = {"a4": "A4", "letter": "letter"}
"""As CSS names them (Paged Media Level 3, from memory): 210 x 297 mm, and 8.5 x 11 in."""

MOST_FOOT = 84
"""So many letters of a page's name stand beside its number."""

PAGED = """
@page { size: %s; margin: 14mm 14mm 17mm;
  @bottom-left { content: "%s"; font: 8pt "Liberation Sans", "DejaVu Sans", Arial, sans-serif; }
  @bottom-right { content: "page " counter(page) " of " counter(pages);
    font: 8pt "Liberation Sans", "DejaVu Sans", Arial, sans-serif; white-space: nowrap; }
}
"""
STYLE = """
html { font: 10pt/1.35 "Liberation Sans", "DejaVu Sans", Arial, sans-serif; color: #000;
  background: #fff; }
body { max-width: 182mm; margin: 0 auto; padding: 4mm; }
h1 { font-size: 16pt; margin: 0; display: inline; }
header { border-bottom: 2px solid #000; padding-bottom: 2mm; margin-bottom: 3mm; }
header p { float: right; margin: 1.5mm 0 0; }
h2 { font-size: 12pt; margin: 6mm 0 1.5mm; border-bottom: 1px solid #888; break-after: avoid; }
h3 { font-size: 10.5pt; margin: 3mm 0 1mm; break-after: avoid; }
p { margin: 1.6mm 0; orphans: 2; widows: 2; }
section, figure, .last { break-inside: avoid; }
table { border-collapse: collapse; width: 100%; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: left; vertical-align: top; padding: .6mm 2mm .6mm 0;
  border-bottom: .5px solid #bbb; overflow-wrap: anywhere; }
th { font-weight: bold; }
thead th { overflow-wrap: normal; hyphens: none; }
table + p { break-before: avoid; }
figure { margin: 2mm 0; }
svg.air, svg.lanes { width: 100%; display: block;
  font-family: "Liberation Sans", "DejaVu Sans", Arial, sans-serif; }
.facts th { width: 24mm; font-weight: normal; color: #444; }
td.short { white-space: nowrap; }
.weighty { border: 2px solid #000; padding: 2mm; font-weight: bold; }
.letterhead { margin: 0 0 5mm; }
.letterhead p { margin: 0; font-size: 9pt; }
.letterhead p.shop { font-size: 13pt; font-weight: bold; }
.sign { margin-top: 14mm; border-top: 1px solid #000; width: 44%; display: inline-block;
  margin-right: 5%; }
@media print { body { max-width: none; padding: 0; } }
"""


def html(page: Page, title: str, paper: Paper = PLAIN_PAPER) -> str:
    """Write the page as one file. title: what it is and of what; it stands on every sheet."""
    style = PAGED % (PAGE_SIZES[paper.size], _css_text(cut(plain(title), MOST_FOOT))) + STYLE
    parts = [*_letterhead(paper), *(part for block in page for part in _block(block))]
    return document("\n".join(parts), title, style)


def cut(text: str, most: int) -> str:
    """Cut a text to so many letters.

    >>> cut("Launching trolley", 9)
    'Launchi..'
    """
    return text if len(text) <= most else f"{text[: most - 2]}.."


def _css_text(text: str) -> str:
    """Return the text for inside quotes in CSS: by number what might be more than a letter."""
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in text)


def _letterhead(paper: Paper) -> Iterator[str]:
    if paper.letterhead:
        yield '<div class="letterhead">'
        for number, line in enumerate(paper.letterhead):
            kind = "" if number else ' class="shop"'
            yield f"<p{kind}>{_typed(line)}</p>"
        yield "</div>"


def document(body: str, title: str, style: str) -> str:
    """Write a body as one file. Everything outside ASCII is written by its number, so that no
    character set can spoil it."""
    whole = (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{literal(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        f"{body}\n</body>\n</html>\n"
    )
    return whole.encode("ascii", "xmlcharrefreplace").decode("ascii")


def literal(text: str) -> str:
    """Return the text as HTML shows it letter by letter.

    >>> literal('<b onload="x">')
    '&lt;b onload=&quot;x&quot;&gt;'
    """
    return escape(plain(text), quote=True)


def _typed(text: str) -> str:
    """Wrap what was typed, so that letters that run from the right keep to themselves."""
    return f"<bdi>{literal(text)}</bdi>" if not text.isascii() else literal(text)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Title):
        beside = f"<p>{_typed(block.beside)}</p>" if block.beside else ""
        yield f"<header>{beside}<h1>{_typed(block.text)}</h1></header>"
    elif isinstance(block, Heading):
        yield f"<h2>{_typed(block.text)}</h2>"
    elif isinstance(block, Facts):
        yield _facts(block.rows)
    elif isinstance(block, Entry):
        yield f"<section><h3>{_typed(block.head)}</h3>"
        yield _facts(block.rows)
        yield "</section>"
    elif isinstance(block, Table):
        yield from _table(block)
    elif isinstance(block, Say):
        kind = ' class="weighty"' if block.weighty else ""
        yield f"<p{kind}>{_typed(block.text)}</p>"
    elif isinstance(block, AirPicture):
        yield f"<figure>{svg(block)}</figure>"
    elif isinstance(block, LanesPicture):
        yield f"<figure>{lanes_svg(block)}</figure>"
    else:
        signs = "".join(f'<div class="sign">{literal(label)}</div>' for label in block.labels)
        yield f'<div class="last">{signs}</div>'


def _facts(rows: tuple[tuple[str, str], ...]) -> str:
    rows_html = "".join(
        f'<tr><th scope="row">{literal(label)}</th><td>{_typed(text)}</td></tr>'
        for label, text in rows
    )
    return f'<table class="facts"><tbody>{rows_html}</tbody></table>'


def _table(block: Table) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{literal(head)}</th>' for head in block.heads)
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    for row in block.rows:
        yield "<tr>" + "".join(_cell(cell) for cell in row) + "</tr>"
    yield "</tbody></table>"


def _cell(cell: str) -> str:
    return f"<td{_SHORT if len(cell) <= 16 else ''}>{_typed(cell)}</td>"


_SHORT = ' class="short"'
