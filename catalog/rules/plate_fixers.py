"""A fixer for plates that prints and plates share a tray with: told when paper went into it."""

from collections.abc import Sequence

from catalog.records.baths import Bath
from catalog.records.items import Coded, shorten
from catalog.rules.substances import is_cyanide


def paper_in_cyanide(bath: Bath | None, things: Sequence[Coded]) -> list[str]:
    """A sentence where prints or strips were fixed in a cyanide, which is a fixer for plates."""
    paper = [thing for thing in things if thing.kind != "negative"]
    if bath is None or bath.kind != "fixer" or not paper or not is_cyanide(bath.text()):
        return []
    return [
        f"{shorten(paper)} {'is' if len(paper) == 1 else 'are'} paper, and {bath.code} ({bath.text()}) is a "
        f"cyanide fixer, which is for plates. If it was another bath: tirage undo, and name it with --bath CODE."
    ]
