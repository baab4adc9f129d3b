"""What waits for a test: routines whose proof lapses, and strips that went with prints and were never tested."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime, timedelta
from shlex import quote

from catalog.dates import parse_date
from catalog.records import routines
from catalog.records.items import shorten
from catalog.records.routines import Routine
from catalog.rules.alike import add_timelines, alike
from catalog.rules.evidence import evidence_many
from catalog.rules.routines import Prover, prover_of
from catalog.rules.waiting import Due, typed
from catalog.vocabulary import QUESTIONS

USED_DAYS = 90  # a routine that nobody used for so long is left to lapse; no source
# When the papers of a stock were last fixed on.
USED = """SELECT p.paper, max(s.latest) FROM step s CROSS JOIN step_item i ON i.step = s.id
    JOIN print p ON p.id = i.item WHERE s.kind = 'fix' AND s.latest >= ? AND p.paper IS NOT NULL GROUP BY p.paper"""
WORKED_SINCE = """SELECT DISTINCT p.id FROM step s CROSS JOIN step_item i ON i.step = s.id
    CROSS JOIN print p ON p.id = i.item WHERE p.paper = ? AND s.kind = 'fix' AND s.latest >= ?"""
# Prints in the studio, each with a strip that went through a fix with it, is out of the wash and was never tested.
BESIDE_STRIPS = """SELECT kc.code, p.id, c.code FROM waiting k JOIN code kc ON kc.id = k.id
    CROSS JOIN step_item ki ON ki.item = k.id CROSS JOIN step s ON s.id = ki.step AND s.kind = 'fix'
    CROSS JOIN step_item i ON i.step = s.id JOIN print p ON p.id = i.item AND p.state = 'living'
    JOIN code c ON c.id = p.id JOIN standing st ON st.item = p.id
    WHERE k.what = 'test' AND st.custodian = (SELECT artist FROM catalog)
    AND NOT EXISTS (SELECT 1 FROM residual_test WHERE item = k.id)
    AND NOT EXISTS (SELECT 1 FROM step_item WHERE item = k.id AND joined <> '' AND left_at = '')
    AND EXISTS (SELECT 1 FROM step_item w JOIN step ws ON ws.id = w.step WHERE w.item = k.id AND ws.kind = 'wash')
    GROUP BY k.id, p.id ORDER BY k.id, p.id"""


def routines_lapsing(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """When the proof of a routine in use lapses or lapsed, or that it has none, one line for each batch of paper."""
    today, since = now.date().isoformat(), (now.date() - timedelta(days=USED_DAYS)).isoformat()
    running = [routine for routine in routines.listed(connection) if not routine.ended]
    if not running:
        return
    used = dict(connection.execute(USED, (since,)).fetchall())
    prover = prover_of(connection, running)
    for routine in running:
        for batch in routines.batches(connection, routine, used):
            proofs = [prover.standing(routine, batch.id, question, today) for question in QUESTIONS]
            bare = min(proofs, key=lambda proof: len(proof.clean))
            if (len(bare.clean) < bare.wanted or bare.spoiled) and _worked_so(
                connection, prover, routine, batch.id, since
            ):
                count = "" if bare.spoiled else f": {len(bare.clean)} of {bare.wanted} tests are clean"
                yield Due(
                    "routine",
                    "",
                    "",
                    "",
                    f"“{routine.name}” is in use on “{batch.name}” and not proved there{count}; test a strip of its "
                    f"next load.",
                    f"tirage routine show {quote(routine.name)}",
                    f"routine {routine.name}",
                    f"routine {routine.id} {batch.id} unproved",
                )
                continue
            proofs = [proof for proof in proofs if len(proof.clean) >= proof.wanted and not proof.spoiled]
            if proofs:
                first = min(proof.lapses for proof in proofs)
                said = f"{'lapsed' if first < today else 'lapses'} on {parse_date(first).text()}"
                yield Due(
                    "routine",
                    "",
                    min(proof.newest for proof in proofs),
                    first,
                    f"The proof of “{routine.name}” on “{batch.name}” {said}: test a strip of its next load.",
                    f"tirage routine show {quote(routine.name)}",
                    f"routine {routine.name}",
                    f"routine {routine.id} {batch.id}",
                )


def _worked_so(connection: sqlite3.Connection, prover: Prover, routine: Routine, paper: int, since: str) -> bool:
    """Whether prints on a paper were worked within a routine since a day."""
    first = alike(connection, [row[0] for row in connection.execute(WORKED_SINCE, (paper, since))])
    add_timelines(connection, prover.lines, first, set(prover.lines.of))
    ways = (prover.worked(routine, prover.lines.of.get(one, ())) for one in set(first.values()))
    return any(not (how.why_not or how.loose) and how.first >= routine.begun for how in ways)


def strips_untested(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Control strips that wait to be tested, where prints of their load in the studio rest on no test."""
    beside: dict[str, dict[int, str]] = {}
    for strip, identity, code in connection.execute(BESIDE_STRIPS).fetchall():
        beside.setdefault(strip, {})[identity] = code
    found = evidence_many(connection, sorted({identity for prints in beside.values() for identity in prints}))
    for strip, prints in beside.items():
        wanting = [code for identity, code in prints.items() if found[identity].grade == "recorded"]
        if wanting:
            yield Due(
                "evidence",
                strip,
                "",
                "",
                f"{strip} went with {shorten(wanting)} and is untested: test it.",
                f"tirage test {typed([strip])} hypo READING silver READING",
            )
