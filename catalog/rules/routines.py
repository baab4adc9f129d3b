"""Routines: whether their tests proved them, for what was worked within them.

What is worked within a routine is said in `within.py`. A routine was **proved** for it, one question (hypo or
silver) at a time, by the tests on control strips and work
prints of the same paper: a new batch is another paper, with tests of its own. Such a test tells of the routine when
its piece was within it by then. It is clean when neither it nor another test of the same state of that piece found
more than nothing (a drop) or the target (a measured value), and its day is certain. A clean one vouches for a print
only when no stage of its piece was more than a tenth longer than the print's; what is not clean counts always.

On a day, the routine was proved when the newest clean tests up to that day, of as many pieces as it asks for, have
nothing unclean among or after them; the newest is no older than the lapse; the routine had begun and not ended; and
no test failed from that day on until the next clean one: a strip that fails then puts what was worked before it in
doubt too, unless the proof had lapsed by then. Tests of one day have no order: one that is not clean spoils its whole
day. A print must find its routine proved on the day of its first fix and on that of its last wet step.
"""

import json
import sqlite3
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.quantities import format_residue
from catalog.records import residuals, routines
from catalog.records.loads import ENDLESS, Timelines, Wet
from catalog.records.residuals import Test
from catalog.records.routines import Manner, Routine
from catalog.rules.alike import add_timelines, alike
from catalog.rules.tested import CLEAN, UNCLEAN, Target, targets, tested
from catalog.rules.within import Stages, Worked, folded, least, vouches, worked
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


class Tests(NamedTuple):
    """Tests of one question on one paper: those of a certain day in order of it, and those of none."""

    dated: list[Test]
    loose: list[Test]


class Proof(NamedTuple):
    """What the tests say of a routine on one paper and one day: the clean ones that count, the newest first.

    `spoiled` is the day of an unclean test among or after them, `disproved` that of one that failed after the day.
    """

    wanted: int
    clean: tuple[Trial, ...]
    newest: str
    lapses: str
    lapsed: bool
    spoiled: str
    disproved: str

    @property
    def holds(self) -> bool:
        """Whether the routine is proved."""
        return self.enough and not self.disproved

    @property
    def enough(self) -> bool:
        """Whether it was proved by what came up to that day."""
        return len(self.clean) >= self.wanted and not self.lapsed and not self.spoiled


def prove(
    routine: Routine,
    day: str,
    stages: Stages,
    tests: Tests,
    trial: Callable[[Test], Trial | None],
    far_back: bool = False,
) -> Proof:
    """The proof of a routine on a day, for what was worked in these stages, as the module says.

    `tests` are of one question and one paper; `trial` says what one tells of this routine. A proof that lapsed
    before the day is looked for with `far_back` alone.
    """
    clean: list[Trial] = []
    spoiled = disproved = ""
    since = "" if far_back else _shifted(day, -routine.lapse_days)
    here = bisect_right(tests.dated, day, key=_day)
    for test in reversed(tests.dated[:here]):
        enough = len(clean) == routine.tests
        if (not clean and test.earliest < since) or (enough and test.earliest < clean[-1].first):
            break
        found = trial(test)
        if found and found.outcome in UNCLEAN:
            spoiled = found.first
            break
        counts = found and found.clean and not enough and vouches(found.stages, stages)
        if found and counts and all(found.piece != one.piece for one in clean):
            clean.append(found)
    if not clean:
        return Proof(routine.tests, (), "", "", True, spoiled, "")
    newest = clean[0].first
    until = lapses = _shifted(newest, routine.lapse_days)
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
    return Proof(routine.tests, tuple(clean), newest, lapses, outside or lapses < day, spoiled, disproved)


def _day(test: Test) -> str:
    return test.earliest


def _shifted(day: str, days: int) -> str:
    try:
        return (date.fromisoformat(day) + timedelta(days=days)).isoformat()
    except OverflowError:
        return ENDLESS if days > 0 else "0001-01-01"


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
        self._proofs: dict[tuple[int, int, str, str, Stages], Proof] = {}
        self._chunk = CHUNK

    def of_stock(self, stock: str) -> list[Routine]:
        """The routines of a paper's description."""
        return self.routines.get(folded(stock), [])

    def know(self, wets: Iterable[Wet]) -> None:
        """Read what steps were worked with, many at a time."""
        missing = {wet.step for wet in wets if wet.step not in self.manners}
        if missing:
            self.manners |= routines.manners(self.connection, sorted(missing))

    def worked(self, routine: Routine, wets: Sequence[Wet]) -> Worked:
        """How an item was worked beside a routine."""
        try:
            return worked(routine, wets, self.manners)
        except KeyError:  # not read yet
            self.know(wets)
            return worked(routine, wets, self.manners)

    def proof(self, routine: Routine, paper: int, question: str, day: str, stages: Stages) -> Proof:
        """The proof of a routine on a paper and a day, for what was worked in these stages."""
        key = (routine.id, paper, question, day, stages)
        if key not in self._proofs:
            tests = self._tests_on(paper)[question]
            self._proofs[key] = prove(routine, day, stages, tests, lambda test: self._trial(routine, paper, test))
        return self._proofs[key]

    def standing(self, routine: Routine, paper: int, question: str, day: str) -> Proof:
        """The proof for what is worked on a day and no longer than the routine asks, lapsed ones too."""
        tests = self._tests_on(paper)[question]
        return prove(routine, day, least(routine), tests, lambda test: self._trial(routine, paper, test), far_back=True)

    def _tests_on(self, paper: int) -> dict[str, Tests]:
        if paper not in self._tests:
            pieces = routines.pieces(self.connection, paper)
            read = fetch_all(self.connection, Test, residuals.OF_ITEMS, (json.dumps(pieces),))
            found = {question: Tests([], []) for question in QUESTIONS}
            for test in sorted(read, key=lambda one: (one.earliest, one.item)):
                of = found[test.question]
                (of.dated if test.earliest == test.latest != "" else of.loose).append(test)
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
            tests = self._tests_on(paper)[test.question].dated
            here = bisect_right(tests, test.earliest, key=_day)
            near = tests[max(0, here - self._chunk) : here + self._chunk // 4]
            items = {one.item for one in near} | {test.item}
            add_timelines(self.connection, self.lines, alike(self.connection, sorted(items)), set(self.lines.of))
            self._chunk *= 2
            self.know(wet for item in items for wet in self.lines.of.get(item, ()))

    def _trials_of(self, routine: Routine, paper: int, piece: int) -> dict[int, Trial]:
        """Every test of a piece that tells of a routine, by its number."""
        wets = self.lines.of.get(piece, [])
        tests = [(test, False) for test in self._of_piece[piece]]
        counted = tested(wets, tests, self.lines, {piece: ""}, self.targets)
        unclean = {(one.test.question, one.after) for one in counted if one.outcome in UNCLEAN}
        found = {}
        ways: dict[int, Worked] = {}  # by how many of its steps came before a test
        for one in counted:
            if one.after not in ways:
                ways[one.after] = self.worked(routine, wets[: one.after])
            how = ways[one.after]
            if how.why_not or one.outcome == "data":
                continue
            first, last = one.test.earliest, one.test.latest or ENDLESS
            exact = first == last and one.unsure is None
            clean = one.outcome in CLEAN and exact and (one.test.question, one.after) not in unclean
            found[one.test.id] = Trial(piece, first, last, one.outcome, clean, how.stages)
        return found


def prover_of(connection: sqlite3.Connection, known: Sequence[Routine]) -> Prover:
    """A prover of these routines, with nothing read yet."""
    return Prover(connection, known, targets(connection), Timelines())


def why_not(connection: sqlite3.Connection, print_id: int) -> list[str]:
    """Why none of the routines then in use answers for a print, a sentence each, for the studio alone."""
    paper = routines.papers_of(connection, [print_id]).get(print_id)
    prover = prover_of(connection, routines.listed(connection) if paper else [])
    told = []
    for routine in prover.of_stock(paper.description) if paper else ():
        add_timelines(connection, prover.lines, {print_id: print_id}, set(prover.lines.of))
        how = prover.worked(routine, prover.lines.of.get(print_id, []))
        if how.why_not:
            told.append(f"Not within your routine “{routine.name}”: {how.why_not}.")
        elif how.first < routine.begun or (routine.ended and how.last > routine.ended):
            told.append(f"Worked as your routine “{routine.name}” asks, but not while it was in use.")
        else:
            told.append(f"Worked within your routine “{routine.name}”, which its tests did not prove for that day.")
    return told


class Proven(NamedTuple):
    """What a routine says of one print and one question: that it is proved, or the day that disproved it."""

    routine: Routine
    sentence: str
    disproved: str


def proven(prover: Prover, paper: int, stock: str, wets: Sequence[Wet], question: str) -> Proven | None:
    """The routine that answers a question for a print of a paper, else one that was disproved since, else None."""
    found = None
    for routine in prover.of_stock(stock):
        how = prover.worked(routine, wets)
        if how.why_not:
            continue
        days = (how.first,) if how.first == how.last else (how.first, how.last)
        proofs = [prover.proof(routine, paper, question, day, how.stages) for day in days]
        if all(proof.holds for proof in proofs):
            return Proven(routine, proven_sentence(proofs[-1], prover.targets[question]), "")
        if all(proof.enough for proof in proofs):
            found = found or Proven(routine, "", next(proof.disproved for proof in proofs if proof.disproved))
    return found


def proven_sentence(proof: Proof, target: Target) -> str:
    """What a proof says of a print that was not tested itself, and how little."""
    many = f"{proof.wanted} of {proof.wanted} tests" if proof.wanted > 1 else "test"
    outcomes = {trial.outcome for trial in proof.clean}
    seen = ["showed no stain"] if "spot-tested" in outcomes else []
    if "measured" in outcomes and target.value is not None:
        seen.append(f"found at or under {format_residue(target.value)}, the target set here ({target.basis})")
    newest = parse_date(proof.newest).text()
    return (
        f"By proven routine: worked within a routine whose last {many} on this paper {' or '.join(seen)}, the newest "
        f"on {newest}; no test counts for this print itself."
    )


def disproved_doubt(day: str) -> str:
    """Why a routine that was proved when a print was worked proves nothing for it any more."""
    return (
        f"A strip worked in the same way failed on {parse_date(day).text()}, before the next clean one; so that way of "
        f"working proves nothing for this print. Test it."
    )
