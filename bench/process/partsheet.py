"""What is known of one part, gathered for its sheet: plain values, hours in the shop's own time.

Nothing here is worked out from anything else here: ``shop/partsheet.py`` fills it in, ``records``
writes it down. The JSON of a sheet is these fields by these names, but for its edges: of those it
holds the hour that is shown (``records.as_json``).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bench.process.edges import Edge
from bench.trade.ageing import Basis

When = Literal["before", "spraying", "drying"]
"""Where a reading lies beside a coat: the last one before its first face, between first and last
face, or after that."""


@dataclass(frozen=True)
class CorrectionTold:
    """A fact that was put right later. text: what it was, what it is, and why."""

    line: int
    at: datetime
    by: str
    text: str
    doubtful: bool = False


@dataclass(frozen=True)
class ReadingTold:
    """Air and metal as they were read. margin_c: the metal over the dew point, or over the frost
    point where that is higher; from the air where the metal was not read. C and percent."""

    number: int
    at: datetime
    when: When
    air_c: float
    rh_pct: float | None
    metal_c: float | None
    dew_point_c: float | None
    margin_c: float | None
    by: str
    corrections: tuple[CorrectionTold, ...] = ()


@dataclass(frozen=True)
class PourTold:
    """One part of a mix as it was poured."""

    role: str
    ml: float


@dataclass(frozen=True)
class TinTold:
    """What was taken from one tin. ml None: nobody measured."""

    role: str
    batch: str
    ml: float | None = None


@dataclass(frozen=True)
class MixTold:
    """The pot a coat was sprayed from. basis: what its end rests on, by ``trade.ageing``.

    number: among all pots, for the letters come again; of a reading likewise.
    """

    number: int
    letter: str
    product: str
    mixed_at: datetime
    use_from: datetime
    bin_by: datetime | None
    basis: Basis
    total_ml: float | None
    pours: tuple[PourTold, ...]
    by: str
    binned_at: datetime | None
    binned_ml: float | None
    tins: tuple[TinTold, ...]
    corrections: tuple[CorrectionTold, ...] = ()


@dataclass(frozen=True)
class ProductTold:
    """A product as the shop's sheet of it stands now. source: ``sheet`` or ``placeholder``."""

    key: str
    name: str
    kind: str
    source: str
    ratio: str
    thinner: str
    volume_solids_pct: float | None
    film_least_um: float | None
    film_target_um: float | None
    film_most_um: float | None
    isocyanate: bool
    tool: str
    test: str


@dataclass(frozen=True)
class TestTold:
    """What one painter said of a coat."""

    __test__ = False
    at: datetime
    by: str
    passed: bool
    wait_s: float


@dataclass(frozen=True)
class FaceTold:
    """A face that was sprayed, or a zone that was wetted and rinsed."""

    name: str
    begun_at: datetime | None
    done_at: datetime | None
    by: str


@dataclass(frozen=True)
class StepTold:
    """One step as it went. kind, status: as in ``process.route`` and ``process.part``.

    doubtful: some of it was written down while the clock was wrong: "at least" that hour.
    """

    number: int
    name: str
    kind: str
    product: str
    status: str
    first_at: datetime | None
    last_at: datetime | None
    painters: tuple[str, ...]
    faces: tuple[FaceTold, ...]
    tests: tuple[TestTold, ...]
    passed_at: datetime | None
    passed_by: str
    reason: str
    flags: tuple[str, ...]
    tool: str
    mix: MixTold | None
    tins: tuple[TinTold, ...]
    readings: tuple[ReadingTold, ...]
    corrections: tuple[CorrectionTold, ...]
    doubtful: bool


@dataclass(frozen=True)
class DefectTold:
    """What was seen to be wrong, and on which step."""

    at: datetime
    by: str
    defect: str
    step: str


@dataclass(frozen=True)
class NoteTold:
    """What a painter wanted the others to know. struck: no longer so."""

    at: datetime
    by: str
    text: str
    struck: bool


@dataclass(frozen=True)
class LineTold:
    """One line of the journal about this part."""

    number: int
    at: datetime
    action: str
    by: str
    terminal: str
    tag: str
    text: str
    undone: bool
    undoes: int | None
    doubtful: bool


@dataclass(frozen=True)
class LotTold:
    """Pieces that were split off, or another lot that was put with this one."""

    tag: str
    count: int
    how: Literal["split off", "put with it"]


@dataclass(frozen=True)
class CureTold:
    """When the last coat is cured.

    contact: where it is past the bands in which it dries; full_cure: by the sheet's table at
    the shop's temperatures, None where it never gets there or the sheet says nothing; rests_on: in
    words what that rests on; passed_at, passed_by: who tested it and says it is cured.
    """

    coat: str
    product: str
    last_face_at: datetime
    contact: Edge | None
    full_cure: Edge | None
    rests_on: str
    passed_at: datetime | None
    passed_by: str


@dataclass(frozen=True)
class Sheet:
    """One part, whole.

    state: the word on its stand; opens and closes: its window; doubtful: the clock is wrong at
    the time of writing; left_to_do: how many steps; cure: None while coats are still to come, or
    none was put on; corrections: of the part itself.
    """

    written_at: datetime
    doubtful: bool
    tag: str
    name: str
    count: int
    job: str
    owner: str
    substrate: str
    shape: str
    route: str
    stand: int | None
    last_stand: int | None
    away: bool
    left_at: datetime | None
    split_from: str
    merged_into: str
    lots: tuple[LotTold, ...]
    hold: str
    rework: str
    bungs_in: int
    bungs_out: int
    contacts: int
    contacts_done: int
    state: str
    opens: Edge | None
    closes: Edge | None
    left_to_do: int
    steps: tuple[StepTold, ...]
    products: tuple[ProductTold, ...]
    defects: tuple[DefectTold, ...]
    notes: tuple[NoteTold, ...]
    cure: CureTold | None
    corrections: tuple[CorrectionTold, ...]
    journal: tuple[LineTold, ...]

    def done_coats(self) -> tuple[StepTold, ...]:
        """The coats that are on it, the first one first."""
        return tuple(s for s in self.steps if s.kind == "coat" and s.status == "done")
