"""The fields of a job record as JSON: what ``as_json`` writes, and what its schema is made of.

Every field is always there; what is not known is null or empty. Values with fields of their own,
such as a face, are the bench's own.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel

from bench.process.parts.job import CoatFilm
from bench.process.parts.part import Mark, StepStatus, Weight
from bench.process.parts.zinc_answers import Galvanised
from bench.process.sheets.route import StepKind
from bench.process.stock.instruments import Instrument
from bench.shop.records.deviations import DeviationKind
from bench.shop.records.hold_points import HoldPoint
from bench.shop.records.job_record import Defect, Lot, SheetTin, When
from bench.trade.ageing import Basis

FORM: Literal["paintbench sheet"] = "paintbench sheet"
VERSION: Literal[2] = 2


class _Exact(BaseModel, extra="forbid"):
    """Holds these fields and no other."""


class CorrectionJson(_Exact):
    """A fact that was corrected later, by its entry in the log."""

    line: int
    at: datetime
    by: str
    text: str
    doubtful: bool


class DataSheetJson(_Exact):
    """The version of the data sheet that counted; since: null before versions were kept."""

    since: datetime | None
    as_of_the_upgrade: bool


class PourJson(_Exact):
    """How much of one part was poured."""

    role: str
    ml: float


class PotJson(_Exact):
    """A pot that a coat was sprayed from; faces: those of it, empty where the whole coat was."""

    number: int
    letter: str
    faces: list[str]
    product: str
    mixed_at: datetime
    use_from: datetime
    bin_by: datetime | None
    basis: Basis
    total_ml: float | None
    pours: list[PourJson]
    by: str
    binned_at: datetime | None
    binned_ml: float | None
    tins: list[SheetTin]
    corrections: list[CorrectionJson]
    data_sheet: DataSheetJson | None


class ReadingJson(_Exact):
    """Air and surface beside a coat, in C and percent."""

    number: int
    at: datetime
    when: When
    air_c: float
    rh_pct: float | None
    metal_c: float | None
    dew_point_c: float | None
    margin_c: float | None
    by: str
    corrections: list[CorrectionJson]


class TestJson(_Exact):
    """One painter's test of a coat; wait_s: how much longer he wanted it to wait."""

    at: datetime
    by: str
    passed: bool
    wait_s: float


class ReadingsJson(_Exact):
    """Readings that one painter took of one kind, as the instrument showed them."""

    number: int
    at: datetime
    face: str
    readings: list[float]
    grade: str
    instrument: str
    surface: str
    less_um: float
    struck: bool
    by: str


class MeasuredJson(_Exact):
    """What was measured of one kind at one step, and what all its readings come to."""

    kind: str
    unit: str
    method: str
    sets: list[ReadingsJson]
    count: int
    mean: float | None
    least: float | None
    most: float | None
    verdict: str
    accepted: bool | None
    still_to_take: int


class DeviationJson(_Exact):
    """What did not go by the route or the sheets, and at which step, empty for the part."""

    what: str
    step: str
    kind: DeviationKind
    at: datetime | None
    by: str


class OrderJson(_Exact):
    """What was agreed of the job: how it came, and its paint system in the words of ISO 12944."""

    order_number: str
    received_on: date | None
    condition: str
    galvanised_on: date | None
    coats: list[CoatFilm]
    in_all_um: float | None
    corrosivity: str
    durability: str


class StepJson(_Exact):
    """One step of the route as it went; first_at and last_at are its first and last face."""

    number: int
    name: str
    kind: StepKind
    product: str
    status: StepStatus
    first_at: datetime | None
    last_at: datetime | None
    painters: list[str]
    weight: Weight
    wet_um: float | None
    dry_um: float | None
    faces: list[Mark]
    tests: list[TestJson]
    test_named: str
    passed_at: datetime | None
    passed_by: str
    reason: str
    flags: list[str]
    tool: str
    pots: list[PotJson]
    tins: list[SheetTin]
    readings: list[ReadingJson]
    corrections: list[CorrectionJson]
    doubtful: bool
    typed_later_at: datetime | None
    data_sheet: DataSheetJson | None
    measured: list[MeasuredJson]


class ProductJson(_Exact):
    """A product that the part was painted with; source: sheet or placeholder."""

    key: str
    name: str
    kind: str
    source: Literal["sheet", "placeholder"]
    ratio: str
    thinner: str
    volume_solids_pct: float | None
    film_least_um: float | None
    film_target_um: float | None
    film_most_um: float | None
    film_in_all_um: float | None
    isocyanate: bool
    colour: str
    issued: str
    shelf_life_s: float
    flash_point_c: float | None
    voc_g_l: float | None
    tool: str
    test: str


class NoteJson(_Exact):
    """What somebody wrote on the part; struck: taken back later."""

    at: datetime
    by: str
    text: str
    struck: bool


class CureJson(_Exact):
    """When it is cured, as the bench shows it."""

    coat: str
    product: str
    last_face_at: datetime
    contact_at: datetime | None
    full_cure_at: datetime | None
    rests_on: str
    passed_at: datetime | None
    passed_by: str


class EntryJson(_Exact):
    """An entry of the log."""

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


class PartJson(_Exact):
    """A part and all that was done to it."""

    written_at: datetime
    doubtful: bool
    tag: str
    name: str
    count: int
    job: str
    owner: str
    substrate: str
    zinc: Galvanised | None
    shape: str
    area_m2: float | None
    route: str
    stand: int | None
    last_stand: int | None
    away: bool
    left_at: datetime | None
    split_from: str
    merged_into: str
    lots: list[Lot]
    hold: str
    rework: str
    bungs_in: int
    bungs_out: int
    contacts: int
    contacts_done: int
    state: str
    opens_at: datetime | None
    closes_at: datetime | None
    left_to_do: int
    steps: list[StepJson]
    products: list[ProductJson]
    measured_before: list[MeasuredJson]
    instruments: list[Instrument]
    order: OrderJson | None
    hold_points: list[HoldPoint]
    deviations: list[DeviationJson]
    defects: list[Defect]
    notes: list[NoteJson]
    cure: CureJson | None
    corrections: list[CorrectionJson]
    journal: list[EntryJson]


class RecordJson(_Exact):
    """A job record as `paintbench sheet --form json` writes it."""

    form: Literal["paintbench sheet"]
    version: Literal[2]
    sheet: PartJson


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a job record, as Pydantic writes it (draft 2020-12)."""
    return RecordJson.model_json_schema(mode="serialization")
