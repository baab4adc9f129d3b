"""Whether a copy of a catalog is borne out by its certificates, which nobody can sign again, and lists all that waits.

Whoever can write can change the history and reckon every digest anew; the chain then proves. But each certificate
names the seal that was the newest when it was issued, under a signature.
"""

import sqlite3
from datetime import datetime
from pathlib import Path

from catalog.rules.checks.certificates import certificates_hold, seals_of_certificates
from catalog.rules.checks.findings import Subject
from catalog.rules.checks.waiting import waiting_as_recorded
from catalog.store import migrations
from catalog.store.backup import reopened

LOOKS = (certificates_hold, seals_of_certificates, waiting_as_recorded)
MOST_TOLD = 5


def problems(path: Path) -> list[str]:
    """What its certificates and the list of what waits do not bear out in a copy, in sentences.

    Its pages, schema and rows are proved before. One of an older schema is brought to the newest in memory first.
    """
    copy, memory = reopened(path), sqlite3.connect(":memory:", isolation_level=None)
    copy.row_factory = memory.row_factory = sqlite3.Row
    try:
        old = migrations.version_of(copy) < migrations.SCHEMA_VERSION
        if old:
            copy.backup(memory)
            migrations.migrate(memory)
        subject = Subject(memory if old else copy, path.parent, datetime.min)
        # What has no code is about keys, and says nothing against the history.
        found = [one.sentence for look in LOOKS for one in look(subject) if one.severity == "error" and one.code]
    except (sqlite3.DatabaseError, ValueError, LookupError, TypeError, AttributeError) as error:
        found = [f"Its certificates cannot be read ({error})."]
    finally:
        memory.close()
        copy.close()
    return [one.rstrip(".") for one in found[:MOST_TOLD]]
