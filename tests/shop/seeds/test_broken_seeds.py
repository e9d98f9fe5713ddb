"""A broken seed file is refused with file, line and what would be right."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from bench.shop.seeds import seed_files
from bench.shop.seeds.seed_files import BadSeed
from tests import simulation

SHIPPED = seed_files.folder()


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A copy of the shipped seeds to break."""
    copy = tmp_path / "seeds"
    shutil.copytree(SHIPPED, copy)
    return copy


ETCH, GLOSS, ENAMEL = (
    "products/etch-primer.toml",
    "products/gloss.toml",
    "products/enamel-aerosol.toml",
)
EPOXY, ZINC, STEEL = (
    "products/epoxy-primer.toml",
    "routes/zinc-new.toml",
    "routes/steel-blasted.toml",
)
TOOLS, SHAPES = "tools.toml", "shapes.toml"
WAIT_24_H = '{ is = "wait", until = "24 h" }'
LAST_STEP = 'name = "Cure"\nkind = "cure"'


def line_with(text: str, marker: str) -> int:
    assert text.count(marker) == 1, f"{marker!r} stands {text.count(marker)} times"
    return text.count("\n", 0, text.index(marker)) + 1


def refusal(root: Path, file: str, text: str) -> tuple[int, str]:
    """Load the seeds with this file as ``text``: the line pointed at, and what was told."""
    (root / file).write_text(text, encoding="utf-8")
    with pytest.raises(BadSeed) as refused:
        seed_files.load(root)
    found = re.fullmatch(rf"{re.escape(str(root / file))}:(\d+): (.+)", str(refused.value))
    assert found, str(refused.value)
    return int(found[1]), found[2]


# Each: the file, what is replaced by what, a text on the line to be pointed at, what is told.
BROKEN: dict[str, tuple[str, str, str, str, str]] = {
    "text without quotes": (ETCH, 'kind = "primer"', "kind = primer", "kind = primer", "not TOML"),
    "a comma is missing": (
        ETCH,
        '"15 min" },\n',
        '"15 min" }\n',
        WAIT_24_H,
        "not TOML",
    ),
    "a key twice": (ETCH, 'tool = "hvlp"', 'name = "Etch"', 'name = "Etch"', "not TOML"),
    "an unknown key": (
        ETCH,
        "volume_solids",
        "volume_solid",
        "volume_solid =",
        "'volume_solid' is not a key that belongs here; is 'volume_solids' meant?",
    ),
    "an unknown key in a table": (
        ETCH,
        'target = "12 um"',
        'taget = "12 um"',
        "film =",
        "'taget' is not a key that belongs here; is 'target' meant?",
    ),
    "an unknown key in a band": (
        ETCH,
        'until = "24 h"',
        'untill = "24 h"',
        "untill",
        "'untill' does not belong in a band; it has is, until, until_damp, damp_over",
    ),
    "a test of a band that opens nothing again": (
        ETCH,
        'until = "24 h"',
        'until = "24 h", test = "rub it"',
        '"24 h"',
        "only a 'shut' band that ends has a test of its own",
    ),
    "an unknown key in a step": (
        ZINC,
        'name = "Mordant wash"',
        'name = "Mordant wash"\nremindrs = []',
        "remindrs",
        "'remindrs' is not a key that belongs here; is 'reminders' meant?",
    ),
    "a missing key": (ETCH, 'kind = "primer"\n', "", "# Placeholder", "'kind' is missing; add it"),
    "its own key": (ETCH, "name =", 'key = "x"\nname =', 'key = "x"', "leave out 'key'"),
    "an unknown kind": (
        ETCH,
        'kind = "primer"',
        'kind = "paint"',
        'kind = "paint"',
        "kind reads 'paint'; it is one of 'cleaner', 'wash', 'primer', 'top coat'",
    ),
    "a number for a text": (
        ETCH,
        'tool = "hvlp"',
        "tool = 5",
        "tool = 5",
        "tool reads '5'; write text in quotes",
    ),
    "a text for a list": (
        EPOXY,
        'hazards = ["epoxy"]',
        'hazards = "epoxy"',
        'hazards = "epoxy"',
        "hazards reads 'epoxy'; write a list of texts",
    ),
    "neither true nor false": (
        GLOSS,
        "isocyanate = true",
        'isocyanate = "perhaps"',
        "isocyanate =",
        "isocyanate reads 'perhaps'; write true or false",
    ),
    "no unit": (
        ETCH,
        'volume_solids = "10 %"',
        'volume_solids = "10"',
        "volume_solids",
        "volume_solids: '10' has no unit: type a share, such as 45 %",
    ),
    "a figure without quotes": (
        ETCH,
        'volume_solids = "10 %"',
        "volume_solids = 10",
        "volume_solids",
        "volume_solids reads 10; write it in quotes with its unit",
    ),
    "a time for a film": (
        ETCH,
        'least = "8 um"',
        'least = "8 h"',
        "film =",
        "least: read '8 h'; wanted a film, such as 60 um",
    ),
    "a temperature for a time": (
        ZINC,
        'most = "15 min"',
        'most = "15 C"',
        'most = "15 C"',
        "most: read '15 C'; wanted a time",
    ),
    "no unit in a table of temperatures": (
        EPOXY,
        'pot_life = { "20 C"',
        'pot_life = { "20"',
        "pot_life",
        "'20' has no unit: type a temperature",
    ),
    "an opened life without its unit": (
        EPOXY,
        'opened_life = { hardener = "365 d" }',
        'opened_life = { hardener = "365" }',
        "opened_life",
        "hardener: '365' has no unit: type a time",
    ),
    "an opened life of a part it has not": (
        EPOXY,
        'opened_life = { hardener = "365 d" }',
        'opened_life = { activator = "365 d" }',
        "opened_life",
        "it comes in no tin of 'activator'; one of base, hardener",
    ),
    "an opened life that is no table": (
        EPOXY,
        'opened_life = { hardener = "365 d" }',
        'opened_life = "365 d"',
        "opened_life",
        "write a table: { key = value, ... }",
    ),
    "a shape that catches the fan in no way there is": (
        SHAPES,
        'like = "small"',
        'like = "tiny"',
        'like = "tiny"',
        "like reads 'tiny'; it is one of 'flat', 'frame' or 'small'",
    ),
    "one time for a table": (
        EPOXY,
        'pot_life = { "20 C" = "4 h" }',
        'pot_life = "4 h"',
        "pot_life",
        'write it by temperature, as { "20 C" = "4 h" }',
    ),
    "warmer is slower": (
        EPOXY,
        '"10 C" = "24 h", "20 C" = "16 h"',
        '"10 C" = "16 h", "20 C" = "24 h"',
        '"10 C" = "16 h"',
        "warmer cannot be slower",
    ),
    "reversed bands": (
        ETCH,
        WAIT_24_H,
        '{ is = "wait", until = "10 min" }',
        '"10 min"',
        "this band ends at 10 min, not after the one before it (15 min)",
    ),
    "overlapping bands": (
        ETCH,
        '{ is = "open", until = "48 h" }',
        '{ is = "open", until = "23 h" }',
        '"23 h"',
        "this band ends at 23 h, not after the one before it (24 h)",
    ),
    "a band without an end": (
        ETCH,
        WAIT_24_H,
        '{ is = "wait" }',
        '{ is = "wait" }',
        "this band has no end but others follow; give it an 'until'",
    ),
    "a last band with an end": (
        ETCH,
        '{ is = "key" }',
        '{ is = "key", until = "9 d" }',
        '"9 d"',
        "the last band has an end; leave out its 'until'",
    ),
    "a last band too soon": (
        ETCH,
        '    { is = "open", until = "48 h" },\n    { is = "key" },\n',
        '    { is = "wait" },\n',
        '{ is = "wait" }',
        "nothing would ever open; add an open band",
    ),
    "a band with an unknown word": (
        ETCH,
        '{ is = "key" }',
        '{ is = "dry" }',
        '{ is = "dry" }',
        "is reads 'dry'; it is one of 'wet', 'flash', 'drying', 'wait', 'open', 'shut' or 'key'",
    ),
    "a band without a word": (
        ETCH,
        '{ is = "key" }',
        "{ }",
        "    { },",
        "'is' is missing; add it",
    ),
    "damp without its time": (
        STEEL,
        'until_damp = "2 h", ',
        "",
        "damp_over",
        "'until_damp' and 'damp_over' go together",
    ),
    "film not rising": (
        ETCH,
        'target = "12 um"',
        'target = "16 um"',
        "film =",
        "film 8 / 16 / 15 um; minimum, target and maximum must rise",
    ),
    "no volume solids": (
        ETCH,
        'volume_solids = "10 %"',
        'volume_solids = "0 %"',
        "volume_solids",
        "0 % volume solids; it must be over 0, up to 100",
    ),
    "thinner the wrong way round": (
        GLOSS,
        'least = "10 %"',
        'least = "20 %"',
        "thinner =",
        "thinner 20 to 15 %; it runs from minimum to maximum",
    ),
    "thinner percent of something unknown": (
        GLOSS,
        'of = "mixed"',
        'of = "hardener"',
        "thinner =",
        "of reads 'hardener'; it is one of 'base', 'mixed' or 'total'",
    ),
    "a ratio with 0": (
        EPOXY,
        "hardener = 1 }",
        "hardener = 0 }",
        "hardener = 0",
        "parts of hardener 0: must be over 0",
    ),
    "a ratio with an unknown role": (
        EPOXY,
        "hardener = 1 }",
        "harder = 1 }",
        "harder = 1",
        "unknown part 'harder'; a part is one of base, hardener, activator, thinner",
    ),
    "a ratio without a base": (
        ETCH,
        "ratio = { base = 1, activator = 1 }",
        "ratio = { activator = 1 }",
        "ratio =",
        "no base among activator",
    ),
    "a ratio written as a text": (
        ETCH,
        "ratio = { base = 1, activator = 1 }",
        'ratio = "1:1"',
        "ratio =",
        "ratio reads '1:1'; write a table: { key = value, ... }",
    ),
    "a hazard that is none": (
        EPOXY,
        'hazards = ["epoxy"]',
        'hazards = ["epoxi"]',
        "epoxi",
        "no hazard 'epoxi'; there are: acid, acid activator, ",
    ),
    "a hazard of a step that is none": (
        ZINC,
        'hazards = ["sharp", "dust"]',
        'hazards = ["sharp", "dast"]',
        "dast",
        "no hazard 'dast'; there are: acid, acid activator, ",
    ),
    "over a surface that is none": (
        EPOXY,
        '"zinc-rich", "seam-sealer",',
        '"zinc-rich",\n    "seam-sealr",',
        "seam-sealr",
        "no surface or product 'seam-sealr'; there are: alkaline-cleaner, aluminium, ",
    ),
    "a product with a missing tool": (
        ETCH,
        'tool = "hvlp"',
        'tool = "hvpl"',
        "hvpl",
        "no tool 'hvpl'; there are: aerosol, ",
    ),
    "a route naming a missing product": (
        ZINC,
        'product = "mordant-wash"',
        'product = "mordant"',
        'product = "mordant"',
        "no product 'mordant'; there are: alkaline-cleaner, ",
    ),
    "a step naming a missing tool": (
        ZINC,
        LAST_STEP,
        f'{LAST_STEP}\ntool = "heater"',
        'tool = "heater"',
        "no tool 'heater'; there are: aerosol, ",
    ),
    "a route without a cure": (
        ZINC,
        LAST_STEP,
        'name = "Cure"\nkind = "work"',
        '[[step]]\nname = "Cure',
        "the last step must be of kind 'cure'",
    ),
    "a cure in the middle": (
        ZINC,
        'name = "Rinse, dry overnight"\nkind = "work"',
        'name = "Rinse, dry overnight"\nkind = "cure" # too soon',
        "# too soon",
        "a cure in the middle; only the last step cures",
    ),
    "a dwell with least over most": (
        ZINC,
        'least = "10 min"',
        'least = "20 min"',
        '[[step]]\nname = "Mordant wash"',
        "a dwell needs 'least' and 'most', least first, both over 0",
    ),
    "a dwell without its most": (
        ZINC,
        'most = "15 min"\n',
        "",
        '[[step]]\nname = "Mordant wash"',
        "a dwell needs 'least' and 'most'",
    ),
    "a coat without a product": (
        STEEL,
        'product = "epoxy-primer"\n',
        "",
        '[[step]]\nname = "Epoxy primer"',
        "a coat needs a 'product'",
    ),
    "a coat continuing no coat": (
        STEEL,
        'product = "epoxy-primer"\n',
        'product = "epoxy-primer"\ncontinues = true\n',
        "continues = true",
        "'continues' needs a coat just before it",
    ),
    "wet on wet onto no coat": (
        STEEL,
        'product = "epoxy-primer"\n',
        'product = "epoxy-primer"\nwet_on_wet = true\n',
        "wet_on_wet = true",
        "'wet_on_wet' needs a coat just before it",
    ),
    "work wet on wet": (
        STEEL,
        'kind = "cure"\n',
        'kind = "cure"\nwet_on_wet = true\n',
        "wet_on_wet = true",
        "only a coat goes on wet on wet",
    ),
    "reversed bands in a step": (
        ZINC,
        '{ is = "drying", until = "14 h" },\n    { is = "open", until = "3 d" }',
        '{ is = "drying", until = "14 h" },\n    { is = "open", until = "13 h" }',
        '"13 h"',
        "this band ends at 13 h, not after the one before it (14 h)",
    ),
    "a tool's distance the wrong way round": (
        TOOLS,
        '["12 cm", "18 cm"]',
        '["18 cm", "12 cm"]',
        '["18 cm", "12 cm"]',
        "distance runs from 18 cm to 12 cm; write the lesser first",
    ),
    "a tool with one distance": (
        TOOLS,
        '["12 cm", "18 cm"]',
        '"15 cm"',
        '"15 cm"\noverlap = ["50 %", "66 %"]',
        "distance reads '15 cm'; write two",
    ),
    "a tool's distance without its other end": (
        TOOLS,
        '["12 cm", "18 cm"]',
        '["15 cm"]',
        '["15 cm"]',
        "distance reads \"['15 cm']\"; write two",
    ),
    "a tool's speed in the wrong unit": (
        TOOLS,
        '["10 cm/s", "15 cm/s"]',
        '["10 cm", "15 cm"]',
        '["10 cm", "15 cm"]',
        "speed: read '10 cm'; wanted a speed, such as 40 cm/s",
    ),
    "two tools of one key": (
        TOOLS,
        'key = "roller"',
        'key = "brush" # again',
        "# again",
        "a second tool 'brush'; each needs a key of its own",
    ),
    "a shape among the tools": (
        TOOLS,
        '[[tool]]\nkey = "roller"',
        '[[shape]]\nkey = "roller"',
        "[[shape]]",
        "'shape' does not belong here; there are only [[tool]] entries",
    ),
    "a shape without faces": (
        SHAPES,
        'faces = ["ALL"]',
        "faces = []",
        "faces = []",
        "no faces; name at least one",
    ),
    "a face twice": (
        SHAPES,
        '["A", "B", "EDGE"]',
        '["A", "A", "EDGE"]',
        '["A", "A", "EDGE"]',
        "'A' stands twice in faces; each needs its own name",
    ),
}


@pytest.mark.parametrize("fault", BROKEN)
def test_a_broken_file_is_refused_with_its_line_and_what_would_be_right(
    root: Path, fault: str
) -> None:
    file, old, new, marker, told = BROKEN[fault]
    text = (root / file).read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
    text = text.replace(old, new)
    line, words = refusal(root, file, text)
    assert line == line_with(text, marker)
    assert told in words


def test_a_file_cut_off_in_the_middle_is_refused_at_its_last_line(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8")
    text = text[: text.index(WAIT_24_H)]
    line, words = refusal(root, ETCH, text)
    assert line == len(text.splitlines())
    assert "not TOML" in words


def test_bands_written_under_brackets_are_pointed_at_too(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8")
    start, end = text.index("# At least 24 h"), text.index("tool =")
    bands = '[[band]]\nis = "wet"\nuntil = "15 min"\n\n[[band]] # wrong\nis = "wait"\nuntil = "5 min"\n\n'
    text = text[:start] + text[end:] + bands + '[[band]]\nis = "open"\n'
    line, words = refusal(root, ETCH, text)
    assert line == line_with(text, "[[band]] # wrong")
    assert "not after the one before it" in words


def test_a_step_with_one_bracket_is_refused_at_it(root: Path) -> None:
    text = 'name = "New"\nsubstrate = "zinc"\n\n[step]\nname = "Cure"\nkind = "cure"\n'
    assert refusal(root, ZINC, text) == (
        4,
        "write [[step]] with two brackets: there may be several",
    )


def test_a_key_below_the_bands_is_said_not_to_belong_to_a_band(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8")
    start, end = text.index("# At least 24 h"), text.index("tool =")
    text = text[:start] + text[end:] + '[[band]]\nis = "open"\ninduction = "15 min"\n'
    line, words = refusal(root, ETCH, text)
    assert line == line_with(text, "induction")
    assert "'induction' does not belong in a band" in words


def test_a_film_in_a_table_of_its_own_is_pointed_at_by_its_figure(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8")
    start = text.index("film =")
    end = text.index("\n", start) + 1
    film = '\n[film]\nleast = "8 um"\ntarget = "12 l"\nmost = "15 um"\n'
    text = text[:start] + text[end:] + film
    line, words = refusal(root, ETCH, text)
    assert line == line_with(text, '"12 l"')
    assert "target: read '12 l'; wanted a film" in words


def test_a_route_that_would_never_be_cured_is_refused_at_its_last_coat(root: Path) -> None:
    enamel = root / ENAMEL
    text = re.sub(r"full_cure = .*\n", "", enamel.read_text(encoding="utf-8"))
    enamel.write_text(text, encoding="utf-8")
    route = (root / ZINC).read_text(encoding="utf-8")
    line, words = refusal(root, ZINC, route)
    assert line == line_with(route, 'name = "Aerosol top coat 2"') + 2
    assert "'enamel-aerosol', has no full_cure in its file" in words


def test_a_file_that_is_not_utf_8_is_refused_with_its_line(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8").replace("Zinc etch", "Zinc \N{MICRO SIGN}tch")
    (root / ETCH).write_bytes(text.encode("latin-1"))
    with pytest.raises(BadSeed, match=r"etch-primer\.toml:3: not UTF-8 text; save it as UTF-8"):
        seed_files.load(root)


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(root: Path) -> None:
    text = (root / ETCH).read_text(encoding="utf-8").replace("\n", "\r\n")
    (root / ETCH).write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert seed_files.load(root) == seed_files.load(SHIPPED)
    broken = text.replace('least = "8 um"', 'least = "8 h"')
    (root / ETCH).write_bytes(b"\xef\xbb\xbf" + broken.encode())
    with pytest.raises(
        BadSeed, match=rf"etch-primer\.toml:{line_with(broken, 'film =')}: film least"
    ):
        seed_files.load(root)


@pytest.mark.parametrize("gone", [TOOLS, SHAPES])
def test_a_missing_file_is_named(root: Path, gone: str) -> None:
    (root / gone).unlink()
    with pytest.raises(BadSeed, match=rf"{gone}: cannot be read: No such file"):
        seed_files.load(root)


def test_an_empty_file_and_an_empty_folder_are_named(root: Path) -> None:
    (root / TOOLS).write_text("")
    with pytest.raises(BadSeed, match=r"tools\.toml:1: no \[\[tool\]\] in this file"):
        seed_files.load(root)
    shutil.copy(SHIPPED / TOOLS, root / TOOLS)
    shutil.rmtree(root / "routes")
    with pytest.raises(BadSeed, match=r"routes: no \.toml files"):
        seed_files.load(root)


def test_densities_are_read_by_role(root: Path) -> None:
    text = (root / EPOXY).read_text(encoding="utf-8")
    line = 'densities = { base = "1,4 g/ml", hardener = "1000 g/l" }\nratio ='
    (root / EPOXY).write_text(text.replace("ratio =", line), encoding="utf-8")
    epoxy = seed_files.load(root).products["epoxy-primer"]
    assert epoxy.densities == {"base": 1.4, "hardener": 1.0}


@pytest.mark.parametrize("file", [ETCH, STEEL])
def test_a_file_with_any_one_line_lost_still_loads_or_is_refused_by_line(
    root: Path, file: str
) -> None:
    lines = (root / file).read_text(encoding="utf-8").splitlines(keepends=True)
    for lost in range(0, len(lines), 1 if simulation.LONG else 7):
        (root / file).write_text("".join(lines[:lost] + lines[lost + 1 :]), encoding="utf-8")
        told = ""
        try:
            seed_files.load(root)
        except BadSeed as fault:
            told = str(fault)
        found = re.match(rf"{re.escape(str(root))}/[a-z/-]+\.toml:(\d+): ", told)
        assert not told or (found and 1 <= int(found[1]) <= len(lines)), told
