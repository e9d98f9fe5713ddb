"""A list of parts as an office types it: read whole, or every fault by its line."""

from __future__ import annotations

import pytest

from bench.process.parts.order_list import OrderList, OrderRow, read_orders, stands_for
from bench.process.refusals.refusal import Refusal


def read(*lines: str) -> OrderList:
    found = read_orders("\n".join(lines))
    assert isinstance(found, OrderList), found
    return found


def test_columns_come_in_any_order_and_semicolons_bring_decimal_commas() -> None:
    found = read("Shape;Route; Area_m2;Count;Stand", "frame;zinc-new;7,5;;12", ";;;;", "bracket;x")
    assert found.faults == ()
    assert found.rows == (
        OrderRow(2, "zinc-new", "frame", area_m2=7.5, stand=12),
        OrderRow(4, "x", "bracket"),
    )
    quoted = read("route,shape,name,owner", 'zinc-new,frame,"Rail, long",Club')
    assert (quoted.rows[0].name, quoted.rows[0].owner) == ("Rail, long", "Club")


def test_every_fault_is_named_by_its_line_and_the_rest_of_the_row_is_still_read() -> None:
    found = read("route,shape,count,stand,area m2", "r,s,x,1.5,nan", ",,2", "r,s,1,2,3,4")
    assert [str(fault) for fault in found.faults] == [
        "line 2: count 'x' is no number: such as 4",
        "line 2: stand '1.5' is no number: such as 12",
        "line 2: area m2 'nan' is no number: such as 0.6",
        "line 3: no route: type its route",
        "line 3: no shape: type its shape",
        "line 4: 6 cells, but 5 columns: quote a cell that has the sign between columns",
    ]
    assert found.rows == (OrderRow(2, "r", "s"),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("route,shape,colour\n", "line 1: no column 'colour': columns name, count, job, owner,"),
        ("route,shape,Route\n", "line 1: twice the column 'route'"),
        ("name,route\n", "line 1: without 'shape'"),
        ("", "line 1: without 'route'"),
        ("route,shape\n\n", "no parts are in the list"),
        ('route,shape\n"r,s', "line 2: it is no CSV"),
        ("route,shape\n" + "r,s\n" * 501, "501 rows: at most 500 at a time"),
    ],
)
def test_what_is_no_list_is_refused(text: str, words: str) -> None:
    found = read_orders(text)
    assert isinstance(found, Refusal)
    assert str(found).startswith(words)


def test_who_names_no_stand_gets_the_next_free_one_or_none() -> None:
    stands, faults = stands_for({2: None, 3: 5, 4: None, 5: None, 6: 5}, [4, 5, 7])
    assert stands == {2: 4, 3: 5, 4: 7, 5: None, 6: 5}
    assert [str(fault) for fault in faults] == [
        "line 6: stand 5 is in line 3 too: one part to a stand"
    ]
