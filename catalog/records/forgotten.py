"""Who was forgotten: the names under which no list brings a way to reach them back."""

import json
import sqlite3

# By the journal, which keeps whose a contact was and not the contact; what `undo` took back was not forgotten.
FORGOTTEN = """SELECT id, json_extract(before, '$.party') FROM journal
    WHERE tbl = 'party_contact' AND before IS NOT NULL AND after IS NULL AND
    (SELECT undoes FROM journal_seal WHERE first <= journal.id ORDER BY first DESC LIMIT 1) IS NULL ORDER BY id"""
NAMED = "SELECT id, key, before IS NULL, json_extract(after, '$.name') FROM journal WHERE tbl = 'party' ORDER BY id"


def names(connection: sqlite3.Connection) -> list[str]:
    """Every name that somebody ever had of whom a way to reach them was taken away.

    By name and not by identity alone: a person who was renamed, or taken back and listed anew, was forgotten all the
    same.
    """
    gone: list[tuple[int, int]] = connection.execute(FORGOTTEN).fetchall()
    if not gone:
        return []
    bearing: dict[int, set[str]] = {}  # of the party that has this identity at that point of the journal
    found: list[set[str]] = []
    entries = iter(connection.execute(NAMED).fetchall())
    entry = next(entries, None)
    for deleted, party in [*gone, (-1, 0)]:
        while entry is not None and (deleted < 0 or entry[0] < deleted):
            _, key, new, name = entry
            identity = json.loads(key)[0]
            if new:
                bearing[identity] = set()  # an identity is given again once its party was taken back
            if name is not None:
                bearing.setdefault(identity, set()).add(name)
            entry = next(entries, None)
        if deleted >= 0:
            found.append(bearing.get(party, set()))
    return sorted(set().union(*found))
