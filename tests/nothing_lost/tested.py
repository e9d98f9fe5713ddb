"""Attacks that are tests of their own: run by themselves, their figures go into the table."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from xml.etree import ElementTree

from .report import Row

ROOT = Path(__file__).parents[2]


def row(name: str, tests: Sequence[str], folder: Path, *, long: bool) -> Row:
    """Run tests and count: a case is one try, but where it says by a property how many it made."""
    report, found = folder / "report.xml", Row(name)
    options = ["-q", "-p", "no:cacheprovider", f"--junitxml={report}", *["--long"] * long]
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", *options, *tests],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    skipped = 0
    for case in ElementTree.parse(report).iter("testcase") if report.exists() else ():
        if case.find("skipped") is not None:
            skipped += 1
            continue
        faults = [*case.iter("failure"), *case.iter("error")]
        found.look(case.attrib["name"], faults[0].attrib["message"] if faults else "")
        made = [each.attrib["value"] for each in case.iter("property")]
        found.tries += sum(map(int, made)) - len(made)
    if ran.returncode and not found.wrong:
        found.faults.append(ran.stdout[-1000:] + ran.stderr[-1000:])
    found.notes = f"{skipped} skipped here" if skipped else ""
    return found
