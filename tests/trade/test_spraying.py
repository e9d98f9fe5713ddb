"""The gun: film of a pass, errors of distance and angle, what went wrong."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.spraying import (
    SYMPTOMS,
    Symptom,
    arc_ratio,
    distance_ratio,
    fan_edge_share,
    film_of_pass,
    passes_to_cover,
    symptoms_like,
)

GUN = {
    "flow_ml_min": 200.0,
    "fan_cm": 25.0,
    "speed_cm_s": 45.0,
    "overlap_pct": 50.0,
    "transfer_pct": 40.0,
    "solids_pct": 39.1,
}


@given(st.floats(10, 2500), st.floats(2, 50), st.floats(2, 100), st.floats(0, 80))
def test_twice_the_flow_at_twice_the_speed_lays_the_same(
    flow: float, fan: float, speed: float, overlap: float
) -> None:
    one = film_of_pass(flow, fan, speed, overlap, 40, 39.1)
    other = film_of_pass(2 * flow, fan, 2 * speed, overlap, 40, 39.1)
    assert one.wet_um == pytest.approx(other.wet_um)


@given(st.floats(1, 100), st.floats(1, 100))
def test_dry_film_is_the_solids_of_the_wet(transfer: float, solids: float) -> None:
    laid = film_of_pass(**{**GUN, "transfer_pct": transfer, "solids_pct": solids})
    assert laid.dry_um == pytest.approx(laid.wet_um * solids / 100)


@given(st.floats(0, 90), st.floats(0, 90))
def test_more_overlap_never_lays_less(one: float, other: float) -> None:
    less, more = (
        film_of_pass(**{**GUN, "overlap_pct": pct}).wet_um for pct in sorted((one, other))
    )
    assert less <= more


@given(st.floats(3, 100), st.floats(3, 100))
def test_a_distance_error_the_other_way_undoes_it(meant: float, held: float) -> None:
    assert distance_ratio(meant, held) * distance_ratio(held, meant) == pytest.approx(1)


@given(st.floats(0, 60), st.floats(0, 60))
def test_a_wider_swing_never_lays_more(one: float, other: float) -> None:
    small, large = (arc_ratio(angle) for angle in sorted((one, other)))
    assert large.sweep <= small.sweep
    assert large.sweep_and_fan <= small.sweep_and_fan
    assert small.sweep_and_fan <= small.sweep <= 1


@given(st.floats(1, 60))
def test_a_swing_to_either_side_is_the_same(angle: float) -> None:
    assert arc_ratio(angle) == arc_ratio(-angle)


@given(st.floats(1, 100), st.floats(3, 100))
def test_the_edge_of_the_fan_is_thinner_than_its_middle(fan: float, distance: float) -> None:
    assert 0 < fan_edge_share(fan, distance) < 1


@given(st.floats(1, 2000), st.floats(1, 100), st.floats(0, 90))
def test_the_passes_reach_across_and_none_is_spare(
    height: float, fan: float, overlap: float
) -> None:
    passes, step = passes_to_cover(height, fan, overlap), fan * (1 - overlap / 100)
    assert fan + (passes - 1) * step >= height - 1e-6
    assert passes == 1 or fan + (passes - 2) * step < height + 1e-6


def test_a_bracket_narrower_than_the_fan_takes_one_pass() -> None:
    assert passes_to_cover(8, 25, 50) == 1


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"flow_ml_min": 0}, "flow 0 ml/min"),
        ({"fan_cm": -25}, "fan -25 cm"),
        ({"speed_cm_s": 0}, "speed 0 cm/s"),
        ({"overlap_pct": 100}, "overlap 100 %: must be at least 0, up to 90 %"),
        ({"overlap_pct": -5}, "overlap -5 %"),
        ({"transfer_pct": 120}, "transfer 120 %"),
        ({"solids_pct": 0}, "volume solids 0 %: must be at least 1, up to 100 %"),
        ({"flow_ml_min": math.nan}, "flow nan ml/min"),
    ],
)
def test_a_pass_that_cannot_be_is_refused(wrong: dict[str, float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        film_of_pass(**{**GUN, **wrong})


def test_a_distance_or_angle_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="distance held 0 cm: must be at least 3, up to 100 cm"):
        distance_ratio(20, 0)
    with pytest.raises(ValueError, match="angle 90 degrees: must be at least -60, up to 60"):
        arc_ratio(90)


@pytest.mark.parametrize(
    ("word", "next_pass"),
    [
        ("sandy", "5 cm closer"),
        ("Runs", "5 cm further off, or faster"),
        ("peel", "thin 5 %, 0.2 bar more"),
        ("  stripes ", "step half the fan"),
        ("thick middle", "move the arm, not the wrist"),
        ("heavy stop", "pull and let go off the part"),
        ("channels", "mini-gun, round fan, inside first"),
        ("sputters", "swap to the warm can"),
    ],
)
def test_a_symptom_word_gives_the_next_pass(word: str, next_pass: str) -> None:
    """Common practice, no source."""
    assert [found.next_pass for found in symptoms_like(word)] == [next_pass]


def test_each_symptom_is_found_by_each_of_its_words() -> None:
    for symptom in SYMPTOMS:
        for word in (*symptom.words, *(f"{word}s" for word in symptom.words)):
            assert symptom in symptoms_like(word)


@pytest.mark.parametrize("word", ["", "   ", "purple", "x"])
def test_an_unknown_word_is_refused_with_the_list(word: str) -> None:
    with pytest.raises(ValueError, match="wanted one of run, orange peel, sandy, stripes"):
        symptoms_like(word)


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=lambda symptom: symptom.words[0])
def test_every_symptom_has_a_cause_and_a_next_pass(symptom: Symptom) -> None:
    assert symptom.seen
    assert symptom.cause
    assert symptom.next_pass
