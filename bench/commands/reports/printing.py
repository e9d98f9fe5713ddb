"""Writing a page out: on the terminal or into a file, as a PDF, on the paper that was asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from bench.commands.core.call import Call
from bench.process.refusals.refusal import Refusal
from bench.records.as_pdf import pdf
from bench.records.forms import write_file
from bench.shop.data.output_files import paper_of_shop, protected_files
from bench.shop.settings.paper import Paper

TERMINAL = ("-", "/dev/stdout")

PDF_OF = {"pdf": "html", "care-pdf": "care-html", "label-pdf": "label-html"}
"""Of which form each PDF is made."""

OF_OWN_SIZE = ("label-html", "label-pdf")


def print_out(call: Call, write: Callable[[str, Paper], str]) -> Refusal | None:
    """Write a page in the form that was asked for. write: gives a form on a paper."""
    form, size = call.args.form, call.args.paper
    if refused := no_paper_for(call):
        return refused
    if form in PDF_OF and not is_file(call):
        return Refusal("a PDF is not for a terminal", "", f"give a file: -o tag.pdf --form {form}")
    paper = paper_of_shop(call.shop)
    content = write(PDF_OF.get(form, form), replace(paper, size=size or paper.size))
    if form not in PDF_OF:
        return out(call, content)
    made = pdf(content)
    return made if isinstance(made, Refusal) else _into_file(call, made)


def no_paper_for(call: Call) -> Refusal | None:
    """Refuse ``--paper`` with a form that is not for paper; None where it is not given, or fits."""
    # A page that is only written in forms has no --json of its own.
    form = "json" if getattr(call.args, "json", False) else call.args.form
    is_printed = form in PDF_OF or form in PDF_OF.values()
    if not call.args.paper or (is_printed and form not in OF_OWN_SIZE):
        return None
    right = "give it with --form html or pdf, or leave it out"
    return Refusal(f"--paper does not go with the form {form}", "", right)


def is_for_terminal(call: Call) -> bool:
    """Say whether the page is only shown: as text where no file was named, or as JSON."""
    return call.args.json or not (is_file(call) or call.args.form != "text")


def out(call: Call, text: str) -> Refusal | None:
    """Write a text into the file that was named, or on the terminal."""
    if is_file(call):
        return _into_file(call, text)
    encoding = getattr(call.out, "encoding", None) or "utf-8"
    call.out.write(text.encode(encoding, "backslashreplace").decode(encoding))
    return None


def _into_file(call: Call, content: str | bytes) -> Refusal | None:
    path, protected = Path(call.args.out), protected_files(call.shop)
    return write_file(path, content, protected, force=call.args.force)


def is_file(call: Call) -> bool:
    """Say whether a file was named to write into."""
    return bool(call.args.out) and call.args.out not in TERMINAL
