"""Setting whether an alarm is heard, from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections.undo import undo
from bench.shop.settings.settings_change import set_alarm
from tests.commands.running import run_main

pytestmark = pytest.mark.sqlite


def test_bell_and_command_are_off_until_the_shop_wants_them(shop: Shop) -> None:
    house = read_bench(shop).house
    assert (house.bell, house.alarm_command, house.alarm_command_s) == (False, (), 10.0)


def test_each_is_set_by_itself_and_taken_back(shop: Shop, data: Path) -> None:
    def said(*words: str) -> str:
        ran = run_main(shop.clock, "--db", str(data), "alarm", *words, "--by", "Kit")
        assert ran.code == 0, ran.err
        return ran.out.strip()

    assert said("--bell", "on") == "at an alarm: the bell rings"
    command = "/opt/relay --pin 4 'long one'"
    assert said("--command", command) == "at an alarm: it runs /opt/relay --pin 4 long one"
    house = read_bench(shop).house
    assert (house.bell, house.alarm_command) == (True, ("/opt/relay", "--pin", "4", "long one"))
    assert said("--bell", "off", "--command", "").endswith("no command is run")
    house = read_bench(shop).house
    assert (house.bell, house.alarm_command) == (False, ())
    assert house.cup_ml == 1000.0, "the rest of the house is as it was"


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({}, "nothing to set"),
        ({"command": ["/relay", ""]}, "that is no command (2 words)"),
        ({"command": ["/re\x1blay"]}, "that is no command"),
        ({"command": ["/" + "r" * 400]}, "that is no command"),
        ({"command": ["/relay"] * 21}, "that is no command"),
        ({"command": ["relay"]}, "relay is no whole path"),
        ({"command": ["/opt/play", "x", "|", "tee"]}, "a command with | needs a shell"),
        ({"command": ["/opt/play", "x;y"]}, "a command with ; needs a shell"),
        ({"command": ["/opt/play", "$(whoami)"]}, "a command with $( needs a shell"),
        ({"command": ["/opt/play", "`whoami`"]}, "a command with ` needs a shell"),
        ({"command": ["/opt/play", ">/dev/tty1"]}, "a command with > needs a shell"),
        ({"command": ["/opt/play", "x&"]}, "a command with & needs a shell"),
        ({"command": ["/bin/sh", "-c", "play"]}, "write it as a script"),
        ({"command": ["/usr/bin/bash", "/opt/play"]}, "bash is a shell"),
    ],
)
def test_what_is_no_command_is_refused(shop: Shop, given: dict[str, list[str]], why: str) -> None:
    answer = set_alarm(shop, "Kit", command=given.get("command"))
    assert isinstance(answer, Refusal)
    assert why in str(answer)


def test_a_quote_that_is_never_closed_is_wrong_usage(shop: Shop, data: Path) -> None:
    ran = run_main(shop.clock, "--db", str(data), "alarm", "--command", "relay 'x", "--by", "Kit")
    assert ran.code == 2
    assert "No closing quotation" in ran.err


def test_it_is_undone_like_anything_else(shop: Shop) -> None:
    assert isinstance(set_alarm(shop, "Kit", bell=True), Outcome)
    assert isinstance(undo(shop, "Mo"), Outcome)
    assert read_bench(shop).house.bell is False
