"""``paintbench measure`` and ``instrument``: readings typed or from a gauge's file."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.commands.subjects.measuring import read_gauge_file

from ..running import Paintbench
from .test_thickness import BY, primed

__all__ = ["primed"]


def flat(text: str) -> str:
    """Without how its lines are broken."""
    return " ".join(text.split())


def test_readings_are_typed_come_from_a_file_are_judged_and_struck(
    primed: Paintbench, tmp_path: Path
) -> None:
    gauge = ("instrument", "add", "G1", "--kind", "film gauge", "--error", "2um", *BY)
    assert primed(*gauge, "--check-by", "2025-06-01").code == 0
    typed = primed("measure", "1", "dft", "62", "2,6mil", "--instrument", "g1", *BY)
    assert flat(typed.out).startswith(
        "tag 1 Bracket: Epoxy primer, DFT 62 66.04 um, read by Kit with G1 G1: its check was due "
        "2025-06-01 mean 64.02 um, min 62, max 66.04 of 2 accepted so far by ISO 19840, if agreed"
    )
    file = tmp_path / "gauge.csv"
    file.write_text("face;reading\nA;61,5\nEDGE;70\n", encoding="utf-8")
    read = primed("measure", "1", "--dft", str(file), *BY)
    assert "DFT 61.5 um on A; DFT 70 um on EDGE" in flat(read.out)
    assert "take 1 more reading" in read.out
    struck = primed("measure", "--strike", "1", *BY)
    assert "struck: DFT 62 66.04 um (Kit" in flat(struck.out)
    (stand, *_) = primed("status", "--json").json()["stands"]
    assert stand["coat"]["dry_um"] == 65.75
    dust = primed("measure", "--tag", "1", "dust", "2/3", "--step", "3", *BY)
    assert "dust 2, size class 3" in dust.out
    (there,) = primed("instrument", "--json").json()["instruments"]
    assert (there["error"], there["check_due"]) == (2.0, True)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("measure",), "no stand and no --tag: such as: measure 3 dft 82 79 85"),
        (("measure", "x", "dft", "5"), "'x' is no stand: the stand first, or --tag"),
        (("measure", "1"), "nothing was measured: name a kind: zinc, wft, dft"),
        (("measure", "1", "dtf", "5"), "no kind of measurement 'dtf'"),
        (("measure", "1", "dft", "x5"), "read 'x5'; wanted a reading of DFT in um, such as 82"),
        (("measure", "1", "dft", "80", "--dft", "g.csv"), "readings and a file: dft 80"),
        (("measure", "1", "--dft", "no-such.csv"), "no-such.csv cannot be read"),
        (("measure", "1", "--strike", "3"), "readings and --strike"),
        (("measure", "1", "water-break", "wet"), "water break: wet: free or broken"),
        (("measure", "1", "dft", "80", "--step", "9"), "no step 9"),
    ],
)
def test_what_was_typed_wrong_is_said_with_what_would_be_right(
    primed: Paintbench, words: tuple[str, ...], said: str
) -> None:
    ran = primed(*words, *BY)
    assert (ran.code, ran.out) == (1, "")
    assert said in ran.err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "g.csv: no reading in it; wanted one reading a line, or the columns face,reading"),
        ("82\n7x\n", "g.csv line 2: read '7x'; wanted a film, such as 60 um"),
        ("face,reading\nA,82\nB\n", "g.csv line 3: read 'B'; wanted one reading a line"),
        ("82,79\n", "g.csv line 1: read '82,79'; wanted one reading a line"),
        ("82\n\n9000\n", "g.csv line 3: DFT 9000 um: must be over 0, up to 2000 um"),
    ],
)
def test_a_gauges_file_is_refused_with_its_line(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=r"g\.csv") as fault:
        read_gauge_file("g.csv", text)
    assert str(fault.value).startswith(said)


def test_a_gauges_file_is_one_column_or_faces_and_readings() -> None:
    assert read_gauge_file("g.csv", "reading\n82\n79.5\n", "L") == {"L": [82, 79.5]}
    assert read_gauge_file("g.csv", "82 um\n3 mil\n") == {"": [82, pytest.approx(76.2)]}
    assert read_gauge_file("g.csv", '"reading","face"\n"82","L"\n') == {"L": [82]}
