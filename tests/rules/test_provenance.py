"""Provenance text against the punctuation convention of museum provenance.

Source: Yeide, Akinsha and Walsh, The AAM Guide to Provenance Research (2001), as restated by the museumprovenance.org
standard, version 1, and by museums that print its key: earliest first; a semicolon for a known direct transfer, a full
stop for none or none known; dealers in round brackets; life dates in square brackets; “private collection” for a name
withheld. The full book was not read; the wording around the signs is our own.
"""

import pytest

from tests.cli.conftest import Tirage
from tests.cli.conftest import studio as studio
from tests.cli.conftest import tirage as tirage

HEAD = "Printed by Žofie Đurđević [1971–], the artist, 6 March 2026"
# name of the rule -> commands after signing -> the studio's text
CASES = {
    "the artist alone": ((), f"{HEAD}."),
    "semicolon: direct sale": (
        ("sell 1 Ada 900EUR --on 2026-03-10",),
        f"{HEAD}; purchased by Ada [1950–], Lyon, 10 March 2026 (for EUR 900.00).",
    ),
    "round brackets: a dealer": (
        ("consign 1 Harbour --on 2026-03-10", "sell 1 Ada 900EUR --on 2026-04-01", "paid 1 --on 2026-04-02"),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned 10 March 2026); purchased by Ada [1950–], Lyon, "
        f"1 April 2026 (for EUR 900.00).",
    ),
    "returned": (
        ("consign 1 Harbour --on 2026-03-10", "return 1 --on 2026-05-01", "give 1 Ada --on 2026-06-01"),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned 10 March 2026); returned to the artist, 1 May 2026; "
        f"gift to Ada [1950–], Lyon, 1 June 2026.",
    ),
    "destroyed": (("destroy 1 --why creased --on 2026-03-10",), f"{HEAD}; destroyed, 10 March 2026."),
}


@pytest.mark.parametrize("name", CASES)
def test_the_convention(studio: Tirage, name: str) -> None:
    lines, expected = CASES[name]
    studio("party", "add", "Ada", "--born", "1950", "--place", "Lyon")
    studio("party", "add", "Gallery Harbour", "--kind", "gallery", "--place", "Port Example")
    assert studio("sign 1-6 --on 2026-03-09").status == 0
    for line in lines:
        words = line.replace("Harbour", "Gallery_Harbour").split()
        answer = studio(*(word.replace("_", " ") for word in words))
        assert answer.status == 0, answer.err
    assert expected in studio("print show 1").out


def test_nobody_is_named_in_public_who_may_not_be(studio: Tirage) -> None:
    from pathlib import Path

    from catalog.rules.provenance import provenance
    from catalog.store import connection as store

    studio("sign 1-6 --on 2026-03-09")
    studio("sell 1 Ada 900EUR --on 2026-03-10")
    opened = store.open_catalog(Path.cwd(), writing=False)
    identity = opened.execute("SELECT id FROM code WHERE code = 'P-000001'").fetchone()[0]
    public = provenance(opened, identity, private=False)
    opened.close()
    assert public.text == f"{HEAD}; purchased by private collection, 10 March 2026."
    assert "semicolon" in public.key_line
