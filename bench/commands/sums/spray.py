"""`sum spray`: film of a pass, what distance and angle do to it, passes, what went wrong."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Any

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import spraying
from bench.trade.spraying import MOST_OVERLAP_PCT

Pairs = list[tuple[str, str]]

_PASS = ("flow", "fan", "speed", "overlap", "transfer", "solids")
_length = asked.measure("distance", "cm", over=0, most=1000)


def _add(parser: ArgumentParser) -> None:
    share = asked.measure("transfer", "%", over=0, most=100)
    solids = asked.measure("volume solids", "%", over=0, most=100)
    options = {
        "flow": (asked.measure("flow", "ml/min", over=0, most=5000), "mixed paint: 200ml/min"),
        "fan": (asked.measure("fan", "cm", over=0, most=1000), "width of the fan: 25cm"),
        "speed": (asked.measure("speed", "cm/s", over=0, most=1000), "of the hand: 46cm/s"),
        "overlap": (
            asked.measure("overlap", "%", least=0, most=MOST_OVERLAP_PCT),
            "of the fan: 50%%",
        ),
        "transfer": (share, "what lands on the part: 65%%"),
        "solids": (solids, "volume solids as sprayed: 40%%"),
        "distance": (_length, "from the part, as meant: 20cm; with --held"),
        "held": (_length, "from the part, as it was: 30cm"),
        "angle": (
            asked.measure("angle", "degrees", least=-90, most=90),
            "of the gun out of square: 30deg",
        ),
        "height": (
            asked.measure("height", "cm", over=0, most=2000),
            "of a face to cover, with --fan and --overlap: 100cm",
        ),
    }
    for name, (reader, told) in options.items():
        parser.add_argument(f"--{name}", metavar=name.upper(), type=reader, help=told)
    parser.add_argument(
        "--symptom",
        metavar="WORD",
        help=f"what is seen: {', '.join(each.words[0] for each in spraying.SYMPTOMS)}",
    )


def _work(args: Namespace) -> Answer:
    data: dict[str, Any] = {}
    pairs: Pairs = []
    for add in (_film, _distance, _angle, _passes, _symptom):
        add(args, data, pairs)
    if not data:
        raise WrongUsage(
            f"nothing to reckon; wanted --{', --'.join(_PASS)}; or --distance and --held; or "
            "--angle; or --height, --fan and --overlap; or --symptom"
        )
    return Answer(data, listed(pairs))


def _film(args: Namespace, data: dict[str, Any], pairs: Pairs) -> None:
    given = {name: getattr(args, name) for name in _PASS}
    missing = [name for name, value in given.items() if value is None]
    if len(missing) == len(_PASS) or (args.height is not None and not _asks_film(given)):
        return
    if missing:
        raise WrongUsage(f"the film of a pass needs more; wanted --{', --'.join(missing)} as well")
    laid = spraying.film_of_pass(*given.values())
    data |= {"wet_um": laid.wet_um, "dry_um": laid.dry_um}
    pairs.append(("film of a coat", f"{figure(laid.wet_um)} um wet, {figure(laid.dry_um)} um dry"))


def _asks_film(given: dict[str, float | None]) -> bool:
    """Fan and overlap alone are for counting passes."""
    return any(given[name] is not None for name in ("flow", "speed", "transfer", "solids"))


def _distance(args: Namespace, data: dict[str, Any], pairs: Pairs) -> None:
    if args.distance is None and args.held is None:
        return
    if args.distance is None or args.held is None:
        raise WrongUsage("what a distance does takes two; wanted --distance and --held")
    share = spraying.distance_ratio(args.distance, args.held)
    data["distance_share"] = share
    told = f"{100 * share:.0f} % of the film at {args.held:g} cm for {args.distance:g} cm"
    pairs.append(("distance", f"{told}; too far off the loss is greater still"))


def _angle(args: Namespace, data: dict[str, Any], pairs: Pairs) -> None:
    if args.angle is None:
        return
    found = spraying.arc_ratio(args.angle)
    data |= {"angle_share": found.sweep_and_fan, "angle_share_sweep": found.sweep}
    told = f"{100 * found.sweep_and_fan:.0f} % of the film with the wrist swung {args.angle:g} deg"
    pairs.append(("angle", told))


def _passes(args: Namespace, data: dict[str, Any], pairs: Pairs) -> None:
    if args.height is None:
        return
    if args.fan is None or args.overlap is None:
        raise WrongUsage("passes need the fan and its overlap; wanted --fan and --overlap as well")
    data["passes"] = spraying.passes_to_cover(args.height, args.fan, args.overlap)
    pairs.append(("passes", f"{data['passes']} over {args.height:g} cm"))


def _symptom(args: Namespace, data: dict[str, Any], pairs: Pairs) -> None:
    if args.symptom is None:
        return
    found = spraying.symptoms_like(args.symptom)
    data["symptoms"] = [
        {"seen": each.seen, "cause": each.cause, "next_pass": each.next_pass} for each in found
    ]
    for each in found:
        pairs += [("seen", each.seen), ("likely", each.cause), ("next pass", each.next_pass)]


SUMS = (
    Sum(
        "spray",
        "film of a pass, what distance and angle do to it, what went wrong",
        "--flow 200ml/min --fan 25cm --speed 46cm/s --overlap 50% --transfer 65% --solids 40%",
        _add,
        _work,
    ),
)
