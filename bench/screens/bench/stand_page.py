"""The page of one part: its route, its faces or zones, what could hurt, the test."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rich.cells import cell_len

from bench.process.actions.next_action import action_line, action_word, next_action
from bench.process.actions.test_opinions import asks_for, opinion_words, waits_offered
from bench.process.clocks.stand_state import EMPTY, StandState
from bench.process.parts.film_thickness import coat_to_judge, thickest, thickness_words
from bench.process.parts.measurements import asked_of
from bench.process.parts.notes import note_words
from bench.process.parts.part import (
    Mark,
    Part,
    StepRecord,
    initials,
    soak_words,
    zones_rinsed_early,
)
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import countdown, format_clock, format_duration
from bench.screens.bench.cautions import masks_words, step_rows
from bench.screens.bench.last_action import LastAction
from bench.screens.bench.planned import planned
from bench.screens.bench.step_details import step_notes
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, first_of, help_behind, only
from bench.screens.dialogs.choices import SureAfterEnter
from bench.screens.dialogs.questions import choose_text, is_sure
from bench.screens.parts import part_flows
from bench.screens.parts.part_flows import ALL_OF_IT
from bench.screens.parts.record_pages import RecordPage
from bench.screens.setup.lookahead import Memo, ahead_lines, strip_lines
from bench.screens.stock.mix import mix_flow
from bench.shop.core.bench_view import PlacedPart
from bench.shop.parts import steps, testing
from bench.shop.queries.lookahead import PartAhead, ahead_of
from bench.widgets.digits import TALL, TALL_FROM, TALL_WIDE, big
from bench.widgets.lines import Line, Piece, ends, fill, fit, line, title_lines, wrapped
from bench.widgets.stand import next_lines, number_of, part_words
from bench.widgets.theme import word_style

STATUS_MARKS = {"todo": "[ ]", "in hand": "[>]", "done": "[x]", "skipped": "[-]", "struck": "[/]"}

MOST_OPINIONS = 4
"""So many of what painters said of a test where there is room; the log has them all."""

FACE_WIDE = 10

THICKNESS = "9"
"""The digit that says how thick the last coat came out; no test has so many answers."""

MORE = f"more: /, {ALL_OF_IT}"
"""Where the rest stands of what there was no room for."""

LEAST_FOR_STRIP = 22
"""Lines a terminal has before the next two days are drawn as well."""


class StandPage(BenchScreen[None]):
    """One part, wherever it is."""

    HELP_KEY = help_behind("/")
    SHOWS_THE_BENCH = True
    ANSWER_UNTIL_A_KEY = True

    def __init__(self, tag: str) -> None:
        super().__init__()
        self.tag = tag
        self._ahead: Memo[PartAhead] = Memo(lambda: ahead_of(self.bench.shop, tag))

    @property
    def placed(self) -> PlacedPart | None:
        """The part as it is now; None once it has left the bench."""
        return self.bench.view.find(self.tag)

    # -- drawing ---------------------------------------------------------------

    def draw(self, width: int, height: int) -> list[Line]:
        """Who and what, the number, the route beside the step, what could hurt, the next hours.

        What could hurt stands whole: the next two days make room for it, then what was said of the
        test, then the two columns. They make room too for notes, and for what comes of starting.
        """
        placed, now = self.placed, self.bench.now()
        if placed is None:
            lines = title_lines(f"Tag {self.tag} has left the bench", width)
            return [*fill(lines, width, height - 1), self.keys_line(width)]
        part, state = placed.part, placed.state(now)
        lines = self._top(part, state, width)
        prompt = self._prompt(part, state, width)
        half = max(min(36, width // 2 - 2), width // 3)
        room = height - len(lines) - len(prompt) - 1
        for opinions in reversed(range(MOST_OPINIONS + 1)):
            wanted = self._wanted(placed, state, width - half - 1, opinions)
            hurts, whole = self._hurts(part, width - 2, room - len(wanted))
            if whole:
                break
        body = room - len(hurts)
        strip = strip_lines(self._ahead.of(self.bench), width)
        first = self._first(placed, width - half - 1)
        above, needed = body - len(strip), len(wanted) + sum(map(len, first)) + 1
        hidden = bool(first) and above < needed <= body
        strip = strip if height >= LEAST_FOR_STRIP and above >= len(wanted) and not hidden else []
        body -= len(strip)
        left = self._route(part, half, body)
        right = self._step(placed, wanted, first, width - half - 1, body)
        for y in range(body):
            a = left[y] if y < len(left) else Piece(" " * half)
            b = right[y] if y < len(right) else Piece(" " * (width - half - 1))
            lines.append((a, Piece(" "), b))
        lines += [line(f" {text}", width, style) for text, style in hurts]
        return [*lines, *strip, *prompt, self.keys_line(width)]

    def _hurts(self, part: Part, width: int, room: int) -> tuple[list[tuple[str, str]], bool]:
        """What could hurt, and whether that is all; in a small window it is the worst of it."""
        masks = masks_words(self.bench)
        rows = [(row, "ruined") for row in wrapped([masks] if masks else [], width)]
        rows += step_rows(self.bench, part, part.current(), width)
        if len(rows) <= room:
            return rows, True
        return [*rows[: max(room - 1, 0)], (MORE, "dim")][: max(room, 0)], False

    def _top(self, part: Part, state: StandState, width: int) -> list[Line]:
        now = self.bench.now()
        place = f"stand {part.stand}" if part.stand else f"no stand (last {part.last_stand})"
        title = f" {place}  tag {part.tag}  {part_words(part)}  {part.substrate}"
        lines = [line(ends(title, f"painter: {self.bench.painter} ", width), width, "head")]
        text = number_of(state, now)
        rows, wide = (TALL, TALL_WIDE) if text and self.size.height > TALL_FROM else (3, 26)
        number = big(text, rows, wide, ascii_only=self.bench.ascii_only)
        room, word = width - wide - 1, f" {state.word} {state.shape} "
        window, who = next_lines(part, state, now, room - 1)
        after_word, below = _beside(window, who, room - 1, room - len(word) - 1, rows - 1)
        texts = [
            (
                Piece(fit(word, len(word)), word_style(state.word)),
                Piece(fit(f" {after_word}", room - len(word)), "dim" if after_word == who else ""),
            ),
            *((Piece(fit(f" {text}", room), style),) for text, style in below),
        ]
        texts += [(Piece(" " * room),)] * (rows - len(texts))
        lines += [
            (Piece(f" {row}", "bold"), *beside) for row, beside in zip(number, texts, strict=True)
        ]
        return lines if rows == 3 else [*lines, line("", width)]

    def _route(self, part: Part, width: int, height: int) -> list[Piece]:
        now = self.bench.now()
        current = part.current()
        rows = []
        for record in part.steps:
            name = f" {STATUS_MARKS[record.status]} {record.step.name}"
            when = f" {format_clock(record.last_at, now, weekday=False)}" if record.last_at else ""
            who = f" {'+'.join(record.painters)}" if when else ""
            if cell_len(name + who + when) <= width:
                when = who + when
            text = ends(name, when, width)
            rows.append(Piece(fit(text, width), "bold" if record is current else "dim"))
        if current is not None and len(rows) > height:
            start = max(min(part.steps.index(current) - 2, len(rows) - height), 0)
            rows = rows[start:]
        return rows[:height]

    def _wanted(
        self, placed: PlacedPart, state: StandState, width: int, opinions: int
    ) -> list[tuple[str, str]]:
        """The step, the last opinions of a test, and what its digits do: it has to have room."""
        record = placed.part.current()
        if record is None:
            return [("every step is done", "bold")]
        name = f"next: {record.step.name}" if record.status == "todo" else record.step.name
        choices = self._choices(placed, record, state, width, opinions)
        if (coat := _coat_to_judge(placed.part)) is not None:
            product = self.bench.view.products.get(coat.step.product)
            coat = thickest(placed.part, coat, product)
            mist, units = placed.part.is_mist(coat), self.bench.view.house.units
            words = thickness_words(coat, product, units, mist=mist)
            choices += wrapped([words] if words else [], width, f" {THICKNESS} ")
        return [(name, "bold"), *((text, "bold") for text in choices)]

    def _first(self, placed: PlacedPart, width: int) -> list[list[tuple[str, str]]]:
        """What the plan says, notes, then what would come of starting now."""
        notes = [note_words(note, self.bench.now()) for note in placed.notes]
        texts = [wrapped([note], width, "note: ") for note in notes]
        by_plan = planned(self.bench.view, placed.part, self.bench.now(), days=True)
        texts.insert(0, wrapped([by_plan] if by_plan else [], width))
        if placed.part.current() is not None:
            texts.append(ahead_lines(self._ahead.of(self.bench), width))
        return [[(row, "bold") for row in rows] for rows in texts if rows]

    def _step(
        self,
        placed: PlacedPart,
        wanted: list[tuple[str, str]],
        first: list[list[tuple[str, str]]],
        width: int,
        height: int,
    ) -> list[Piece]:
        """What has to stand there, what comes first if there is room, then how it is done."""
        record = placed.part.current()
        asked = [each for step in placed.part.steps for each in asked_of(step, placed.measurements)]
        measure = [[(row, "bold") for row in wrapped([each], width, "measure: ")] for each in asked]
        blocks = [*first, *measure]
        if record is not None:
            blocks += [
                [(row, "") for row in wrapped([text], width, bullet)]
                for bullet, text in step_notes(self.bench, placed, record)
            ]
        rows = [*wanted, *_that_fit(blocks, height - len(wanted))]
        return [Piece(fit(text, width), style) for text, style in rows[:height]]

    def _choices(
        self, placed: PlacedPart, record: StepRecord, state: StandState, width: int, opinions: int
    ) -> list[str]:
        """What the digits do just now."""
        now = self.bench.now()
        if asks := asks_for(placed.part, state, placed.tests, now):
            lines = wrapped([state.test], width, "test: ") if state.test else []
            lines += [opinion_words(each, now) for each in placed.tests[::-1][:opinions][::-1]]
            sooner, later = waits_offered(placed.part, state)
            lines.append(f" 1 not yet, {format_duration(sooner * 60)} more")
            lines += [" 2 passed (asks who)"] if asks != "passed" else []
            lines.append(f" 3 not yet, {format_duration(later * 60)} more")
            zones = enumerate(_to_wet_again(placed.part), start=4)
            return [*lines, *(f" {n} brush {zone.name} again" for n, zone in zones)]
        if record.step.kind == "dwell":
            return [
                f" {n} {self._zone_words(mark, record)}"
                for n, mark in enumerate(record.marks, start=1)
            ]
        if record.status == "in hand" and record.marks:
            return _grid(record, width)
        return []

    def _zone_words(self, mark: Mark, record: StepRecord) -> str:
        now = self.bench.now()
        if mark.begun_at is None:
            return f"{mark.name}: brush it"
        if mark.done_at is not None:
            soaked_s = (mark.done_at - mark.begun_at).total_seconds()
            again = "; brush again" if mark in zones_rinsed_early(record) else ""
            return f"{mark.name}: rinsed after {soak_words(record.step, soaked_s)}{again}"
        soaked = (now - mark.begun_at).total_seconds()
        least, most = record.step.least_s / 60, record.step.most_s / 60
        what = "leave it on" if soaked < record.step.least_s else "rinse it"
        return f"{mark.name}: {countdown(-soaked)[1:]} of {least:g}-{most:g} min, {what}"

    def _prompt(self, part: Part, state: StandState, width: int) -> list[Line]:
        if self.bench.said is not None:
            return self.said_lines(width, 4)
        if (action := next_action(part, state)) == "test":
            return [line(" test it, then press the number of the result", width, "chosen")]
        return [line(f" {action_line(action, part, state, self.bench.now())}", width, "chosen")]

    # -- keys ------------------------------------------------------------------

    def keys_now(self) -> Sequence[KeyWord]:
        """Only what does something: digits with words beside them; faces or the sheet by Enter."""
        placed = self.placed
        digits, start, sheet, *rest = self.KEYS
        if placed is None:
            still = (StandPage.mix, StandPage.last, StandPage.home)
            return [sheet, *(key for key in rest if key.do in still)]
        state = placed.state(self.bench.now())
        action = next_action(placed.part, state)
        word = {"faces": "", "test": ""}.get(action, action_word(action))
        keys = [replace(start, word=word)] if word else []
        keys.append(replace(sheet, word="all faces") if action == "faces" else sheet)
        *others, home = rest
        heavy = replace(digits, word="heavy")
        others += only(heavy, THICKNESS if _coat_to_judge(placed.part) else "")
        return [*self._digits(digits, placed, state), *keys, *others, home]

    def _digits(self, row: KeyWord, placed: PlacedPart, state: StandState) -> Sequence[KeyWord]:
        """Those that stand beside a choice, a zone or a face."""
        record = placed.part.current()
        if record is None:
            return ()
        if asks := asks_for(placed.part, state, placed.tests, self.bench.now()):
            passed = asks == "passed"
            test_row = replace(row, word="test")
            if passed:
                return only(test_row, ("1", "3"))
            return first_of(test_row, 3 + len(_to_wet_again(placed.part)))
        if record.step.kind == "dwell":
            return first_of(replace(row, word="zone"), len(record.marks))
        marks = enumerate(record.marks[:9], start=1) if record.status == "in hand" else ()
        left = [str(n) for n, mark in marks if mark.done_at is None]
        return only(replace(row, word="face"), left)

    def pick(self, digit: str) -> None:
        """The choice beside a digit: a test's outcome, a face, a zone."""
        placed = self.placed
        record = placed.part.current() if placed else None
        if placed is None or record is None:
            return
        if digit == THICKNESS and _coat_to_judge(placed.part) is not None:
            self.ask(part_flows.how_thick(self.bench, placed.part))
            return
        state = placed.state(self.bench.now())
        if asks := asks_for(placed.part, state, placed.tests, self.bench.now()):
            self._tested(digit, asks, placed.part, state)
        elif int(digit) <= len(record.marks):
            self._mark(placed.part, record, record.marks[int(digit) - 1])

    def _tested(self, digit: str, asks: str, part: Part, state: StandState) -> None:
        again = _to_wet_again(part)
        if digit == "2" and asks != "passed":
            self.ask(self._passed())
        elif digit in "13":
            sooner, later = waits_offered(part, state)
            minutes = sooner if digit == "1" else later
            self.bench.do(testing.put_test_off, self.tag, self.bench.painter, minutes=minutes)
        elif asks == "test" and 0 <= int(digit) - 4 < len(again):
            self.ask(self._wet_again(again[int(digit) - 4]))

    def _mark(self, part: Part, record: StepRecord, mark: Mark) -> None:
        if mark in zones_rinsed_early(record):
            self.ask(self._wet_again(mark))
        elif record.step.kind == "dwell" and mark.begun_at is None:
            self.bench.do(steps.begin, self.tag, self.bench.painter, zone=mark.name)
        elif record.step.kind == "dwell":
            self.ask(part_flows.finish(self.bench, part, mark.name))
        elif record.status == "in hand":
            self.bench.do(steps.finish, self.tag, self.bench.painter, mark=mark.name)

    async def _wet_again(self, zone: Mark) -> None:
        """A zone that was rinsed early, after a second key: its dwell starts again."""
        notes = ["Its dwell starts again. Both soakings stay in the log."]
        if await is_sure(self.bench, f"Brush {zone.name} again?", notes):
            self.bench.do(steps.begin, self.tag, self.bench.painter, zone=zone.name)

    async def _passed(self) -> None:
        """Who says it passed: a name, never a bare Enter."""
        title = f"Tag {self.tag}: who tested it and says it passed?"
        name = await choose_text(self.bench, title, self.bench.view.painters)
        if name:
            self.bench.do(testing.pass_test, self.tag, name)

    def do_obvious(self) -> None:
        """Start or stop the obvious clock."""
        if (placed := self.placed) is not None:
            action = next_action(placed.part, placed.state(self.bench.now()))
            if action in part_flows.BY_ACTION:
                self.ask(part_flows.BY_ACTION[action](self.bench, placed.part))

    def enter(self) -> None:
        """Asks whether all open faces were sprayed just now; without any, its sheet."""
        placed = self.placed
        state = placed.state(self.bench.now()) if placed else EMPTY
        if placed is not None and next_action(placed.part, state) == "faces":
            self.ask(part_flows.all_faces(self.bench, placed.part, SureAfterEnter))
        else:
            self.open(RecordPage(self.tag))

    def earlier(self) -> None:
        """The last thing happened earlier."""
        if self.placed is not None:
            self.ask(part_flows.earlier(self.bench, self.placed.part))

    def mix(self) -> None:
        """Mix for this part's next coat."""
        self.ask(mix_flow(self.bench, self.placed.part if self.placed else None))

    def trouble(self) -> None:
        """Hold, skip, rework and the like."""
        if self.placed is not None:
            self.ask(part_flows.trouble(self.bench, self.placed.part))

    def last(self) -> None:
        """Show the last thing done."""
        self.open(LastAction())

    KEYS = (
        KeyWord(tuple("123456789"), "1-9", "pick", each=pick),
        KeyWord(("+",), "+", "start", do_obvious),
        KeyWord(("enter",), "Enter", "its sheet", enter),
        KeyWord(("-",), "-", "earlier", earlier),
        KeyWord(("*",), "*", "mix", mix),
        KeyWord(("/",), "/", "menu", trouble),
        KeyWord((".",), ".", "last", last),
        KeyWord(("0",), "0", "home", BenchScreen.home),
    )


def _coat_to_judge(part: Part) -> StepRecord | None:
    """The coat whose thickness a digit says; none where that digit is a zone's."""
    coat, current = coat_to_judge(part), part.current()
    zones = len(current.marks) if current is not None and current.step.kind == "dwell" else 0
    return None if isinstance(coat, Refusal) or zones >= int(THICKNESS) else coat


def _to_wet_again(part: Part) -> tuple[Mark, ...]:
    """The zones of the last step, a wash, that were rinsed early."""
    below = part.clock_step()
    return zones_rinsed_early(below) if below is not None else ()


def _that_fit(blocks: Sequence[list[tuple[str, str]]], room: int) -> list[tuple[str, str]]:
    """Whole sayings as far as there is room, and where the rest of them is."""
    if sum(map(len, blocks)) <= room:
        return [row for each in blocks for row in each]
    if room < 1:
        return []
    rows: list[tuple[str, str]] = []
    for each in blocks:
        if len(rows) + len(each) > room - 1:
            break
        rows += each
    return [*rows, (MORE, "dim")]


def _beside(
    window: str, who: str, width: int, word_width: int, rows: int
) -> tuple[str, list[tuple[str, str]]]:
    """After the word, and the rows below it with their styles.

    Where the rows are too few for both texts, one that fits stands after the word.
    """
    texts = ((window, ""), (who, "dim"))
    broken = [(wrapped([text], width) if text else [], style) for text, style in texts]
    above = ""
    if sum(len(each) for each, _ in broken) > rows:
        short = [each for each, _ in broken if len(each) == 1 and cell_len(each[0]) <= word_width]
        above = short[-1].pop() if short else ""
    below = [(text, style) for each, style in broken for text in each]
    return above, below[:rows]


def _grid(record: StepRecord, width: int) -> list[str]:
    """Faces four to a line if there is room; where two share them, whose each is."""
    names = initials(record.marks)
    whose = names if len(names) > 1 else {}
    texts = [
        f"{n}{'x' if mark.done_at else ' '}{mark.name} {whose.get(mark.by, '')}"
        for n, mark in enumerate(record.marks, start=1)
    ]
    words = (
        f"; {', '.join(f'{letters} {name}' for name, letters in whose.items())}" if whose else ""
    )
    across = max(min((width - 1) // FACE_WIDE, 4), 1)
    rows = [texts[n : n + across] for n in range(0, len(texts), across)]
    return [
        *wrapped([f"faces: x is sprayed{words}"], width),
        *(" " + "".join(fit(text, FACE_WIDE) for text in row) for row in rows),
    ]
