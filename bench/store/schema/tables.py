"""The tables. Instants are aware and stored in UTC; what is stored is when a thing began."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, Index, UniqueConstraint
from sqlmodel import Field, SQLModel


class Row(SQLModel):
    """The base of all tables. Rows are not validated: nothing is built for it until asked."""

    model_config = {"defer_build": True}


class SchemaVersion(Row, table=True):
    """One row: the version of the schema this shop was last written with."""

    __tablename__ = "schema_version"
    id: int = Field(default=1, primary_key=True)
    version: int


class SettingRow(Row, table=True):
    """A setting of the shop as JSON."""

    __tablename__ = "setting"
    key: str = Field(primary_key=True)
    value: Any = Field(sa_type=JSON)


class Painter(Row, table=True):
    """A painter of this shop.

    pin: a hash, empty without one; left_line: the last journal line when they handed over;
    isocyanate_trained: None where nobody recorded it.
    """

    __tablename__ = "painter"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    pin: str = ""
    left_at: datetime | None = None
    left_line: int = 0
    isocyanate_trained: bool | None = None


class Stand(Row, table=True):
    """A numbered place on the bench, a hook line or a spit."""

    __tablename__ = "stand"
    number: int = Field(primary_key=True)
    name: str = ""


class ProductRow(Row, table=True):
    """A product's sheet, as JSON in base units."""

    __tablename__ = "product"
    key: str = Field(primary_key=True)
    sheet: dict[str, Any] = Field(sa_type=JSON)


class SheetVersionRow(Row, table=True):
    """A product's sheet as it once was; ``store.log.sheet_versions`` works out its key.

    since: when it was typed; None where it is the sheet as it stood at the upgrade to version 3.
    """

    __tablename__ = "sheet_version"
    key: str = Field(primary_key=True)
    product: str
    sheet: dict[str, Any] = Field(sa_type=JSON)
    since: datetime | None = None


class PlanRow(Row):
    """What a shop chooses from, as JSON, in the order it is offered."""

    key: str = Field(primary_key=True)
    position: int
    plan: dict[str, Any] = Field(sa_type=JSON)


class RouteRow(PlanRow, table=True):
    """A route. Parts keep their own copy of its steps."""

    __tablename__ = "route"


class ShapeRow(PlanRow, table=True):
    """A shape of part: its faces and zones."""

    __tablename__ = "shape"


class ToolRow(PlanRow, table=True):
    """A spray tool's set-up."""

    __tablename__ = "tool"


class EquipmentRow(Row, table=True):
    """Equipment that one painter holds at a time, and who waits for it.

    needs_l_min: the air it takes while it works; gives_l_min: what a compressor delivers.
    """

    __tablename__ = "equipment"
    key: str = Field(primary_key=True)
    position: int
    name: str
    kind: str
    needs_l_min: float | None = None
    gives_l_min: float | None = None
    holder: str = ""
    held_at: datetime | None = None
    held_for: str = ""
    queue: list[str] = Field(default=[], sa_type=JSON)


class TinRow(Row, table=True):
    """A tin of one component of a product. role is empty where the product is not mixed."""

    __tablename__ = "tin"
    id: int | None = Field(default=None, primary_key=True)
    product: str = Field(index=True)
    role: str = ""
    batch: str = Field(default="", index=True)
    size_ml: float
    left_ml: float
    came_at: datetime
    use_by: datetime | None = None
    opened_at: datetime | None = None
    empty_at: datetime | None = Field(default=None, index=True)
    price: float | None = None


class PartRow(Row, table=True):
    """A part or lot. A stand holds one; taken off, it holds none and remembers the last.

    taken_by: who is on it; split_from, merged_into: tags of the lots it came from and went to;
    bungs and contacts: counted in when it is hung, out when it is done; left_at: when it was away;
    zinc: what was answered about its galvanising, empty where nobody was asked; area_m2: of one
    piece, where somebody typed it.
    """

    __tablename__ = "part"
    id: int | None = Field(default=None, primary_key=True)
    tag: str = Field(unique=True)
    name: str
    count: int
    job: str = Field(default="", index=True)
    owner: str = Field(default="", index=True)
    substrate: str
    shape: str
    route: str
    stand: int | None = Field(default=None, unique=True, foreign_key="stand.number")
    last_stand: int | None = None
    hold: str = ""
    rework: str = ""
    away: bool = Field(default=False, index=True)
    revision: int = 0
    taken_by: list[str] = Field(default=[], sa_type=JSON)
    split_from: str = ""
    merged_into: str = ""
    bungs_in: int = 0
    bungs_out: int = 0
    contacts: int = 0
    contacts_done: int = 0
    left_at: datetime | None = None
    zinc: dict[str, Any] = Field(default={}, sa_type=JSON)
    area_m2: float | None = None


class JobRow(Row, table=True):
    """A job: an order whose parts name it. A part may name a job that has no row.

    received: the day it came, its condition, and when it was galvanised, as JSON; promised: the
    day, and ``promise`` what for: to collect, or cured; priority: 1 the most urgent to 3; system:
    its coats, their film in um, corrosivity and durability; photos: name, hash and size of each.
    """

    __tablename__ = "job"
    name: str = Field(primary_key=True)
    owner: str = ""
    order_number: str = ""
    received: dict[str, Any] = Field(default={}, sa_type=JSON)
    promised: str = ""
    promise: str = "collect"
    priority: int = 2
    system: dict[str, Any] = Field(default={}, sa_type=JSON)
    photos: list[dict[str, Any]] = Field(default=[], sa_type=JSON)


class InstrumentRow(Row, table=True):
    """An instrument that readings of a surface are taken with.

    error: of one reading, in the unit of what it measures; calibrated, check_by: days.
    """

    __tablename__ = "instrument"
    name: str = Field(primary_key=True)
    kind: str
    number: str = ""
    error: float | None = None
    calibrated: str = ""
    check_by: str = ""
    gone: bool = False


class StepRow(Row, table=True):
    """One step of one part: its plan and what really happened.

    sprayed: with a spraying tool; in_air: the key of the product that masks are on for while it
    goes on and after it, empty where there is none; weight: how thick a coat came out; wet_um,
    dry_um: its film where it was measured; sheet_version: the key of the data sheet it was done by,
    empty where it is not done, has no product, or was done before version 3. mix_id: the pot it was
    begun with; a face in ``marks`` may have another one.
    """

    __tablename__ = "step"
    __table_args__ = (
        UniqueConstraint("part_id", "number"),
        Index("ix_step_trigger", "sprayed", "status", "last_at"),
    )
    id: int | None = Field(default=None, primary_key=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    number: int
    plan: dict[str, Any] = Field(sa_type=JSON)
    status: str = Field(default="todo", index=True)
    first_at: datetime | None = Field(default=None, index=True)
    last_at: datetime | None = None
    painters: list[str] = Field(default=[], sa_type=JSON)
    marks: list[dict[str, Any]] = Field(default=[], sa_type=JSON)
    passed_at: datetime | None = None
    passed_by: str = ""
    not_before: datetime | None = None
    reason: str = ""
    flags: list[str] = Field(default=[], sa_type=JSON)
    sprayed: bool = False
    in_air: str = ""
    weight: str = "as meant"
    wet_um: float | None = None
    dry_um: float | None = None
    sheet_version: str = ""
    mix_id: int | None = Field(default=None, foreign_key="mix.id", index=True)
    tins: list[dict[str, Any]] = Field(default=[], sa_type=JSON)

    def pots(self) -> list[int]:
        """List the numbers of the pots it was sprayed from, in the order they were used."""
        return list(dict.fromkeys(filter(None, [self.mix_id, *(m.get("pot") for m in self.marks)])))


class MeasurementRow(Row, table=True):
    """What was measured on a part: readings of one kind at one step, in the kind's base unit.

    step_id: None where it belongs to no step; face: empty for the whole part; grade: what has no
    number; surface, less_um: what was taken off each reading of a film, and how much; struck: taken
    back, it stays.
    """

    __tablename__ = "measurement"
    id: int | None = Field(default=None, primary_key=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    step_id: int | None = Field(default=None, foreign_key="step.id", index=True)
    kind: str
    face: str = ""
    readings: list[float] = Field(default=[], sa_type=JSON)
    grade: str = ""
    instrument: str = ""
    surface: str = ""
    less_um: float = 0.0
    at: datetime
    painter: str
    struck: bool = False


class AwayRow(Row, table=True):
    """When a painter is away: days and hours of the shop's calendar, which no clock moves.

    begins, ends: as 2026-12-24T00:00, the end not in it.
    """

    __tablename__ = "away"
    id: int | None = Field(default=None, primary_key=True)
    painter: str
    begins: str
    ends: str


class WorkPlanRow(Row, table=True):
    """A plan that was agreed, now or earlier; of those only one is ``agreed``.

    line: the newest entry of the log when it was made; until: how far it goes; planner: who made
    it, ``bench`` or ``referee``; seed, limits: the same make the same plan of the same bench;
    price: what it counts; bound: what none can be under, where that is known; proven: that none is
    better. Its hours are of the calendar: no clock moves them.
    """

    __tablename__ = "plan"
    id: int | None = Field(default=None, primary_key=True)
    made_at: datetime
    line: int
    until: datetime
    agreed: bool = Field(default=False, index=True)
    planner: str = "bench"
    seed: int = 0
    limits: dict[str, Any] = Field(default={}, sa_type=JSON)
    price: float = 0.0
    bound: float | None = None
    proven: bool = False


class PlanStepRow(Row, table=True):
    """When a step, or a share of a long one, is planned to begin and end, and by whom.

    share, shares: which of how many; abrading_from: when the abrading before it begins, None
    without; closes: when it is too late to begin it; pot: steps of one number are sprayed from one
    pot, None from none; mixes_at: when that pot is mixed for it, None where it joins one; open_pot:
    the letter of a pot that stood there mixed; moved_at: when its part is carried out of the spray
    space, None where it stays; doubt: its length is a placeholder.
    """

    __tablename__ = "plan_step"
    id: int | None = Field(default=None, primary_key=True)
    plan_id: int = Field(foreign_key="plan.id", index=True)
    step_id: int = Field(foreign_key="step.id", index=True)
    begins: datetime
    ends: datetime
    painters: list[str] = Field(default=[], sa_type=JSON)
    share: int = 1
    shares: int = 1
    abrading_from: datetime | None = None
    closes: datetime | None = None
    pot: int | None = None
    mixes_at: datetime | None = None
    open_pot: str = ""
    moved_at: datetime | None = None
    doubt: bool = False


class NoteRow(Row, table=True):
    """What a painter wants the others to know of one part, or of the bench (no part)."""

    __tablename__ = "note"
    id: int | None = Field(default=None, primary_key=True)
    part_id: int | None = Field(default=None, foreign_key="part.id", index=True)
    at: datetime
    painter: str
    text: str
    struck: bool = False


class TestRow(Row, table=True):
    """Somebody tried a coat: not yet, or passed. Every opinion is kept."""

    __test__ = False
    __tablename__ = "test"
    id: int | None = Field(default=None, primary_key=True)
    step_id: int = Field(foreign_key="step.id", index=True)
    at: datetime
    painter: str
    passed: bool
    wait_s: float = 0.0


class DefectRow(Row, table=True):
    """What was seen to be wrong, and how many pieces of a lot it concerned."""

    __tablename__ = "defect"
    id: int | None = Field(default=None, primary_key=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    at: datetime
    painter: str
    defect: str
    step_name: str


class MixRow(Row, table=True):
    """A pot: one mixed quantity with its own deadline.

    use_from, bin_by, basis: as they were when it was binned and its gun flushed; until then they
    are worked out from mixed_at, the pours (a top-up's have an "at") and the air. most_s: no longer
    than this after mixing, whatever was corrected since. in_gun: a gun was loaded from it and not
    flushed since; binned_ml: what was left in it; tins: what was taken from which tin;
    sheet_version: the key of the data sheet it was mixed by, empty before version 3.
    """

    __tablename__ = "mix"
    id: int | None = Field(default=None, primary_key=True)
    letter: str
    product: str
    mixed_at: datetime
    use_from: datetime | None = None
    bin_by: datetime | None = None
    basis: str = "sheet"
    most_s: float | None = None
    total_ml: float | None = None
    pours: list[dict[str, Any]] = Field(default=[], sa_type=JSON)
    painter: str
    binned_at: datetime | None = Field(default=None, index=True)
    binned_ml: float | None = None
    in_gun: bool = Field(default=False, index=True)
    tins: list[dict[str, Any]] = Field(default=[], sa_type=JSON)
    sheet_version: str = ""


PROBE = "probe"
"""Who wrote a reading down that nobody typed. No painter, and only what probes say bears it."""

BY_ITSELF = ("", PROBE)
"""Names in the log that no painter has: what the clock and the probes write is no work."""


class ReadingRow(Row, table=True):
    """Air, humidity and metal temperature as somebody read them."""

    __tablename__ = "reading"
    id: int | None = Field(default=None, primary_key=True)
    at: datetime = Field(index=True)
    air_c: float
    rh_pct: float | None = None
    metal_c: float | None = None
    painter: str


class JournalRow(Row, table=True):
    """An entry of the log: append-only, with every row before and after.

    doubtful: the clock was not to be believed then, so ``at`` is only "at least".
    released_at: until when what it says put paint into the air, and ``released`` what that was; no
    undo takes it away. A line about the clock that has one stands for all before it.
    checksum: over the line before and this one (``store.log.checksum_chain``), so that no line is
    ever changed.
    """

    __tablename__ = "journal"
    id: int | None = Field(default=None, primary_key=True)
    at: datetime = Field(index=True)
    action: str = Field(index=True)
    painter: str
    terminal: str
    tag: str = Field(default="", index=True)
    text: str
    changes: list[dict[str, Any]] = Field(default=[], sa_type=JSON)
    undoes: int | None = Field(default=None, foreign_key="journal.id", unique=True)
    doubtful: bool = Field(default=False, index=True)
    released_at: datetime | None = Field(default=None, index=True)
    released: str = ""
    checksum: str = ""


KEPT: dict[str, type[SQLModel]] = {
    str(kind.__tablename__): kind
    for kind in (
        *(
            SettingRow,
            Painter,
            Stand,
            ProductRow,
            RouteRow,
            ShapeRow,
            ToolRow,
            EquipmentRow,
            TinRow,
            JobRow,
            InstrumentRow,
        ),
        *(PartRow, NoteRow, StepRow, TestRow, DefectRow, MixRow, ReadingRow, MeasurementRow),
        *(AwayRow, WorkPlanRow, PlanStepRow),
    )
}
"""The tables whose state the journal holds, parents before children."""
