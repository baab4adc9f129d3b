"""What the correction of a bath or a step changes in the evidence of prints, so that it does not pass in silence."""

import sqlite3

from catalog.records.items import Coded, codes_of, shorten
from catalog.rules.evidence import Evidence, evidence_many

THROUGH = {
    "bath": "s.bath = ?",
    "step": "s.id = ?",
}
PRINTS = """SELECT DISTINCT p.id FROM step s JOIN step_item i ON i.step = s.id
    JOIN print p ON p.id = i.item AND p.state = 'living' WHERE"""
# A routine proves its grade to prints of other loads too.
ANY_ROUTINE = "SELECT 1 FROM routine LIMIT 1"
FIXED = f"{PRINTS} s.kind = 'fix'"


def weighed(connection: sqlite3.Connection, thing: Coded) -> dict[int, Evidence]:
    """The evidence of every living print that a bath or a step may bear on; nothing of another thing."""
    if thing.kind not in THROUGH:
        return {}
    if connection.execute(ANY_ROUTINE).fetchone():
        found = connection.execute(FIXED).fetchall()
    else:
        found = connection.execute(f"{PRINTS} {THROUGH[thing.kind]}", (thing.id,)).fetchall()
    return evidence_many(connection, [row[0] for row in found])


def changes(connection: sqlite3.Connection, before: dict[int, Evidence]) -> list[str]:
    """A sentence for each way in which prints stand otherwise now than before."""
    after = evidence_many(connection, list(before)) if before else {}
    codes, said = codes_of(connection, before), dict[str, list[int]]()
    for item, was in before.items():
        now = after[item]
        if now.grade != was.grade:
            said.setdefault(f"now “{now.grade}”, before “{was.grade}”.", []).append(item)
        doubted, doubts = (dict.fromkeys((*one.hypo.doubts, *one.silver.doubts)) for one in (was, now))
        for doubt in doubted:
            if doubt not in doubts:
                said.setdefault(f"no longer in doubt: {doubt}", []).append(item)
        for doubt in doubts:
            if doubt not in doubted:
                said.setdefault(f"newly in doubt: {doubt}", []).append(item)
    return [
        f"{len(items)} {'print' if len(items) == 1 else 'prints'} "
        f"({shorten([codes[item] for item in items])}) {'is' if len(items) == 1 else 'are'} {words}"
        for words, items in said.items()
    ]
