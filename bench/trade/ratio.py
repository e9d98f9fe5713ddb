"""Reading a mixing ratio as tins print it, and saying it back in words.

Position never tells the part: a ratio is read, said in words, and made into a ``mixing.Ratio``
only when every part has a role and every doubt of the notation is answered. Source of the
notations and of what is asked: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest
from typing import Literal

from bench.trade import mixing
from bench.trade.mixing import MOST_PART, MOST_PARTS, By, Of, Ratio, Share

Ask = Literal["roles", "by", "of", "sure"]

QUESTIONS: dict[Ask, str] = {
    "roles": "which part is which? name each: base, hardener, activator or thinner",
    "by": "by volume or by weight?",
    "of": "percent of what: the base, all but the thinner (mixed), or the whole (total)?",
    "sure": "that is as much thinner as paint: sure?",
}
LONGEST_TEXT = 80
MOST_PCT = 100.0
KIT_MAY_MISS = 0.02
"""Share by which the tins of a kit may miss its ratio (common practice, no source)."""


@dataclass(frozen=True)
class RatioReading:
    """What was read, before it may be used.

    parts: as printed, reduced where the first was 100; empty while a dilution percent waits to hear
    percent of what. roles: only where the words name them. thinner_pct: least and most. of and by:
    None while open. asks: what a person has to answer.
    """

    text: str
    parts: tuple[float, ...]
    by: By | None = "volume"
    roles: tuple[str, ...] = ()
    thinner_pct: tuple[float, float] | None = None
    of: Of | None = None
    dilution_pct: float | None = None
    asks: tuple[Ask, ...] = ("roles",)


_N = r"(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_PCT = rf"(?P<least>{_N})\s*(?:-\s*(?P<most>{_N})\s*)?%"
_MAIN = re.compile(
    rf"(?P<parts>{_N}(?:\s*:\s*{_N})*(?:\s*\+\s*{_N}(?![0-9.,]*\s*(?:-\s*{_N}\s*)?%))*)"
    rf"(?:\s*\+\s*{_PCT}(?:\s*thinner)?)?"
)
_LONE_PCT = re.compile(_PCT)
_THIN_PCT = re.compile(rf"thin(?:ned)?\s+{_PCT}")
_PCT_THIN = re.compile(rf"{_PCT}\s*(?:thinned|thinner)")
_THIN_PARTS = re.compile(rf"thin(?:ned)?\s+(?P<paint>{_N})\s*:\s*(?P<thinner>{_N})")
_LET_DOWN = re.compile(rf"let\s+down\s+{_PCT}")
_ONE_IN = re.compile(rf"(?P<one>{_N})\s+in\s+(?P<whole>{_N})")
_KIT = re.compile(rf"\((?P<tins>\s*{_N}\s*m?l(?:\s*\+\s*{_N}\s*m?l)+)\s*(?:kit)?\s*\)")
_TIN = re.compile(rf"({_N})\s*(m?l)")
_WEIGHT = re.compile(r"\b(?:w/w|m/m|pbw|phr|(?:parts?\s+)?by\s+weight)(?!\w)")
_VOLUME = re.compile(r"\b(?:v/v|pbv|(?:parts?\s+)?by\s+vol(?:ume)?)(?!\w)")
_LEAD = re.compile(r"^(?:mix(?:ing)?\s+)?ratio\s+|^mix\s+")
_SHOP_TALK = re.compile(r"\b(?:parts?|jugs?|cups?|tins?|lids?)\b")
_EXTRA = re.compile(r"\b(?:drops?|retarder|accelerator|max(?:imum)?)\b")
_NO_MIX = ("ready to spray", "ready for use", "no thinner")
_RIGHT = "write 4:1, 4:1:1, 2:1+10%, 5:1 + 10-20 %, 1,5:1, 100:25 w/w or 1 in 10"
_SAME_SIGNS = str.maketrans({"\u2013": "-", "\u2014": "-", "\u2212": "-", "\uff05": "%",
                             "\uff1a": ":", "\u2236": ":", "\u00a0": " "})  # fmt: skip


def read_ratio(text: str) -> RatioReading:
    """Read a ratio in any notation that tins use. By volume unless it says otherwise.

    Raises ValueError with what was read, why it is refused and how to write it: nothing, letters, a
    part of nothing or over 50, a missing or a negative part, more than four parts, a percent over
    100, an additive, shop talk without a unit, a kit whose tins do not match.

    >>> read_ratio("4:1:1").parts, read_ratio("4:1:1").asks
    ((4.0, 1.0, 1.0), ('roles',))
    >>> read_ratio("5:1 + 10-20 %").thinner_pct, read_ratio("5:1 + 10-20 %").asks
    ((10.0, 20.0), ('roles', 'of'))
    """
    plain = " ".join(text.translate(_SAME_SIGNS).lower().split())
    if not plain or len(plain) > LONGEST_TEXT or not plain.isprintable():
        raise _fault(text, "nothing to read" if not plain else "not a ratio")
    if plain in _NO_MIX:
        return RatioReading(text, (1.0,), roles=("base",), asks=())
    _refuse_known_faults(text, plain)
    by, plain = _take_measure(_LEAD.sub("", plain))
    plain, tins_ml = _take_kit(plain)
    reading = _read_words(text, plain) or _read_parts(text, plain)
    reading = _checked(reading if by is None else replace(reading, by=by))
    _check_kit(reading, tins_ml)
    return replace(reading, asks=_asks(reading))


def question(reading: RatioReading, ask: Ask) -> str:
    """Return the question to put to a person for one of a reading's asks.

    >>> question(read_ratio("10 %"), "of")
    '10 % of the whole (total), or added to 100 of the rest (mixed)?'
    """
    if ask == "of" and reading.dilution_pct is not None:
        pct = f"{reading.dilution_pct:g} %"
        return f"{pct} of the whole (total), or added to 100 of the rest (mixed)?"
    return QUESTIONS[ask]


def in_words(
    reading: RatioReading, roles: Sequence[str] = (), of: Of | None = None, by: By | None = None
) -> str:
    """Say a reading back, with the answers so far; what is still open shows as a question.

    >>> in_words(read_ratio("5:1+10%"), ("base", "hardener"), "mixed")
    '5 parts base, 1 part hardener, by volume, then 10 % thinner of the two'
    >>> in_words(read_ratio("100:25"))
    '4 parts of ?, 1 part of ?, by volume or by weight?'
    """
    parts = _resolve(reading, of).parts
    if not parts:
        return question(reading, "of")
    names = reading.roles or tuple(roles)
    phrases = [
        f"{size:g} {'part' if size == 1 else 'parts'} {role or 'of ?'}"
        for size, role in zip_longest(parts, names[: len(parts)])
    ]
    if len(parts) > 1:
        phrases.append(f"by {by or reading.by}" if by or reading.by else "by volume or by weight?")
    if reading.thinner_pct:
        phrases.append(_thinner_in_words(reading.thinner_pct, len(parts), of or reading.of))
    return ", ".join(phrases)


def to_ratio(
    reading: RatioReading,
    roles: Sequence[str] = (),
    of: Of | None = None,
    by: By | None = None,
    thinner_pct: float | None = None,
    sure: bool = False,
) -> Ratio:
    """Make a ratio that can be mixed from a reading and the answers to what it asks.

    roles: one a part, in the order read. thinner_pct: where a range was read, what is used; the
    least of it by default. sure: yes to as much thinner as paint, or to more hardener than base.
    Raises ValueError while an answer is missing or does not fit.

    >>> to_ratio(read_ratio("2:1+10%"), ("base", "hardener"), of="mixed").thinner_pct
    10.0
    >>> to_ratio(read_ratio("4:1:1"))
    Traceback (most recent call last):
    ValueError: '4:1:1': which part is which? name each: base, hardener, activator or thinner
    """
    answers: dict[Ask, bool] = {
        "roles": bool(roles), "of": of is not None, "by": by is not None, "sure": sure,
    }  # fmt: skip
    open_asks = [question(reading, ask) for ask in reading.asks if not answers[ask]]
    if open_asks:
        raise ValueError(f"{reading.text!r}: {'; '.join(open_asks)}")
    settled = _resolve(reading, of)
    names = settled.roles or tuple(roles)
    if len(names) != len(settled.parts):
        raise ValueError(
            f"{reading.text!r}: {len(settled.parts)} parts but {len(names)} names; name each once"
        )
    shares = tuple(Share(role, size) for role, size in zip(names, settled.parts, strict=True))
    _check_way_round(reading.text, shares, sure)
    ratio = Ratio(
        shares,
        by or settled.by or "volume",
        _pct_to_use(settled, thinner_pct),
        of or settled.of or "mixed" if settled.thinner_pct else "mixed",
    )
    mixing.check_ratio(ratio)
    return ratio


def _fault(text: str, why: str) -> ValueError:
    return ValueError(f"ratio {text[:LONGEST_TEXT]!r}: {why}; {_RIGHT}")


def _refuse_known_faults(text: str, plain: str) -> None:
    if _EXTRA.search(plain):
        raise _fault(text, "an additive is no part of the ratio, it counts against the thinner")
    if re.search(r":\s*:|^\s*:|:\s*$", plain):
        raise _fault(text, "a part is missing beside a colon")
    if re.search(r"(?:^|[:+(])\s*-\s*[0-9.,]", plain):
        raise _fault(text, "a part or a percent cannot be negative")


def _take_measure(plain: str) -> tuple[By | None, str]:
    weight, volume = _WEIGHT.search(plain), _VOLUME.search(plain)
    if weight and volume:
        raise _fault(plain, "by weight and by volume at once")
    match = weight or volume
    if not match:
        return None, plain
    rest = f"{plain[: match.start()]} {plain[match.end() :]}"
    return ("weight" if weight else "volume"), re.sub(r"\s*\bparts?\b\s*", " ", rest).strip()


def _take_kit(plain: str) -> tuple[str, tuple[float, ...]]:
    match = _KIT.search(plain)
    if not match:
        return plain, ()
    tins = _TIN.findall(match["tins"])
    mls = tuple(_number(size) * (1 if unit == "ml" else 1000) for size, unit in tins)
    return f"{plain[: match.start()]} {plain[match.end() :]}".strip(), mls


def _check_kit(reading: RatioReading, tins_ml: tuple[float, ...]) -> None:
    if not tins_ml:
        return
    if (
        len(tins_ml) != len(reading.parts)
        or min(tins_ml) <= 0
        or any(
            abs(ml / tins_ml[0] / (size / reading.parts[0]) - 1) > KIT_MAY_MISS
            for ml, size in zip(tins_ml, reading.parts, strict=True)
        )
    ):
        tins = " + ".join(f"{ml:g} ml" for ml in tins_ml)
        raise _fault(reading.text, f"the kit holds {tins}, which is another ratio")


def _read_words(text: str, plain: str) -> RatioReading | None:
    """Read the notations that say by words what they mean; None for any other."""
    if match := _ONE_IN.fullmatch(plain):
        part, whole = _number(match["one"]), _number(match["whole"])
        if whole <= part:
            raise _fault(text, f"{part:g} in {whole:g} leaves nothing for the rest")
        return RatioReading(text, (part, whole - part))
    if match := _THIN_PARTS.fullmatch(plain):
        sizes = (_number(match["paint"]), _number(match["thinner"]))
        return RatioReading(text, sizes, roles=("base", "thinner"))
    if match := _LET_DOWN.fullmatch(plain):
        return RatioReading(
            text, (1.0,), roles=("base",), thinner_pct=_pct_range(text, match), of="mixed"
        )
    if match := _THIN_PCT.fullmatch(plain) or _PCT_THIN.fullmatch(plain):
        return RatioReading(text, (1.0,), roles=("base",), thinner_pct=_pct_range(text, match))
    if match := _LONE_PCT.fullmatch(plain):
        least, most = _pct_range(text, match)
        if least != most or not 0 < least < 100:
            raise _fault(text, "a dilution is one percent over 0 and under 100")
        return RatioReading(text, (), dilution_pct=least)
    return None


def _read_parts(text: str, plain: str) -> RatioReading:
    match = _MAIN.fullmatch(plain)
    if not match:
        why = "not understood"
        if _SHOP_TALK.search(plain):
            why = "jugs and parts differ: say by volume or by weight"
        elif re.search(r"[^\W\d_]", plain):
            why = "words are not understood here"
        raise _fault(text, why)
    sizes = tuple(_number(size) for size in re.findall(_N, match["parts"]))
    thinner_pct = _pct_range(text, match) if match["least"] else None
    if len(sizes) == 1:
        raise _fault(text, "one part alone is no ratio")
    if sizes[0] == 100:
        return RatioReading(text, _reduce(sizes), by=None, thinner_pct=thinner_pct)
    return RatioReading(text, sizes, thinner_pct=thinner_pct)


def _reduce(sizes: tuple[float, ...]) -> tuple[float, ...]:
    """Return 100:50:20 as 10:5:2; 100:33 as 1:0.33, since 100 parts are over the most."""
    exact = [Fraction(size).limit_denominator(1000) for size in sizes]
    step = exact[0]
    for size in exact[1:]:
        step = Fraction(_gcd(step, size))
    whole = [size / step for size in exact] if step else exact
    if whole[0] <= MOST_PART:
        return tuple(float(size) for size in whole)
    return tuple(float(size / 100) for size in exact)


def _gcd(a: Fraction, b: Fraction) -> Fraction:
    while b:
        a, b = b, a % b
    return a


def _checked(reading: RatioReading) -> RatioReading:
    if len(reading.parts) > MOST_PARTS:
        raise _fault(reading.text, f"{len(reading.parts)} parts, at most {MOST_PARTS}")
    for size in reading.parts:
        if size <= 0:
            raise _fault(reading.text, "a part of nothing")
        if size > MOST_PART:
            raise _fault(reading.text, f"a part of {size:g} is over {MOST_PART:g}")
    return reading


def _asks(reading: RatioReading) -> tuple[Ask, ...]:
    full = reading.thinner_pct is not None and reading.thinner_pct[1] >= MOST_PCT
    open_by_ask: tuple[tuple[Ask, bool], ...] = (
        ("roles", not reading.roles),
        ("by", reading.by is None),
        ("of", reading.of is None and (reading.thinner_pct or reading.dilution_pct) is not None),
        ("sure", full and reading.of is None),
    )
    return tuple(ask for ask, open_ in open_by_ask if open_)


def _resolve(reading: RatioReading, of: Of | None) -> RatioReading:
    """Turn a dilution percent into parts, once it is known if it is of the whole or of the rest."""
    if reading.dilution_pct is None or of is None:
        return reading
    if of == "base":
        raise ValueError(f"{reading.text!r}: {question(reading, 'of')}")
    pct = reading.dilution_pct
    rest = 100 - pct if of == "total" else 100.0
    return _checked(replace(reading, parts=(1.0, rest / pct)))


def _pct_range(text: str, match: re.Match[str]) -> tuple[float, float]:
    least = _number(match["least"])
    most = _number(match["most"]) if match["most"] else least
    if most > MOST_PCT:
        raise _fault(text, f"{most:g} % is over 100 %")
    if most < least:
        raise _fault(text, f"{least:g} to {most:g} % runs backwards")
    return least, most


def _pct_to_use(reading: RatioReading, wanted_pct: float | None) -> float:
    if reading.thinner_pct is None:
        if wanted_pct:
            raise ValueError(f"{reading.text!r} says no thinner: leave {wanted_pct:g} % out")
        return 0.0
    least, most = reading.thinner_pct
    if wanted_pct is None:
        return least
    if not least <= wanted_pct <= most:
        raise ValueError(
            f"thinner {wanted_pct:g} %: {reading.text!r} allows {least:g} to {most:g} %"
        )
    return wanted_pct


def _check_way_round(text: str, shares: tuple[Share, ...], sure: bool) -> None:
    sizes = {share.role: share.parts for share in shares}
    if not sure and sizes.get("hardener", 0) > sizes.get("base", 0):
        raise ValueError(
            f"{text!r}: {sizes['hardener']:g} parts hardener to {sizes.get('base', 0):g} base "
            "looks the wrong way round: some tins print hardener first; sure?"
        )


def _thinner_in_words(pct: tuple[float, float], parts: int, of: Of | None) -> str:
    least, most = pct
    span = f"{least:g} %" if least == most else f"{least:g} to {most:g} %"
    mixed = {1: "of it", 2: "of the two", 3: "of the three"}.get(parts, "of them all")
    what = {"base": "of the base", "mixed": mixed, "total": "of the whole", None: "of what?"}[of]
    return f"then {span} thinner {what}"


def _number(text: str) -> float:
    return float(text.replace(",", "."))
