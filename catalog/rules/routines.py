"""Routines: whether their tests proved them, for what was worked within them.

What is worked within a routine is said in `within.py`. A routine was **proved** for it, one question (hypo or
silver) at a time, by the tests on control strips and work prints of the same paper: a new batch is another paper, with
tests of its own. Such a test tells of the routine when its piece was within it by then; a clean one also when its
piece only had less of anything than the routine asks for, or more sheets beside it. It is clean when neither it nor
another test of the same state of that piece found more than nothing (a drop) or the target (a measured value), and its
day and those of its steps are certain. A clean one vouches for a print as `within.py` says, and together they do where
the print's last wash held no more sheets than the fullest of theirs, a strip alone standing for one. What is not clean
counts always, on whatever print of that paper, from the first day it can be of.

On a day, the routine was proved when the newest clean tests up to that day, of as many pieces as it asks for, have
nothing unclean among or after them; the newest is no older than the lapse; the routine had begun and not ended; and
no test failed from that day on until the next clean one: what fails then puts what was worked before it in doubt too,
unless the proof had lapsed by then. Tests of one day have no order: one that is not clean spoils its whole day. A
print must find its routine proved on the day of its first fix and on that of its last wet step.
"""

import json
import sqlite3
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from catalog.records import items, residuals, routines
from catalog.records.loads import Timelines, Wet, shifted, span
from catalog.records.residuals import Test
from catalog.records.routines import Manner, Routine
from catalog.rules.alike import add_timelines, alike
from catalog.rules.tested import CLEAN, UNCLEAN, Sources, Target, Tested, targets, tested
from catalog.rules.within import NOTHING, Stages, Worked, folded, least, shortest, vouches, worked
from catalog.store.rows import fetch_all
from catalog.vocabulary import QUESTIONS

CHUNK = 16  # pieces read at a time when a proof looks for them one by one


class Trial(NamedTuple):
    """What one test tells of a routine. Of a day that is not certain, `first` and `last` are the ends."""

    piece: int
    first: str
    last: str
    outcome: str
    clean: bool
    stages: Stages
    sheets: int


class Tests(NamedTuple):
    """Tests of one question on one paper: those of a certain day in order of it, and those of none."""

    dated: list[Test]
    loose: list[Test]


class Proof(NamedTuple):
    """What the tests say of a routine on one paper and one day: the clean ones that count, the newest first.

    `spoiled` is the day of an unclean test among or after them, `disproved` that of one that failed after the day;
    `crowded`: the print was washed among more sheets than any of them.
    """

    wanted: int
    clean: tuple[Trial, ...]
    newest: str
    lapses: str
    lapsed: bool
    spoiled: str
    disproved: str
    crowded: bool = False

    @property
    def holds(self) -> bool:
        """Whether the routine is proved."""
        return self.enough and not self.disproved

    @property
    def enough(self) -> bool:
        """Whether it was proved by what came up to that day."""
        return len(self.clean) >= self.wanted and not (self.lapsed or self.spoiled or self.crowded)


def prove(routine: Routine, day: str, how: Worked | None, tests: Tests, trial: Callable[[Test], Trial | None]) -> Proof:
    """The proof of a routine on a day, for what was worked in a way, as the module says.

    `tests` are of one question and one paper; `trial` says what one tells of this routine. Without a way it is that of
    the newest clean piece, no longer than the routine asks; a proof that lapsed before the day is looked for then only.
    """
    clean: list[Trial] = []
    spoiled = disproved = ""
    stages = how.stages if how else NOTHING
    since = shifted(day, -routine.lapse_days) if how else ""
    here = bisect_right(tests.dated, day, key=_day)
    for test in reversed(tests.dated[:here]):
        enough = len(clean) == routine.tests
        if (not clean and test.earliest < since) or (enough and test.earliest < clean[-1].first):
            break
        found = trial(test)
        if found and found.outcome in UNCLEAN:
            spoiled = found.first
            break
        if found and found.clean and stages is NOTHING:
            stages = least(routine, found.stages)
        counts = found and found.clean and not enough and vouches(found.stages, stages)
        if found and counts and all(found.piece != one.piece for one in clean):
            clean.append(found)
    if not clean:
        return Proof(routine.tests, (), "", "", True, spoiled, "")
    newest = clean[0].first
    until = lapses = shifted(newest, routine.lapse_days)
    for test in tests.dated[here:]:
        if test.earliest > until:
            break
        found = trial(test)
        if found and found.outcome == "failed":
            disproved = found.first
            break
        if found and found.clean and vouches(found.stages, stages):
            until = min(until, found.first)
    for test in tests.loose:
        found = trial(test)
        if found and found.outcome in UNCLEAN and found.first <= until and found.last >= clean[-1].first:
            spoiled = spoiled or newest
    outside = day < routine.begun or (routine.ended != "" and day > routine.ended)
    crowded = how is not None and how.sheets > max(1, *(one.sheets for one in clean))
    return Proof(routine.tests, tuple(clean), newest, lapses, outside or lapses < day, spoiled, disproved, crowded)


def _day(test: Test) -> str:
    return test.earliest


class Prover:
    """Proofs of routines, with what was read for them kept."""

    def __init__(
        self, connection: sqlite3.Connection, known: Sequence[Routine], targets: dict[str, Target], lines: Timelines
    ) -> None:
        self.connection, self.targets, self.lines = connection, targets, lines
        self.routines: dict[str, list[Routine]] = {}
        for routine in known:
            self.routines.setdefault(folded(routine.stock), []).append(routine)
        self.manners: dict[int, Manner] = {}
        self._tests: dict[int, dict[str, Tests]] = {}
        self._of_piece: dict[int, list[Test]] = {}
        self._trials: dict[tuple[int, int], dict[int, Trial]] = {}
        self._proofs: dict[tuple[int, int, str, str, Stages, int], Proof] = {}
        self._found_in: dict[int, list[int]] | None = None
        self._codes: dict[int, str] = {}
        self._counted: dict[int, list[Tested]] = {}
        self._ways: dict[tuple[int, bool, int], tuple[Sequence[Wet], Worked]] = {}
        self._chunk = CHUNK

    def of_stock(self, stock: str) -> list[Routine]:
        """The routines of a paper's description."""
        return self.routines.get(folded(stock), [])

    def know(self, wets: Iterable[Wet]) -> None:
        """Read what steps were worked with, many at a time."""
        missing = {wet.step for wet in wets if wet.step not in self.manners}
        if missing:
            self.manners |= routines.manners(self.connection, sorted(missing))

    def worked(self, routine: Routine, wets: Sequence[Wet], *, short: bool = False) -> Worked:
        """How an item was worked beside a routine (`short`: or with less); once for all that share a history."""
        key = (routine.id, short, id(wets))
        if key not in self._ways:
            terms = shortest(routine) if short else routine
            try:
                how = worked(terms, wets, self.manners)
            except KeyError:  # not read yet
                self.know(wets)
                how = worked(terms, wets, self.manners)
            self._ways[key] = wets, how  # the steps are kept with it, so that no others can take their place
        return self._ways[key][1]

    def proof(self, routine: Routine, paper: int, question: str, day: str, how: Worked) -> Proof:
        """The proof of a routine on a paper and a day, for what was worked in such a way."""
        key = (routine.id, paper, question, day, how.stages, how.sheets)
        if key not in self._proofs:
            tests = self.tests_on(paper)[question]
            self._proofs[key] = prove(routine, day, how, tests, lambda test: self._trial(routine, paper, test))
        return self._proofs[key]

    def standing(self, routine: Routine, paper: int, question: str, day: str) -> Proof:
        """The proof for what is worked on a day like the newest clean piece, lapsed ones too."""
        tests = self.tests_on(paper)[question]
        return prove(routine, day, None, tests, lambda test: self._trial(routine, paper, test))

    def codes(self, pieces: Iterable[int]) -> list[str]:
        """The codes of pieces."""
        wanted = list(pieces)
        if missing := [piece for piece in wanted if piece not in self._codes]:
            self._codes |= items.codes_of(self.connection, missing)
        return [self._codes[piece] for piece in wanted]

    def tests_on(self, paper: int) -> dict[str, Tests]:
        """The tests that may tell of a way of working on a paper, by question."""
        if paper not in self._tests:
            if self._found_in is None:
                self._found_in = routines.found_in(self.connection)
            pieces = [*routines.pieces(self.connection, paper), *self._found_in.get(paper, ())]
            read = fetch_all(self.connection, Test, residuals.OF_ITEMS, (json.dumps(pieces),))
            found = {question: Tests([], []) for question in QUESTIONS}
            for test in sorted(read, key=lambda one: (one.earliest, one.item)):
                of = found[test.question]
                (of.dated if test.happened == test.earliest == test.latest else of.loose).append(test)
                self._of_piece.setdefault(test.item, []).append(test)
            self._tests[paper] = found
        return self._tests[paper]

    def _trial(self, routine: Routine, paper: int, test: Test) -> Trial | None:
        key = (routine.id, test.item)
        if key not in self._trials:
            self._read_piece(paper, test)
            self._trials[key] = self._trials_of(routine, paper, test.item)
        return self._trials[key].get(test.id)

    def _read_piece(self, paper: int, test: Test) -> None:
        """Read the steps of a piece, and of those tested before and after it."""
        if test.item not in self.lines.of:
            tests = self.tests_on(paper)[test.question].dated
            here = bisect_right(tests, test.earliest, key=_day)
            near = tests[max(0, here - self._chunk) : here + self._chunk // 4]
            items = {one.item for one in near} | {test.item}
            add_timelines(self.connection, self.lines, alike(self.connection, sorted(items)), set(self.lines.of))
            self._chunk *= 2
            self.know(wet for item in items for wet in self.lines.of.get(item, ()))

    def _trials_of(self, routine: Routine, paper: int, piece: int) -> dict[int, Trial]:
        """Every test of a piece that tells of a routine, by its number."""
        wets = self.lines.of.get(piece, [])
        if piece not in self._counted:
            known = Sources(self.lines, {piece: ""}, {}, (), self.targets)
            self._counted[piece] = tested(piece, wets, self._of_piece[piece], known)
        counted = self._counted[piece]
        unclean = {(one.test.question, one.after) for one in counted if one.outcome in UNCLEAN}
        proves = piece not in (self._found_in or {}).get(paper, ())
        found = {}
        ways: dict[tuple[int, bool], Worked] = {}  # by how many of its steps came before a test
        for one in counted:
            way = one.after, one.outcome in CLEAN
            if way not in ways:
                gone = wets if one.after == len(wets) else wets[: one.after]
                ways[way] = self.worked(routine, gone, short=way[1])
            how = ways[way]
            if how.why_not or one.outcome == "data":
                continue
            first, last = span(one.test.happened, one.test.earliest, one.test.latest)
            certain = first == last and one.unsure is None and not how.loose
            clean = one.outcome in CLEAN and proves and certain and (one.test.question, one.after) not in unclean
            found[one.test.id] = Trial(piece, first, last, one.outcome, clean, how.stages, how.sheets)
        return found


def prover_of(connection: sqlite3.Connection, known: Sequence[Routine]) -> Prover:
    """A prover of these routines, with nothing read yet."""
    return Prover(connection, known, targets(connection), Timelines())
