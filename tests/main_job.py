"""The main job: a new galvanised frame from bare zinc to CURED, told stage by stage.

Plain data, played twice: through the command line and through the keys of the full-screen program.
Each stage is (what happens, what is done, what the frame's stand then shows).

What is done: ``do`` is a word of the command line, or ``wait``. ``at`` is (days after the Monday,
hour, minute) on the shop's wall clock: when the painter presses the keys. ``ago_min``: it happened
so much earlier, in steps of five minutes. ``by`` is who says so.
What is shown: any of the keys of a stand in ``paintbench status --json``; ``state`` always.
The 10-15 min of the mordant, the overnight dry, the 24 h of the etch and the hour of the aerosol
are common practice without a source, and placeholders in the shop's products until it types its
own sheets.
"""

from __future__ import annotations

from typing import Any

Action = dict[str, Any]
Shown = dict[str, Any]

STAND = 1
ROUTE = "zinc-new"
SHAPE = "frame"
STEPS = 9
FACES = ["L-in", "R-in", "XMEM", "UND", "OUT-L", "OUT-R", "TOP", "ENDS"]

MON, WED, THU, FRI, SAT, SUN = 0, 2, 3, 4, 5, 6
HEATED = {"day_c": 20.0, "night_c": 20.0}
"""The shop is as warm as the sheets' times are for, by day and by night."""
CURED_FOR_SURE = 21
"""Days after which even a cold shop's nights have let it cure."""


def _do(do: str, day: int, hour: int, minute: int, by: str = "Kit", **more: Any) -> Action:
    return {"do": do, "at": (day, hour, minute), "by": by, **more}


def _wait(day: int, hour: int, minute: int) -> Action:
    return _do("wait", day, hour, minute)


PREPARING: list[tuple[str, Action, Shown]] = [
    (
        "the frame is put on an empty stand with its route",
        _do("place", MON, 8, 0, route=ROUTE, shape=SHAPE),
        {"state": "open", "tag": "1", "part": "Frame", "step_number": 1, "steps": STEPS},
    ),
    (
        "filing began twenty minutes before anybody came to the keys",
        _do("begin", MON, 8, 25, ago_min=20),
        {"state": "working", "step": "File the zinc spikes", "painter": "Kit"},
    ),
    (
        "filed",
        _do("finish", MON, 8, 40),
        {"state": "test", "step": "Degrease and rinse", "step_number": 2, "painter": None},
    ),
    (
        "no snag, says Kit, with a rag over every edge",
        _do("pass", MON, 8, 40),
        {"state": "open", "step": "Degrease and rinse", "step_number": 2},
    ),
    (
        "the surface is read: a wash's time holds from 5 to 30 C",
        _do("reading", MON, 8, 40, air_c=20, rh_pct=60, metal_c=20),
        {"state": "open"},
    ),
    (
        "the other painter washes it",
        _do("begin", MON, 8, 40, by="Mo"),
        {"state": "soak", "painter": "Mo", "seconds_left": 180},
    ),
    ("three minutes on it is to be rinsed", _wait(MON, 8, 44), {"state": "rinse"}),
    (
        "rinsed five minutes ago: the box sections hold water for days",
        _do("finish", MON, 8, 49, by="Mo", ago_min=5),
        {"state": "drying", "step_number": 3, "seconds_left": 2 * 86400 - 300},
    ),
    ("still wet inside", _wait(WED, 8, 39), {"state": "drying", "seconds_left": 300}),
    (
        "two days on it wants testing, and the overrun counts up",
        _wait(WED, 9, 30),
        {"state": "test", "seconds_left": -2760, "test": "tip it and listen: no water inside"},
    ),
    (
        "no water inside, says Kit",
        _do("pass", WED, 9, 30),
        {"state": "open", "step": "Mordant wash", "step_number": 3},
    ),
    (
        "read again on the day of the mordant",
        _do("reading", WED, 9, 58, air_c=20, rh_pct=60, metal_c=20),
        {"state": "open"},
    ),
    (
        "first stroke of mordant in the front zone",
        _do("begin", WED, 10, 0, zone="FRONT"),
        {"state": "soak", "zone": "FRONT", "seconds_left": 600},
    ),
    (
        "the other painter wets the rear zone; the front is older and governs",
        _do("begin", WED, 10, 4, by="Mo", zone="REAR"),
        {"state": "soak", "zone": "FRONT", "seconds_left": 360},
    ),
    (
        "ten minutes: the front is to be rinsed inside the next five",
        _wait(WED, 10, 10),
        {"state": "rinse", "zone": "FRONT", "seconds_left": 300},
    ),
    (
        "front rinsed; now the rear governs",
        _do("finish", WED, 10, 12, mark="FRONT"),
        {"state": "soak", "zone": "REAR", "seconds_left": 120, "faces_open": ["REAR"]},
    ),
    (
        "the rear's turn to be rinsed",
        _wait(WED, 10, 14),
        {"state": "rinse", "zone": "REAR", "seconds_left": 300},
    ),
    (
        "past fifteen minutes it is being ruined",
        _wait(WED, 10, 20),
        {"state": "rinse now", "zone": "REAR", "seconds_left": -60},
    ),
    (
        "rear rinsed, late",
        _do("finish", WED, 10, 21, by="Mo", mark="REAR"),
        {"state": "test", "test": "dark and even all over, no bright patch", "step_number": 4},
    ),
    (
        "dark and even for all that, says Mo",
        _do("pass", WED, 10, 22, by="Mo"),
        {"state": "open", "step": "Rinse, dry overnight", "step_number": 4},
    ),
    ("the whole frame is rinsed", _do("begin", WED, 10, 25, by="Mo"), {"state": "working"}),
    (
        "blown off and tilted: it dries overnight",
        _do("finish", WED, 11, 0, by="Mo"),
        {"state": "drying", "step": "Etch primer, mist", "seconds_left": 14 * 3600},
    ),
    ("next morning it wants testing", _wait(THU, 8, 0), {"state": "test"}),
    ("dry", _do("pass", THU, 8, 0, by="Mo"), {"state": "open", "step_number": 5}),
]

PRIMING: list[tuple[str, Action, Shown]] = [
    (
        "air, humidity and metal are read: fit to coat in",
        _do("reading", THU, 8, 2, air_c=20, rh_pct=60, metal_c=20),
        {"state": "open"},
    ),
    (
        "etch primer is mixed 1:1; the frame waits open",
        _do("mix", THU, 8, 5, by="Mo", product="etch-primer", need_ml=1200),
        {"state": "open"},
    ),
    (
        "mist coat: the first face",
        _do("begin", THU, 8, 40),
        {"state": "working", "step": "Etch primer, mist", "painter": "Kit"},
    ),
    (
        "mist on, five minutes ago",
        _do("finish", THU, 8, 50, ago_min=5),
        {"state": "flash", "step": "Etch primer, build", "seconds_left": 300},
    ),
    ("ten minutes after the mist", _wait(THU, 8, 56), {"state": "test", "seconds_left": -60}),
    ("it strings no more", _do("pass", THU, 8, 56), {"state": "open", "step_number": 6}),
    (
        "build coat begun, all faces open",
        _do("begin", THU, 9, 0),
        {"state": "working", "faces_open": FACES},
    ),
    (
        "the first face",
        _do("finish", THU, 9, 5, mark="L-in"),
        {"state": "working", "faces_open": FACES[1:]},
    ),
    (
        "the second face, ticked by the other painter",
        _do("finish", THU, 9, 10, by="Mo", mark="R-in"),
        {"state": "working", "faces_open": FACES[2:], "painter": "Kit, Mo"},
    ),
    (
        "the last face: 24 h from here, and two days from the first of the mist",
        _do("finish", THU, 9, 25, all_faces=True),
        {
            "state": "wet",
            "step": "Aerosol top coat 1",
            "step_number": 7,
            "seconds_left": 24 * 3600,
            "opens_at": (FRI, 9, 25),
            "closes_at": (SAT, 8, 40),
        },
    ),
    ("what is left is binned", _do("bin", THU, 9, 30, by="Mo", pot="A"), {"state": "wet"}),
    ("no longer wet, far from dry", _wait(THU, 9, 40), {"state": "wait"}),
    ("a minute under 24 h", _wait(FRI, 9, 24), {"state": "wait", "seconds_left": 60}),
    ("24 h from the last face", _wait(FRI, 9, 30), {"state": "test", "seconds_left": -300}),
    (
        "not yet, says Mo: waiting wins",
        _do("not-yet", FRI, 9, 30, by="Mo", minutes=120),
        {"state": "wait", "seconds_left": 7200},
    ),
    ("a quarter of an hour on", _wait(FRI, 9, 45), {"state": "wait", "seconds_left": 6300}),
    (
        "passed by Mo, who may take the own not yet back",
        _do("pass", FRI, 9, 45, by="Mo"),
        {"state": "open", "step_number": 7},
    ),
    (
        "yesterday's reading is too old for a coat: they are read again",
        _do("reading", FRI, 9, 45, by="Mo", air_c=20, rh_pct=55, metal_c=20),
        {"state": "open"},
    ),
]

TOP_COATS: list[tuple[str, Action, Shown]] = [
    (
        "the first aerosol coat, by two painters",
        _do("begin", FRI, 9, 45, **{"with": "Mo"}),
        {"state": "working", "painter": "Kit, Mo", "faces_open": FACES},
    ),
    (
        "its last face; its hour runs from its first",
        _do("finish", FRI, 10, 10, by="Mo", all_faces=True),
        {
            "state": "flash",
            "step": "Aerosol top coat 2",
            "seconds_left": 480,
            "opens_at": (FRI, 10, 20),
            "closes_at": (FRI, 10, 45),
        },
    ),
    ("flashed off", _wait(FRI, 10, 19), {"state": "test", "seconds_left": -60}),
    ("it strings no more, says Mo", _do("pass", FRI, 10, 19, by="Mo"), {"state": "open"}),
    (
        "the second aerosol coat",
        _do("begin", FRI, 10, 20, by="Mo"),
        {"state": "working", "step_number": 8, "painter": "Mo"},
    ),
    (
        "the other painter joins",
        _do("join", FRI, 10, 22, by="Kit"),
        {"state": "working", "painter": "Mo, Kit"},
    ),
    (
        "its last face",
        _do("finish", FRI, 10, 35, by="Mo", all_faces=True),
        {"state": "flash", "step": "Cure", "step_number": STEPS, "seconds_left": 480},
    ),
    (
        "it may be touched up until an hour after the first face",
        _wait(FRI, 10, 50),
        {"state": "open", "closes_at": (FRI, 11, 20)},
    ),
    ("soon no more", _wait(FRI, 11, 10), {"state": "closing", "seconds_left": 600}),
    (
        "the forbidden middle: until 48 h after the last face",
        _wait(FRI, 11, 20),
        {"state": "keep off", "opens_at": (SUN, 10, 35)},
    ),
]

CURING: list[tuple[str, Action, Shown]] = [
    ("from here on it only cures", _wait(SUN, 10, 40), {"state": "cure", "step": "Cure"}),
    ("the time of the sheet is over", _wait(CURED_FOR_SURE, 9, 0), {"state": "test"}),
    (
        "the thumbnail leaves a mark, says Mo",
        # A tenth of the sheet's seven days is 17 h: the keypad offers 8 h and this.
        _do("not-yet", CURED_FOR_SURE, 9, 0, by="Mo", minutes=24 * 60),
        {"state": "cure", "seconds_left": 24 * 3600},
    ),
    ("a day on", _wait(CURED_FOR_SURE + 1, 9, 0), {"state": "test", "seconds_left": 0}),
    (
        "no mark, says Kit, five minutes after trying it",
        _do("pass", CURED_FOR_SURE + 1, 9, 40, ago_min=5),
        {"state": "cured", "step_number": STEPS, "steps": STEPS, "seconds_left": None},
    ),
    (
        "off the stand",
        _do("take-off", CURED_FOR_SURE + 1, 9, 45),
        {"state": "empty", "tag": None, "part": None},
    ),
]

STAGES: list[tuple[str, Action, Shown]] = [*PREPARING, *PRIMING, *TOP_COATS, *CURING]
