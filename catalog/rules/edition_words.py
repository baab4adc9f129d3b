"""How an edition ended, in one sentence that every paper and page says alike."""

from catalog.dates import parse_date
from catalog.records.edition_endings import VERBS

STATES = {"declared": "open"}  # as the public pages say it


def ended(name: str, state: str, happened: str, fate: str, closed_at: int | None) -> str:
    """“E-0002 was closed early at 3 (June 2024).”, “Cancelled (c. 1998). Its negative was marked.”

    `name` is that of the edition, "" where it stands beside; `happened` is EDTF and may be any date: it stands alone.
    """
    verb = VERBS.get(state, state)
    if closed_at and state == "closed early":
        verb += f" at {closed_at}"
    began = f"{name} was {verb}" if name else verb[:1].upper() + verb[1:]
    return f"{began} ({parse_date(happened).text()})." + (f" Its negative was {fate}." if fate else "")


def state_word(state: str) -> str:
    """The state of an edition for a person: “open” while it runs."""
    return STATES.get(state, state)
