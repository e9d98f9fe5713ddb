"""The versions of the products' data sheets: what a step or a pot was done by stays to be read.

A version is kept once for each content and never changed, whatever is undone later; like the log it
is no state of the shop. A step or a pot points to its version by the version's key.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, Connection, column, insert, select, table
from sqlmodel import Session, col, or_

from bench.store.schema.tables import MixRow, ProductRow, SheetVersionRow, StepRow

PRODUCTS = str(ProductRow.__tablename__)

_PRODUCT = table(PRODUCTS, column("key"), column("sheet", JSON))
_VERSION = table(
    str(SheetVersionRow.__tablename__), column("key"), column("product"), column("sheet", JSON)
)


def key_of(product: str, sheet: dict[str, Any]) -> str:
    """Work out a version's key: SHA-256 in hex over the product's key and its sheet's content."""
    compact = json.dumps([product, sheet], sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(compact.encode("ascii")).hexdigest()


def present_key(session: Session, product: str) -> str:
    """Give the key of a product's sheet as it stands now, empty where there is no such product."""
    row = session.get(ProductRow, product)
    return key_of(product, row.sheet) if row is not None else ""


def keep(session: Session, changes: Iterable[dict[str, Any]], at: datetime) -> None:
    """Keep the sheets that an action left, each unless its content is kept already."""
    for change in changes:
        if change["table"] != PRODUCTS or change["after"] is None:
            continue
        product, sheet = change["after"]["key"], change["after"]["sheet"]
        key = key_of(product, sheet)
        if session.get(SheetVersionRow, key) is None:
            session.add(SheetVersionRow(key=key, product=product, sheet=sheet, since=at))
    session.flush()


def keep_as_of_the_upgrade(connection: Connection) -> None:
    """Keep the present sheets for what was done before there were versions."""
    there = set(connection.execute(select(_VERSION.c.key)).scalars())
    rows = [
        {"key": key, "product": product, "sheet": sheet}
        for product, sheet in connection.execute(select(_PRODUCT)).all()
        if (key := key_of(product, sheet)) not in there
    ]
    if rows:
        connection.execute(insert(_VERSION), rows)


def versions_of(
    session: Session, keys: Collection[str], products: Collection[str]
) -> list[SheetVersionRow]:
    """Give the versions with some keys, and those as of the upgrade of some products."""
    query = select(SheetVersionRow).where(
        or_(
            col(SheetVersionRow.key).in_(keys),
            (col(SheetVersionRow.since).is_(None)) & col(SheetVersionRow.product).in_(products),
        )
    )
    return list(session.scalars(query))


def faults(session: Session) -> list[str]:
    """Say what of the versions is damaged, or missing though something points to it."""
    problems, there = [], set()
    for version in session.scalars(select(SheetVersionRow).order_by(col(SheetVersionRow.key))):
        there.add(version.key)
        if key_of(version.product, version.sheet) != version.key:
            problems.append(f"a version of the data sheet of {version.product} was changed")
    pointing = {
        key
        for pointer in (StepRow.sheet_version, MixRow.sheet_version)
        for key in session.execute(select(col(pointer)).distinct()).scalars()
    }
    missing = sorted(pointing - there - {""})
    return problems + [f"the version {key[:12]}.. of a data sheet is missing" for key in missing]
