"""Pages as PDF, made of the HTML that a browser prints, by a library that is not always there."""

from __future__ import annotations

from bench.process.refusals.refusal import Refusal

FROM_A_BROWSER = "or print its html form from a browser"


def pdf(html: str) -> bytes | Refusal:
    """Make a PDF of a page; a refusal where WeasyPrint is missing, or the Pango it draws with.

    The package is named as WeasyPrint's own page on installing has it (from memory).
    """
    try:
        from weasyprint import HTML
    except ImportError as fault:
        right = f"install the extra: pip install 'paintbench[pdf]', {FROM_A_BROWSER}"
        return Refusal("no PDF can be made here", f"WeasyPrint is missing ({fault})", right)
    except OSError as fault:
        missing = str(fault).partition(":")[0].strip()[:80]
        right = f"on Debian: apt install libpangoft2-1.0-0 libharfbuzz-subset0, {FROM_A_BROWSER}"
        return Refusal("no PDF can be made here", f"Pango is missing ({missing})", right)
    whole: bytes = HTML(string=html).write_pdf()
    return whole
