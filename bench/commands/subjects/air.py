"""The air and the clock: what thermometers and probes say, and what time it is."""

from __future__ import annotations

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import AGO, option, thermometers

SURE = option("--sure", action="store_true", help="it is right, though far off the last reading")

# A table: laid out by hand.
# fmt: off
AIR = Group("air and clock", (
    Command(
        "reading", "write down what the thermometers say",
        (*thermometers(required=True), AGO, SURE),
        "bench.shop.environment.readings:type_reading",
        examples=("reading --air 18C --rh 60% --metal 16C --by Una",
                  "reading --air -2C --ago 10min --sure --by Una")),
    Command(
        "probe-jump", "say whether the jump of a probe is right, as the bench asks",
        (option("right", metavar="ANSWER", type=quantities.right_or_wrong,
                help="right; or wrong, and what the probes read since is taken away"),),
        "bench.shop.environment.readings:answer_jump",
        examples=("probe-jump right --by Una", "probe-jump wrong --by Una")),
    Command(
        "probe", "show what each probe says now",
        target="bench.commands.reports.probes:probe", kind="reads", examples=("probe",)),
    Command(
        "clock", "say whether the computer's clock is believed",
        target="bench.commands.subjects.clock:clock", kind="reads", examples=("clock",)),
    Command(
        "set-clock", "say what time it is; the computer's own clock is left as it is",
        (option("time", metavar="TIME", type=quantities.day_and_hour,
                help='in the shop\'s zone: "2026-03-12 14:30"'),
         option("--reason", metavar="TEXT",
                help="why; wanted where the clock is believed, there with PAINTBENCH_PIN if PINs "
                     "are used")),
        "bench.commands.subjects.clock:set_the_clock", "sets clock",
        ('set-clock "2026-03-12 14:30" --reason "the computer is 5 min slow" --by Una',)),
))
# fmt: on
