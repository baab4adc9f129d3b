"""The words of a provenance: its stations as text, in the convention of museums and in the standard's statement form.

“Museum”: as restated from Yeide, Akinsha and Walsh, The AAM Guide to Provenance Research (2001): dealers in round
brackets. “Statement”: Carnegie Museum of Art, Digital Provenance Standard, version 0.2 (2016, CC0), whose round
brackets hold the number and the price of a sale only.
"""

from collections.abc import Sequence
from typing import NamedTuple

from catalog.rules.ownership_dates import Ownership

WITHHELD, WITHHELD_DEALER = "Private collection", "Private dealer"
# kind -> (what stands before the name, what stands after a dealer's name in brackets)
VERBS = {
    "sale": ("purchased by", "purchased"),
    "gift": ("gift to", ""),
    "bequest": ("bequest, to", ""),
    "exchange": ("by exchange, to", ""),
    "consignment": ("consigned to", "consigned"),
    "approval": ("on approval to", "on approval"),
    "loan": ("lent to", ""),
    "exhibition": ("lent to", ""),
    "return": ("returned to", ""),
    "kept": ("kept by", ""),
    "held": ("", ""),
    "loss": ("lost", ""),
    "theft": ("stolen", ""),
    "finding": ("found", ""),
    "destruction": ("destroyed", ""),
}
STATEMENT_VERBS = {"loan": "loaned to", "exhibition": "loaned to"}


class Person(NamedTuple):
    """A party as a provenance names it."""

    name: str
    life: str = ""  # “1880–1955”
    place: str = ""
    dealer: bool = False
    certain: bool = True

    def text(self, statement: bool) -> str:
        """Name, years of life and place."""
        sure = "" if self.certain else "?"
        life = f" [{self.life.replace('–', '-') if statement else self.life}]" if self.life else ""
        return self.name + sure + life + (f", {self.place}" if self.place else "")


class Station(NamedTuple):
    """One station of a provenance; `direct` says that the thing passed straight from here to the next."""

    kind: str
    origin: str = ""  # of the first station: how the thing came to be, up to the name
    epithet: str = ""  # of the first station, after the name: “the artist”
    person: Person | None = None
    agent: Person | None = None  # who acted for the one who received
    seller_agent: Person | None = None  # who sold it for its owner
    title: bool = False
    certain: bool = True
    when: Ownership = Ownership()
    date: str = ""  # in words
    place: str = ""
    occasion: str = ""
    standing: str = ""  # what a sale that is not settled says
    number: str = ""  # private
    price: str = ""  # private
    remark: str = ""
    direct: bool = False


def text_of(stations: Sequence[Station], statement: bool = False) -> str:
    """All stations in order, each closed by its sign."""
    parts = []
    note = 0
    opens = True
    for station in stations:
        said = _said(station, statement)
        if not statement and not station.direct and said.endswith("?") and station.date and said.endswith(station.date):
            # A question mark before a full stop would be two stops: “perhaps 2026.” for “2026?.”
            said = f"{said.removesuffix(station.date)}perhaps {station.date.removesuffix('?')}"
        note += bool(station.remark)
        mark = f" [{note}]" if station.remark else ""
        parts.append((_capital(said) if opens else said) + mark + (";" if station.direct else "."))
        opens = not station.direct
    return " ".join(parts)


def notes_of(stations: Sequence[Station]) -> tuple[str, ...]:
    """The notes, numbered as in the text."""
    remarks = [station.remark for station in stations if station.remark]
    return tuple(f"[{place}] {remark}" for place, remark in enumerate(remarks, 1))


def method_of(station: Station, statement: bool = False) -> str:
    """How the thing came to this station, as words: “purchased by”, “gift to”."""
    if station.kind == "origin":
        return "Created by" if statement and station.epithet else station.origin
    if station.standing:
        return "sold to"
    return STATEMENT_VERBS.get(station.kind, VERBS[station.kind][0]) if statement else VERBS[station.kind][0]


def _said(station: Station, statement: bool) -> str:
    possibly = "" if station.certain else "possibly "
    sale = ", ".join(part for part in (station.number, f"for {station.price}" if station.price else "") if part)
    return possibly + _clause(station, statement) + (f" ({sale})" if sale else "")


def _clause(station: Station, statement: bool) -> str:
    if station.person is None:
        return _joined([method_of(station, statement), _event(station, statement), station.date])
    if station.kind == "origin":
        made = f"{method_of(station, statement)} {station.person.text(statement)}"
        return _joined([made, station.epithet, station.place, station.date])
    verb, bracketed = VERBS[station.kind]
    if station.person.dealer and not statement and station.agent is None and not station.standing:
        if bracketed or station.kind == "held":
            told = f"{bracketed} {station.date}".strip()
            return f"({_joined([station.person.text(False), _event(station, False), told])})"
        return _joined([f"{verb} ({station.person.text(False)})", _event(station, False), station.date])
    names = _names(station, statement)
    if station.seller_agent and statement:
        names += f", from {station.seller_agent.name}"
    method = method_of(station, statement)
    return _joined([f"{method} {names}".strip(), _event(station, statement), station.date, station.standing])


def _names(station: Station, statement: bool) -> str:
    assert station.person is not None
    owner = station.person.text(statement)
    if station.agent is None:
        return owner
    agent = station.agent.text(statement)
    return f"({agent}) for {owner}" if station.agent.dealer and not statement else f"{agent} for {owner}"


def _event(station: Station, statement: bool) -> str:
    occasion = ""
    if station.occasion:
        lead = "at" if statement or station.kind != "exhibition" else "for the exhibition"
        occasion = f'{lead} "{station.occasion}"' if statement else f"{lead} “{station.occasion}”"
    home = station.person.place if station.person else ""
    elsewhere = station.place and not home.startswith(station.place)  # at home it need not be told twice
    return _joined([occasion, f"in {station.place}" if elsewhere else ""])


def _joined(parts: Sequence[str]) -> str:
    return ", ".join(part for part in parts if part)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
