"""Whether an alarm is heard: the terminal's bell, and a command of the shop's own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bench.process.refusal import Refusal
from bench.process.setting_list import DEFAULTS
from bench.process.typed import command_fault
from bench.shop.acting import Done, Shop
from bench.shop.allowed import COMMAND, WHERE
from bench.store.tables import Setting

ON_A_KIOSK = Refusal(
    "on a kiosk no alarm command is typed", "", f"root writes it into {WHERE}, as {COMMAND}=/PATH"
)


def set_alarm(
    shop: Shop, by: str, *, bell: bool | None = None, command: Sequence[str] | None = None
) -> Done | Refusal:
    """Set what is given. command: a program's path and its arguments; empty: none is run.

    No shell runs it (``process.typed``). The alarm's word and stand are put behind the arguments.
    """
    if bell is None and command is None:
        return Refusal("nothing to set", "", "say whether the bell rings, or which command is run")
    words = list(command or ())
    if command is not None and shop.allowed.kiosk:
        return ON_A_KIOSK
    if words and (refused := command_fault(words)):
        return refused
    with shop.act("settings", by) as act:
        row = act.session.get(Setting, "house")
        if row is None:
            return Refusal("nobody has opened this shop yet")
        kept: dict[str, Any] = {**DEFAULTS, **dict(row.value)}
        told = []
        if bell is not None:
            kept["bell"] = bell
            told.append(f"the bell {'rings' if bell else 'is quiet'}")
        if command is not None:
            kept["alarm_command"] = words
            told.append(f"it runs {' '.join(words)}" if words else "no command is run")
        row.value = kept
        return act.done("", f"at an alarm: {', '.join(told)}")
