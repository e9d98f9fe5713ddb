"""The whole bench: every stand in its place, six to a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf
from operator import itemgetter

from rich.cells import cell_len

from bench.process.actions.next_action import action_line, action_word, next_action
from bench.process.attention.todo_list import Task, is_near, is_soon, urgency
from bench.process.clocks.stand_state import HARM
from bench.process.parts.part import Part, is_lot_of, last_event_at
from bench.process.refusals.refusal import Refusal
from bench.screens.bench.planned import planned
from bench.screens.core.keys import KeyWord, first_of, help_behind
from bench.screens.core.pages import PagedScreen, chunks
from bench.shop.core.transaction import Outcome
from bench.widgets.lines import Line, columns, fill, line, wrapped
from bench.widgets.stand import (
    StandLook,
    names_on_it,
    number_of,
    short_number,
    stand_block,
    step_words,
)
from bench.widgets.status_lines import (
    StandElsewhere,
    away_lines,
    elsewhere_words,
    header,
    in_danger,
    is_shown_in_full,
    note_lines,
    pots_line,
    task_lines,
)

ON_A_PAGE = 6
SECOND_FIGURE_S = 1.5
"""How long after a first figure, or a zero, a second one still belongs to it."""

LEAST_WIDTH, LEAST_HEIGHT = 78, 22
"""Below this the stands are a plain list."""

WIDE = 132
"""From here on the columns stand further apart than the dots of two tall figures do."""

LEAST_FOR_NOTES = 30
"""From so many lines on, the notes of the bench have lines of their own."""

LEAST_LIST = 4
"""Lines of that list that are kept before the lines under it."""

NO_HURRY = ("OPEN", "CURED")
"""What can be done any time stands after what comes due within the hour."""

LETTERS = "wraptfjdsnuehgcvlo"
"""Those beside the keypad that begin an action (``registry``), in the help's order."""

BY_WORDS = KeyWord(("ctrl+p",), "ctrl+p", "all of it, by words", beside=True)
"""For the help: Textual takes this key for its palette before any screen's table of keys."""


class WholeBench(PagedScreen[None]):
    """Home.

    Every key but Enter does what it always does while an alarm is up, and an action that ends the
    state settles the alarm too.
    """

    HELP_KEY = help_behind("/")
    SHOWS_THE_BENCH = True

    def __init__(self) -> None:
        super().__init__()
        self.chosen: int | None = None
        self._figure_at = float("-inf")
        self._zero_at = float("-inf")

    # -- drawing ---------------------------------------------------------------

    def draw(self, width: int, height: int) -> list[Line]:
        """Room, wants, stands, air, pots, answer, keys."""
        bench, now = self.bench, self.bench.now()
        view = bench.view
        numbers = self.part_of(self._order(), ON_A_PAGE)
        who = "nobody" if bench.painter in view.left else bench.painter
        head = header(
            *(now, view.room(now), who, bench.demo_mark, width),
            doubtful=view.doubtful,
            equipment=view.equipment,
        )
        wrong = bench.data.lines(width, backups=True)
        top = [in_danger(head, bench.alarms.known), *wrong, *self.alarm_band(width)]
        bottom = [
            self.air_line(width),
            pots_line(view.pots, now, width, view.guns, view.equipment, view.house.units),
            self._prompt(width, notes_above=height >= LEAST_FOR_NOTES),
            self.keys_line(width),
        ]
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            rest = bottom[max(len(top) + LEAST_LIST + len(bottom) - height, 0) :]
            return top + self._list(width, height - len(top) - len(rest)) + rest
        block = (height - 8) // 2 if height < 30 else (height - 11) // 2
        notes = note_lines(view.notes, now, width) if height >= LEAST_FOR_NOTES else []
        wants = height - len(top) - len(notes) - len(bottom) - 2 * block
        above = top + self._wants_or_notes(wants, width) + notes
        return above + self._stands(numbers, width, block) + bottom

    def _wants_or_notes(self, count: int, width: int) -> list[Line]:
        """What to do; for as long as an answer stands, first what it wants to be known."""
        answer = self.bench.said
        notes = wrapped(answer.notes, width - 2) if isinstance(answer, Outcome) else []
        shown = [line(f" {note}", width, "said") for note in notes[: count - 1]]
        if answer is not None and not shown and self._is_cut(answer, width):
            shown = self.said_lines(width, count)
        alarms, now = self.bench.alarms, self.bench.now()
        away = alarms.known.while_away()
        came_up = away_lines(away, now, count - len(shown), width)
        shown += came_up
        if len(shown) == count:
            return shown
        in_full = [*(away if len(came_up) > len(away) else ())]
        if alarms.known.up and is_shown_in_full(alarms.known, alarms.to_answer(), width):
            in_full.append(alarms.known.up[0])
        in_alarm = {(alarm.want.tag, alarm.want.word) for alarm in in_full}
        every = self.bench.view.wants(now)
        wants = [w for w in every if (w.tag, w.word) not in in_alarm]
        rest, alarm_above = self._elsewhere(every, width - 2), bool(alarms.known.up)
        return shown + task_lines(wants, count - len(shown), width, rest, alarm_above=alarm_above)

    def _is_cut(self, answer: Outcome | Refusal, width: int) -> bool:
        """Whether an answer does not fit the one line below the stands."""
        text = f" NO: {answer}" if isinstance(answer, Refusal) else f" {answer.text}"
        return cell_len(text) > width

    def _order(self) -> list[int]:
        """The stands in their places, or the most urgent first where the shop wants that."""
        view, now = self.bench.view, self.bench.now()
        numbers = [number for number, _ in view.stands]
        if not view.house.urgent_first:
            return numbers
        return sorted(numbers, key=lambda number: urgency(view.state(number, now), now))

    def _elsewhere(self, wants: Sequence[Task], width: int) -> str:
        """What is to do within the hour on the other pages, and on no stand."""
        cold = {want.stand for want in wants if want.word == "COLD"}
        groups: dict[tuple[bool, int], list[tuple[tuple[int, float], StandElsewhere]]] = {}
        for page, numbers in enumerate(chunks(self._order(), ON_A_PAGE), start=1):
            for number in numbers if page != self.page + 1 else ():
                for due in self._due_on(number, cold=number in cold):
                    groups.setdefault((due[1].word in NO_HURRY, page), []).append(due)
        groups = {key: sorted(group, key=itemgetter(0)) for key, group in groups.items()}
        ranked = sorted(groups, key=lambda key: (key[0], groups[key][0][0]))
        pages = [(key[1], [stand for _, stand in groups[key]]) for key in ranked]
        nowhere = [
            StandElsewhere(f"tag {want.tag}", want.word, "", "")
            for want in wants
            if want.stand is None and self.bench.view.find(want.tag)
        ]
        return elsewhere_words([*pages, (0, nowhere)] if pages else [], width)

    def _due_on(
        self, number: int, *, cold: bool
    ) -> Iterator[tuple[tuple[int, float], StandElsewhere]]:
        """What a stand asks for within the hour, each with how urgent it is."""
        view, now = self.bench.view, self.bench.now()
        placed, state = view.on(number), view.state(number, now)
        who = names_on_it(placed.part) if placed else ""
        if is_soon(state, now):
            count = short_number(state, now) if is_near(state, now) else ""
            yield urgency(state, now), StandElsewhere(str(number), state.word, count, who)
        if cold:
            yield (HARM.index("TEST"), inf), StandElsewhere(str(number), "COLD", "", who)

    def _looks(self, numbers: Sequence[int]) -> list[StandLook]:
        view, now = self.bench.view, self.bench.now()
        up = {alarm.want.stand for alarm in self.bench.alarms.known.up}
        looks = []
        for number in numbers:
            placed = view.on(number)
            part, state = placed.part if placed else None, view.state(number, now)
            notes = tuple(note.text for note in placed.notes) if placed else ()
            off = [other.part for other in view.off_stand if other.part.rework]
            lots = tuple(lot for lot in off if part and is_lot_of(lot.tag, part.tag))
            marks = number == self.chosen, number in up
            is_shown = part is not None and state.word not in ("WORKING", "HOLD")
            by_plan = planned(view, part, now) if part is not None and is_shown else ""
            looks.append(StandLook(number, part, state, *marks, notes, lots, by_plan))
        return looks

    def _stands(self, numbers: Sequence[int], width: int, block: int) -> list[Line]:
        across, gap = 3, 3 if width >= WIDE else 1
        each = (width - gap * (across - 1)) // across
        widths = [each, each, width - 2 * each - 2 * gap]
        now = self.bench.now()
        looks = self._looks(numbers)
        blocks = [
            stand_block(look, now, widths[place % across], block, ascii_only=self.bench.ascii_only)
            for place, look in enumerate(looks)
        ]
        rows = [*columns(blocks[:across], gap, block, widths)] if blocks else []
        rows += [*columns(blocks[across:], gap, block, widths)] if len(blocks) > across else []
        filled = [self._filled(row, width) for row in rows]
        return fill(filled, width, 2 * block)

    def _filled(self, row: Line, width: int) -> Line:
        used = sum(cell_len(piece.text) for piece in row)
        return (*row, *line("", width - used)) if used < width else row

    def _list(self, width: int, height: int) -> list[Line]:
        """The plain list of a small terminal: all stands, one a line, paged."""
        now = self.bench.now()
        every = self._order()
        pages = chunks(every, max(height, 1))
        page = self.page % len(pages)
        if self.chosen in every:
            page = every.index(self.chosen) // max(height, 1)
        lines = []
        for look in self._looks(pages[page]):
            number = number_of(look.state, now)
            alarm = "!" if look.alarm else " "
            place = f"{'>' if look.chosen else ''}{look.number}"
            text = f"{place:>3}{alarm}{look.state.word:<9} {look.state.shape} {number:<10}"
            if look.part is not None:
                text += f" {look.part.tag} {look.part.name}: {step_words(look.part)}"
            lines.append(line(text, width, "chosen" if look.chosen else ""))
        return fill(lines, width, height)

    def _prompt(self, width: int, *, notes_above: bool) -> Line:
        """The last answer, else what the keys would do to the chosen stand, else the notes.

        notes_above: the notes stand somewhere else already.
        """
        if self.bench.said is not None:
            return self.said_lines(width, 1)[0]
        if self.bench.shop.clock.monotonic() - self._zero_at <= SECOND_FIGURE_S:
            return line(" 0 again finds a part by its tag", width, "chosen")
        if self.chosen is not None:
            return line(
                f" stand {self.chosen}:  {self._chosen_words(self.chosen)}", width, "chosen"
            )
        text = " press the number of a stand"
        if self.pages > 1:
            turns = "" if self.bench.alarms.to_answer() else "   Enter turns the page"
            text = f" {self.page_words()}{turns}"
        notes = [] if notes_above else [note.text for note in self.bench.view.notes]
        return line("   ".join([text, *(f"note: {note}" for note in notes)]), width, "dim")

    def _chosen_words(self, stand: int) -> str:
        """What plus, Enter and the slash do to the chosen stand."""
        part, state = self.chosen_part, self.bench.view.state(stand, self.bench.now())
        action = action_line(next_action(part, state), part, state, self.bench.now())
        page = "" if self.bench.alarms.to_answer() else "   Enter its page"
        return f"{action}{page}   / menu" if part else action

    def picture(self, width: int, height: int) -> list[Line]:
        """The bench has a place of its own for the alarm."""
        return self.draw(width, height)

    # -- keys ------------------------------------------------------------------

    def keys_now(self) -> Sequence[KeyWord]:
        """What they do to the chosen stand, or to the bench."""
        stands, start, earlier, enter, mix, trouble, last, home, *_ = self.KEYS
        part, chosen = self.chosen_part, self.chosen is not None
        keys = list(first_of(stands, len(self.bench.view.stands)))
        if chosen:
            action = next_action(part, self.bench.view.state(self.chosen or 0, self.bench.now()))
            keys += [replace(start, word=action_word(action))] if action_word(action) else []
            keys += [earlier] if part and last_event_at(part) else []
        else:
            keys.append(replace(start, word="far view"))
        if chosen:
            keys.append(enter if part else replace(enter, word="place"))
        elif self.pages > 1:
            keys.append(replace(enter, word="next"))
        keys += [mix, trouble, last]
        if chosen or self.page:
            keys.append(replace(home, word="let it go") if chosen else home)
        else:
            keys.append(replace(home, shown="0 0", word="find tag"))
        return keys

    def keys_beside(self) -> Sequence[KeyWord]:
        """The palette, and every letter that leads somewhere."""
        from bench.screens.menus.menu_list import BY_LETTER

        letters = [BY_LETTER[letter].key for letter in LETTERS]
        return [BY_WORDS, *letters] if self.bench.finds_places else letters

    def press(self, pressed: str) -> None:
        """Any key takes the last answer away before it does its own thing."""
        self.bench.said = None
        if self.bench.painter in self.bench.view.left and pressed not in ("?", "escape"):
            from bench.screens.setup import painters

            self.ask(painters.who_is_in(self.bench))
            return
        at = self.bench.shop.clock.monotonic()
        again = at - self._zero_at <= SECOND_FIGURE_S
        at_home = self.chosen is None and not self.page
        self._zero_at = at if pressed == "0" and at_home and not again else float("-inf")
        if pressed == "0" and again:
            self.find_tag()
        else:
            super().press(pressed)

    def choose(self, figure: str) -> None:
        """The stand with this number; a second figure soon after makes it two figures."""
        at = self.bench.shop.clock.monotonic()
        numbers = self._order()
        both = self._two_figures(figure)
        self._figure_at = at
        wanted = both or int(figure)
        if wanted in numbers:
            self.chosen = wanted
            self.page = numbers.index(wanted) // ON_A_PAGE

    def _two_figures(self, figure: str) -> int:
        """The stand whose number is what was chosen a moment ago and this figure; 0 for none."""
        soon = self.bench.shop.clock.monotonic() - self._figure_at <= SECOND_FIGURE_S
        both = int(f"{self.chosen}{figure}") if self.chosen and self.chosen < 10 else 0
        return both if soon and any(both == number for number, _ in self.bench.view.stands) else 0

    def zero(self) -> None:
        """The whole bench, first page, nothing chosen; there two zeros find a tag.

        A zero that leads home is none of the two. Soon after a first figure it is the second of
        stand 10, where there is one.
        """
        if self._two_figures("0"):
            self.choose("0")
            self._zero_at = float("-inf")
        else:
            self.start_over()

    def start_over(self) -> None:
        """The same by Escape, which finds no tag and is no figure."""
        self.chosen, self.page = None, 0

    def enter(self) -> None:
        """The chosen stand's page; with none chosen, the next page."""
        if self.chosen is None:
            self.turn()
        elif self.bench.view.on(self.chosen) is None:
            self.place()
        else:
            self.open_page()

    @property
    def chosen_part(self) -> Part | None:
        """What is on the chosen stand."""
        placed = self.bench.view.on(self.chosen) if self.chosen else None
        return placed.part if placed else None

    def do_obvious(self) -> None:
        """Start or stop the obvious clock of the chosen stand; with none chosen, the far view."""
        from bench.screens.bench.far_view import FarView
        from bench.screens.parts import part_flows

        if self.chosen is None:
            self.bench.push_screen(FarView())
            return
        part = self.chosen_part
        if part is None:
            self.place()
            return
        action = next_action(part, self.bench.view.state(self.chosen, self.bench.now()))
        if action in ("faces", "test"):
            self.open_page()
        elif action in part_flows.BY_ACTION:
            self.ask(part_flows.BY_ACTION[action](self.bench, part))

    def open_page(self) -> None:
        """Open the page of the chosen stand."""
        from bench.screens.bench.stand_page import StandPage

        if self.chosen_part is not None:
            self.open(StandPage(self.chosen_part.tag))

    def place(self) -> None:
        """Put a part on the chosen stand."""
        from bench.screens.parts import placement

        if self.chosen is not None:
            self.ask(placement.place(self.bench, self.chosen))

    def earlier(self) -> None:
        """The last thing done to the chosen stand happened earlier."""
        from bench.screens.parts import part_flows

        if self.chosen_part is not None:
            self.ask(part_flows.earlier(self.bench, self.chosen_part))

    def mix(self) -> None:
        """Mix, for the chosen stand's product if it has one."""
        from bench.screens.stock.mix import mix_flow

        self.ask(mix_flow(self.bench, self.chosen_part))

    def trouble(self) -> None:
        """Hold, skip, rework and the like for a stand; painter, reading and pots without one."""
        from bench.screens.menus.menu_list import SHOP, open_menu
        from bench.screens.parts import part_flows

        part = self.chosen_part
        self.ask(part_flows.trouble(self.bench, part) if part else open_menu(self.bench, SHOP))

    def by_letter(self, letter: str) -> None:
        """What a letter beside the keypad leads to."""
        from bench.screens.menus.menu_list import BY_LETTER

        self.ask(BY_LETTER[letter].flow(self.bench))

    def last(self) -> None:
        """Show the last thing done, by anyone; Enter then undoes it."""
        from bench.screens.bench.last_action import LastAction

        self.open(LastAction())

    def find_tag(self) -> None:
        """A part by its tag, wherever it is."""
        from bench.screens.parts import part_flows

        self.ask(part_flows.find_tag(self.bench))

    KEYS = (
        KeyWord(tuple("123456789"), "1-9", "stand", each=choose),
        KeyWord(("+",), "+", "start", do_obvious),
        KeyWord(("-",), "-", "earlier", earlier),
        KeyWord(("enter",), "Enter", "open", enter),
        KeyWord(("*",), "*", "mix", mix),
        KeyWord(("/",), "/", "menu", trouble),
        KeyWord((".",), ".", "last", last),
        KeyWord(("0",), "0", "home", zero),
        KeyWord(("escape",), "", "", start_over),
        KeyWord(tuple(LETTERS), "", "", each=by_letter),
    )
