"""What cannot be read, or cannot be, leaves by 2 with what was read and what would be right."""

from __future__ import annotations

import io
import shlex

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commands.sums import run
from bench.sums.table import CALCULATIONS, NAMES
from tests.simulation import LONG

from ..summing import reckon, refused

FOUR = "mix 4:1 --roles base,hardener"

UNREADABLE = [
    # the line, what was read, what would be right
    ("mix 0:1 --need 1l", "'0:1': a part of nothing", "write 4:1"),
    ("mix 4::1 --need 1l", "'4::1': a part is missing beside a colon", "write 4:1"),
    ("mix '4:1 + -5 %' --need 1l", "'4:1 + -5 %'", "write 4:1"),
    ("mix -4:1 --need 1l", "'-4:1'", "write 4:1"),
    ("mix four:one --need 1l", "'four:one': words are not understood here", "write 4:1"),
    ("mix 4:1+120% --need 1l", "120 % is over 100 %", "write 4:1"),
    ("mix '' --need 1l", "nothing to read", "write 4:1"),
    (f"{FOUR} --need ten", "read 'ten'", "wanted a volume, such as 600 ml"),
    (f"{FOUR} --need 600", "'600' has no unit", "type a volume, such as 600 ml"),
    (f"{FOUR} --need 60um", "read '60um'", "wanted a volume, such as 600 ml"),
    (f"{FOUR} --need 1e9l", "read '1e9l'", "up to 200000 ml"),
    (f"{FOUR} --need '1e9 kg'", "read '1e9 kg'", "must be over 0"),
    (f"{FOUR} --need 0ml", "read '0ml'", "must be over 0"),
    (f"{FOUR} --need -1l", "read '-1l'", "must be over 0"),
    (f"{FOUR} --need 1l --thinner -5%", "read '-5%'", "must be at least 0, up to 100 %"),
    (f"{FOUR} --need 1l --thinner '-5 %'", "read '-5 %'", "must be at least 0, up to 100 %"),
    (f"{FOUR} --need 1l --thinner 10", "'10' has no unit", "such as 45 %"),
    (f"{FOUR} --need 1l --of paint", "'paint'", "choose from"),
    (f"{FOUR} --need 1l --densities 1.4,9", "density 2: read '9'", "up to 6 g/ml"),
    (f"{FOUR} --need 1l --densities 1.4,heavy", "density 2: read 'heavy'", "such as 1.4 g/ml"),
    (f"{FOUR} --left 340,70ml", "'340' has no unit", "such as 600 ml"),
    (f"{FOUR} --poured 420ml", "read no name of a part", "as base=420ml"),
    (f"{FOUR} --poured paint=420ml", "read 'paint=420ml'", "such as base=420ml"),
    (f"{FOUR} --over base=1l,base=2l", "read base twice", "each part once"),
    ("mix 4:1 --roles base,glue --need 1l", "read 'glue'", "base, hardener, activator, thinner"),
    ("wash --ready 10l --water -1", "read '-1'", "must be at least 0, up to 1000"),
    ("batch 4:1 --step 10um", "read '10um'", "such as 600 ml"),
    ("batch 4:1 --step 10ml --tolerance 0%", "read '0%'", "must be over 0, up to 100 %"),
    ("pot --table 20C --at 20C", "read '20C'", "as 20C=2h"),
    ("pot --table 20C=2h,10C=4h --at 20C", "10 C comes after 20 C", "from cold to warm"),
    ("pot --table 20C=2 --at 20C", "'2' has no unit", "such as 4 h or 15 min"),
    ("pot --table 20=2h --at 20C", "'20' has no unit", "such as 18 C"),
    ("pot --table 20C=2h --at 200C", "read '200C'", "at least -40, up to 120 C"),
    ("pot --table 20C=2h --at 20C --from noon", "read 'noon'", "such as 2026-03-02T09:40"),
    ("film --dry 60um --solids 0%", "read '0%'", "must be over 0, up to 100 %"),
    ("film --dry 60um --solids 101%", "read '101%'", "must be over 0, up to 100 %"),
    ("film --dry 60um --solids 45", "'45' has no unit", "such as 45 %"),
    ("film --dry 60 --solids 45%", "'60' has no unit", "such as 60 um"),
    ("film --dry 60ml --solids 45%", "read '60ml'", "such as 60 um or 2.4 mil"),
    ("film --dry 60um --parts 400ml,100ml=45%", "read '400ml,100ml'", "such as 600 ml"),
    ("cover --area 0m2 --dry 60um --solids 45% --transfer 40%", "read '0m2'", "over 0"),
    ("cover --area 7.5m --dry 60um --solids 45% --transfer 40%", "read '7.5m'", "7.5 m2"),
    ("area 'SHS 100'", "'SHS 100'", "write CHS 48.3x3.2"),
    ("area 'SHS 100x100x60'", "wall 60 mm in 100 mm", "must be under half"),
    ("area 'SHS 100x100x5' --length 3", "'3' has no unit", "such as 3 m"),
    ("area axle --count 1.5", "read '1.5'", "a whole number"),
    ("area axle --count 0", "pieces 0", "at least 1"),
    ("mass axle --count 2", "'axle'", "write CHS 48.3x3.2"),
    ("mass 'rod 20' --length 2m --also 6m", "read '6m'", "such as 40 kg"),
    ("salts --before 2uS/cm --after 12 --water 10ml", "'12' has no unit", "such as 25 uS/cm"),
    ("duplex --zinc-years 600years --paint-years 10years", "read '600years'", "up to 500 years"),
    ("bare-spots 4cm2,0cm2 --part-area 1m2", "bare spot 2: read '0cm2'", "up to 100000 cm2"),
    (
        "closed --inside 5g --volume 1m3 --solvent xylene --exposure-ppm 50 --mixing 3",
        "'50' has no unit",
        "such as 50 ppm",
    ),
    ("cans --area 1m2 --dry 20um --coats 99 --shape flat", "coats 99", "up to 20"),
    ("dewpoint --air 20C --rh 120%", "read '120%'", "at least 1, up to 100 %"),
    ("dewpoint --air 20C --rh -5%", "read '-5%'", "at least 1, up to 100 %"),
    ("dewpoint --air 20C --rh 0,65", "'0,65' has no unit", "such as 45 %"),
    ("dewpoint --air 20 --rh 65%", "'20' has no unit", "such as 18 C or 68 F"),
    ("dewpoint --air 20kg --rh 65%", "read '20kg'", "such as 18 C or 68 F"),
    ("dewpoint --air 20C --wet 14C --pressure 1bar2", "read '1bar2'", "such as 1013 hPa"),
    ("cup din4 --seconds 25", "read the cup 'din4'", "one of iso3"),
    ("cup iso4 --seconds ten", "read 'ten'", "such as 15 min"),
    ("cup iso4 --seconds -45", "read '-45'", "over 0"),
    ("zinc --thickness 85 --category C3", "'85' has no unit", "such as 60 um"),
    ("zinc --thickness 85um --category C9", "'C9'", "C4, C5"),
    ("readings 72,,58 --nominal 60um", "reading 2: read ''", "such as 60 um"),
    ("readings 72,58ml --nominal 60um", "reading 2: read '58ml'", "such as 60 um"),
    ("crosscut --film 75um --flaked 120%", "read '120%'", "up to 100 %"),
    ("crosscut --film 75um --squares 26", "read '26'", "up to 25"),
    ("voc 4l", "read '4l'", "as 4l=420g/l"),
    ("voc 4l=420g", "read '420g'", "such as 420 g/l"),
    ("voc 4l=-420g/l", "read '-420g/l'", "at least 0"),
    ("air 500 --solvent xylene", "'500' has no unit", "or 20g/min"),
    ("air 500g --solvent water", "read the solvent 'water'", "one of xylene"),
    ("clear --room 120m2 --flow 2400m3/h", "read '120m2'", "such as 120 m3"),
    ("clear --room 120m3 --flow 2400m3", "read '2400m3'", "such as 2400 m3/h"),
    ("clear --changes 0 --mixing 3", "read '0'", "at least 0.1"),
    ("time --table 20C=2h --at 20", "'20' has no unit", "such as 18 C"),
    ("rate --at 5C --energy 0", "read '0'", "over 0"),
    ("runs-out --have 2l --need 3l --faces 0", "read '0'", "at least 1"),
    ("spray --angle 120deg", "read '120deg'", "up to 60 degrees"),
    ("spray --distance 20 --held 30cm", "'20' has no unit", "such as 20 cm"),
]


@pytest.mark.parametrize(("line", "was_read", "would_be_right"), UNREADABLE)
def test_what_was_read_and_what_would_be_right(
    line: str, was_read: str, would_be_right: str
) -> None:
    told = refused(line, code=2)
    assert was_read in told
    assert would_be_right in told


def test_every_sum_is_among_what_is_tried() -> None:
    tried = {shlex.split(line)[0] for line, _, _ in UNREADABLE}
    assert tried == set(NAMES) - {"age"}  # its log has a page of its own


def test_escape_sequences_are_written_out() -> None:
    for line in ("mix '\x1b[2J:1' --need 1l", "spray --symptom '\x1b[2J'", "'\x1b[2J'"):
        err = reckon(line).err
        assert "\x1b" not in err
        assert "\\x1b[2J" in err


WORKED = [
    [each.name, *shlex.split(each.example.line)]
    for each in CALCULATIONS
    if each.name != "age" and not each.needs_a_shop
]


@settings(deadline=None, max_examples=300 if LONG else 60)
@given(
    words=st.sampled_from(WORKED),
    where=st.integers(min_value=1, max_value=30),
    typed=st.one_of(
        st.text(max_size=20),
        st.text(alphabet="0123456789.,:;=+-%e ulmgCh/", max_size=12),
        st.sampled_from(["nan", "inf", "1e308l", "1e-308 l", "9" * 400, "-0", "\x00", "\ud800"]),
    ),
)
def test_whatever_is_typed_is_answered_or_refused(words: list[str], where: int, typed: str) -> None:
    line = list(words)
    line[1 + where % (len(line) - 1)] = typed
    out, err = io.StringIO(), io.StringIO()
    code = run(line, out, err)
    assert code in (0, 1, 2)
    assert bool(out.getvalue()) is (code == 0)
    assert bool(err.getvalue()) is (code != 0)
    assert "Traceback" not in err.getvalue()
