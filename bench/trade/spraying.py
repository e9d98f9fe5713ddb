"""The gun: film laid by a pass, what a wrong distance or angle does to it, what went wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bench.trade import checked

PRACTICE = "common practice, no source"

MOST_OVERLAP_PCT = 90.0
"""Past this every spot gets ten passes and more: a slip of the key (no source)."""


@dataclass(frozen=True)
class SprayFilm:
    """Mean film of one coat over the whole face, in um, before and after drying."""

    wet_um: float
    dry_um: float


@dataclass(frozen=True)
class ArcFilm:
    """Share of the square-on film where a swung wrist holds the gun at an angle, 0 to 1.

    ``sweep`` counts the faster sweep alone, ``sweep_and_fan`` the wider fan as well.
    """

    sweep: float
    sweep_and_fan: float


@dataclass(frozen=True)
class Symptom:
    """What is seen on the part, what likely did it, what to do on the next pass."""

    words: tuple[str, ...]
    seen: str
    cause: str
    next_pass: str


SYMPTOMS = (
    Symptom(
        ("run", "sag", "curtain", "ripple", "shiny"),
        "runs, sags, ripples",
        "too close or too slow",
        "5 cm further off, or faster",
    ),
    Symptom(
        ("orange peel", "hammered"),
        "dimpled (orange peel)",
        "paint too thick or air too low, or too close in low air",
        "thin 5 %, 0.2 bar more",
    ),
    Symptom(
        ("sandy", "dry spray", "dull", "furry"),
        "sandy, dull, furry edges",
        "too far off, too hot or too much air",
        "5 cm closer",
    ),
    Symptom(
        ("stripes", "light and dark"),
        "stripes, light and dark",
        "overlap under a half",
        "step half the fan",
    ),
    Symptom(
        ("thin ends", "thick middle"),
        "thick in the middle, thin at the ends",
        "the wrist swings in an arc",
        "move the arm, not the wrist",
    ),
    Symptom(
        ("heavy ends", "heavy start", "heavy stop"),
        "heavy where the pass starts and stops",
        "trigger pulled or let go over the part",
        "pull and let go off the part",
    ),
    Symptom(
        ("bare ring", "bare inside", "channel"),
        "bare ring inside channels",
        "the fan cannot get in",
        "mini-gun, round fan, inside first",
    ),
    Symptom(
        ("sputter", "spitting", "weak can"),
        "the can sputters and goes weak",
        "the can is cold from long bursts",
        "swap to the warm can",
    ),
)
"""From what is seen to the next pass (common practice, no source)."""


def film_of_pass(
    flow_ml_min: float,
    fan_cm: float,
    speed_cm_s: float,
    overlap_pct: float,
    transfer_pct: float,
    solids_pct: float,
) -> SprayFilm:
    """Return the mean film of one coat from what leaves the gun and how fast it is moved.

    ``flow_ml_min`` of mixed paint; ``overlap_pct`` of the fan; ``transfer_pct`` of it lands;
    ``solids_pct`` by volume of the mix as sprayed.
    Range: flow 1 to 5000 ml/min; fan 1 to 100 cm; speed 1 to 200 cm/s; overlap 0 to 90 %; transfer
    1 to 100 %; solids 1 to 100 %. Raises ValueError outside it.
    A mean: the fan lays more in its middle, and an open frame lets much of it past.
    Source: balance of volumes, wet = flow * transfer / (speed * fan * (1 - overlap)).

    >>> laid = film_of_pass(200, 25, 46, 50, 65, 40)
    >>> round(laid.wet_um, 1), round(laid.dry_um, 1)
    (37.7, 15.1)
    """
    checked.number(flow_ml_min, "flow", "ml/min", least=1, most=5000)
    checked.number(speed_cm_s, "speed", "cm/s", least=1, most=200)
    checked.number(transfer_pct, "transfer", "%", least=1, most=100)
    checked.number(solids_pct, "volume solids", "%", least=1, most=100)
    covered_cm2_s = speed_cm_s * _step_cm(fan_cm, overlap_pct)
    landed_cm3_s = flow_ml_min / 60 * transfer_pct / 100
    wet_um = landed_cm3_s / covered_cm2_s * 10_000
    return SprayFilm(wet_um, wet_um * solids_pct / 100)


def distance_ratio(meant_cm: float, held_cm: float) -> float:
    """Return the film laid at ``held_cm`` as a share of that at ``meant_cm``: nearer is above 1.

    The fan widens with distance, the paint in it stays. Too far off the true loss is greater,
    since more of it also dries and drifts on the way; 10 cm too far is often half the wet film
    (common practice, no source).
    Range: 3 to 100 cm each. Raises ValueError outside it. Source: geometry.

    >>> round(distance_ratio(20, 30), 3)
    0.667
    """
    checked.number(meant_cm, "distance meant", "cm", least=3, most=100)
    checked.number(held_cm, "distance held", "cm", least=3, most=100)
    return meant_cm / held_cm


def arc_ratio(angle_deg: float) -> ArcFilm:
    """Return the share of the square-on film where the wrist has swung ``angle_deg`` out of square.

    At a steady swing the spot sweeps faster by 1/cos2 and the fan is wider by 1/cos.
    Range: 0 to 60 degrees either way. Raises ValueError outside it. Source: geometry.

    >>> arc = arc_ratio(30)
    >>> round(arc.sweep, 2), round(arc.sweep_and_fan, 2)
    (0.75, 0.65)
    """
    checked.number(angle_deg, "angle", "degrees", least=-60, most=60)
    square_on = math.cos(math.radians(angle_deg))
    return ArcFilm(square_on**2, square_on**3)


def fan_edge_share(fan_cm: float, distance_cm: float) -> float:
    """Return the film at the edge of the fan as a share of its middle: why passes must overlap.

    For a fan that throws the same into every degree; real fans taper more.
    Range: fan 1 to 100 cm; distance 3 to 100 cm. Raises ValueError outside it.
    Source: geometry, cos2 of the half angle of the fan.

    >>> round(fan_edge_share(25, 20), 2)
    0.72
    """
    checked.number(fan_cm, "fan", "cm", least=1, most=100)
    checked.number(distance_cm, "distance", "cm", least=3, most=100)
    return math.cos(math.atan(fan_cm / 2 / distance_cm)) ** 2


def passes_to_cover(height_cm: float, fan_cm: float, overlap_pct: float) -> int:
    """Return how many passes cover a face of ``height_cm``, the first and last fan within it.

    Range: height 1 to 2000 cm; fan 1 to 100 cm; overlap 0 to 90 %. Raises ValueError outside it.
    Source: geometry.

    >>> passes_to_cover(100, 25, 50)
    7
    """
    checked.number(height_cm, "height", "cm", least=1, most=2000)
    step_cm = _step_cm(fan_cm, overlap_pct)
    # Rounded first, so that 100 cm in steps of 12.5 does not need one pass more by a hair.
    return max(math.ceil(round((height_cm - fan_cm) / step_cm, 9)), 0) + 1


def symptoms_like(word: str) -> tuple[Symptom, ...]:
    """Return the symptoms that a word describes, with likely cause and next pass.

    The word may be part of a name or a plural ("runs", "sandy", "peel"), in any case.
    Raises ValueError for an unknown word, listing those known.
    Source: common practice, no source.

    >>> [symptom.next_pass for symptom in symptoms_like("sandy")]
    ['5 cm closer']
    """
    folded = " ".join(word.lower().split())
    matches = tuple(
        each for each in SYMPTOMS if folded and any(_alike(folded, w) for w in each.words)
    )
    if not matches:
        names = ", ".join(each.words[0] for each in SYMPTOMS)
        raise ValueError(
            f"read '{word[:30]}', which names nothing seen here; wanted one of {names}"
        )
    return matches


def _step_cm(fan_cm: float, overlap_pct: float) -> float:
    checked.number(fan_cm, "fan", "cm", least=1, most=100)
    checked.number(overlap_pct, "overlap", "%", least=0, most=MOST_OVERLAP_PCT)
    return fan_cm * (1 - overlap_pct / 100)


def _alike(folded: str, word: str) -> bool:
    return folded.startswith(word) or (len(folded) >= 3 and folded in word)
