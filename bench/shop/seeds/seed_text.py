"""A product or route as the text it is typed in: what ``seeds`` reads, written again."""

from __future__ import annotations

import json
from dataclasses import MISSING, fields, is_dataclass
from typing import Any

from bench.process.sheets.measurement_kinds import KINDS, Accepted
from bench.process.sheets.product import Band, Limits, Product, Until
from bench.process.sheets.route import Route, Step
from bench.shop.seeds.seed_values import PAIRS, QUANTITIES, SPELLED
from bench.trade.mixing import Ratio

UNIT_TEXT = {
    "second": "s",
    "percent": "%",
    "gram / litre": "g/l",
    "degC": "C",
    "delta_degC": "C",
    "micrometre": "um",
    "metre ** 2": "m2",
    "centimetre": "cm",
    "centimetre / second": "cm/s",
}
_TIMES = ((86400.0, "d"), (3600.0, "h"), (60.0, "min"))
_FIELD_UNITS = {
    field: unit for known in (*QUANTITIES.values(), PAIRS) for field, unit in known.values()
}
_ALWAYS = ("name", "kind", "source", "substrate")


def sheet_lines(sheet: Product | Route | Step) -> list[str]:
    """Write one ``key = value`` a line, without defaults. A route's steps come last.

    The limits of a product are always written, whole: what counts stands there, whether somebody
    typed it or not.
    """
    limited = isinstance(sheet, Product) and sheet.kind != "thinner"
    lines = []
    for field in fields(sheet):
        value = getattr(sheet, field.name)
        if field.name in ("key", "steps"):
            continue
        always = field.name in _ALWAYS or (limited and field.name == "limits")
        if not always and value == _default(field):
            continue
        lines.append(f"{SPELLED.get(field.name, field.name)} = {_value(field.name, value)}")
    return lines


def sheet_text(sheet: Product | Route) -> str:
    """Write the whole text, as a seed file holds it."""
    lines = sheet_lines(sheet)
    for step in sheet.steps if isinstance(sheet, Route) else ():
        lines += ["", "[[step]]", *sheet_lines(step)]
    return "\n".join(lines) + "\n"


def _default(field: Any) -> Any:
    if field.default is not MISSING:
        return field.default
    return field.default_factory() if field.default_factory is not MISSING else MISSING


def _value(name: str, value: Any) -> str:
    """A field's value in TOML on one line."""
    if isinstance(value, Ratio):
        shares = {share.role: share.parts for share in value.shares}
        return inline(shares if value.by == "volume" else {**shares, "by": value.by})
    if name == "bands":
        return inline([_band(band) for band in value])
    if name == "accept":
        return inline({limit.kind: _limits(limit) for limit in value})
    if name in ("pot_life", "full_cure"):
        return inline(_times(value))
    if name == "densities":
        return inline({role: f"{number_text(density)} g/ml" for role, density in value.items()})
    if isinstance(value, dict):
        return inline({key: _seconds(span_s) for key, span_s in value.items()})
    if is_dataclass(value):
        return inline(
            {
                SPELLED.get(field.name, field.name): _plain(field.name, getattr(value, field.name))
                for field in fields(value)
                if isinstance(value, Limits) or getattr(value, field.name) != _default(field)
            }
        )
    return inline(_plain(name, value))


def _limits(limit: Accepted) -> list[Any]:
    unit, figures = KINDS[limit.kind].unit, [limit.least, limit.most]
    return [f"{number_text(figure)} {unit}" for figure in figures] if unit else figures


def _plain(name: str, value: Any) -> Any:
    if name == "placeholder":
        return [SPELLED.get(figure, figure) for figure in value]
    unit = _FIELD_UNITS.get(name)
    if unit is None:
        return list(value) if isinstance(value, tuple) else value
    if isinstance(value, tuple):
        return [_quantity(item, unit) for item in value]
    return _quantity(value, unit)


def _quantity(value: float, unit: str) -> str:
    if unit == "second / metre ** 2":
        return f"{_seconds(value)}/m2"
    return _seconds(value) if unit == "second" else f"{number_text(value)} {UNIT_TEXT[unit]}"


def _seconds(span_s: float) -> str:
    for unit_s, unit in _TIMES:
        if span_s and span_s % unit_s == 0:
            return f"{number_text(span_s / unit_s)} {unit}"
    return f"{number_text(span_s)} s"


def number_text(value: float) -> str:
    """Write as few figures as give the same float again."""
    short = f"{value:g}"
    return short if float(short) == value else repr(value)


def _band(band: Band) -> dict[str, Any]:
    fields = {"is": band.word, **(_until(band.until) if band.until else {})}
    return fields | ({"test": band.test} if band.test else {})


def _until(until: Until) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    if until.fixed_s is not None:
        fields["until"] = _seconds(until.fixed_s)
    if until.table:
        fields["until"] = _times(until.table)
    if until.damp_s is not None and until.damp_over_rh_pct is not None:
        fields["until_damp"] = _seconds(until.damp_s)
        fields["damp_over"] = f"{number_text(until.damp_over_rh_pct)} %"
    if until.exact:
        fields["exact"] = True
    return fields


def _times(table: Any) -> dict[str, str]:
    return {f"{number_text(temp_c)} C": _seconds(span_s) for temp_c, span_s in table}


def inline(value: Any) -> str:
    """Write TOML on one line. JSON's strings, numbers and booleans are TOML's too."""
    if isinstance(value, dict):
        inside = ", ".join(f"{_key(key)} = {inline(item)}" for key, item in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, list):
        return f"[{', '.join(inline(item) for item in value)}]"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return json.dumps(value, ensure_ascii=False)


def _key(key: str) -> str:
    bare = key.replace("_", "").replace("-", "")
    return key if bare.isascii() and bare.isalnum() else json.dumps(key)
