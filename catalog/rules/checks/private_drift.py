"""Whether the private facts frozen with certificates still say of a change of hands what was corrected since."""

import json
from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.owner_facts import owner_facts

CORRECTED = """SELECT code.code, c.print, c.private_facts FROM certificate c JOIN code ON code.id = c.id
    WHERE EXISTS (SELECT 1 FROM correction k WHERE k.subject = c.print AND k.field LIKE '% of the %')
    AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id) ORDER BY c.id"""
SAME_SALE = ("kind", "buyer", "seller")
MAY_DIFFER = ("price", "date")


def sales_agree(subject: Subject) -> Iterator[Finding]:
    """Whether a price or a date frozen with a certificate was corrected after it was issued."""
    for code, print_, frozen in subject.connection.execute(CORRECTED).fetchall():
        then, now = json.loads(frozen), owner_facts(subject.connection, print_)
        if not then.get("kind") or any(then.get(name) != now[name] for name in SAME_SALE):
            continue  # another change of hands, which came after the paper
        for name in MAY_DIFFER:
            if then.get(name, "") != now[name]:
                yield Finding(
                    "note",
                    code,
                    f"{code} was issued with the {name} “{then.get(name, '')}” in its private facts, which was "
                    f"corrected to “{now[name]}” since. What is printed of it again keeps the old one.",
                )
