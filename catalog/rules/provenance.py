"""Provenance: from the records of a thing to its stations, “;” a known direct transfer, “.” a gap or unknown.

A station of custody alone never claims title. Museums differ in their signs, so the key is printed with every text.
"""

import sqlite3
from dataclasses import dataclass
from typing import Any

from catalog.money import Money, decimals_of
from catalog.records import catalogs, negatives, parties, transfers
from catalog.records.transfers import Transfer
from catalog.rules.ownership_dates import Ownership, Span, phrase, span
from catalog.rules.provenance_wording import (
    WITHHELD,
    WITHHELD_DEALER,
    Person,
    Station,
    method_of,
    notes_of,
    text_of,
)
from catalog.years import life

KEY = (
    "Earliest first. A semicolon: passed directly from one to the next. A full stop: not directly, or not known to "
    "be. Round brackets: a dealer or agent. Square brackets: years of life. Possibly, perhaps or a question mark: "
    "not certain."
)
PRINT = """SELECT p.made, p.earliest, p.printed_by, coalesce(e.estate, 0) FROM print p
    LEFT JOIN edition e ON e.id = p.edition WHERE p.id = ?"""


@dataclass(frozen=True)
class ProvenanceText:
    """A provenance, the key that explains its signs, and notes to it."""

    text: str
    key_line: str
    notes: tuple[str, ...]


def provenance(connection: sqlite3.Connection, item: int, private: bool) -> ProvenanceText:
    """The provenance of an item; without `private` nobody is named who may not be named in public."""
    found = stations(connection, item, private)
    return ProvenanceText(text_of(found), KEY, notes_of(found))


def as_record(connection: sqlite3.Connection, item: int, private: bool) -> dict[str, Any]:
    """The same, clause by clause, with the statement form of the digital provenance standard."""
    found = stations(connection, item, private)
    return {
        "text": text_of(found),
        "statement": text_of(found, statement=True),
        "clauses": [_clause(station, private) for station in found],
        "notes": list(notes_of(found)),
        "key": KEY,
    }


def stations(connection: sqlite3.Connection, item: int, private: bool) -> list[Station]:
    """The stations of an item in order, each saying whether the thing passed straight on to the next."""
    teller = _Teller(connection, transfers.of_item(connection, item), private)
    found = [_origin(connection, item)]
    for place, change in enumerate(teller.history):
        station = teller.station(place, change)
        if station is None:
            continue
        sure = station.certain and found[-1].certain
        found[-1] = found[-1]._replace(direct=sure and teller.came_from_the_last(place))
        found.append(station)
    return found


class _Teller:
    """Tells the changes of hands of one item as stations."""

    def __init__(self, connection: sqlite3.Connection, history: list[Transfer], private: bool) -> None:
        self.connection, self.history, self.private = connection, history, private
        self.artist = catalogs.artist(connection).id
        # Sales whose title came back with the thing, and those returns: they made nobody an owner.
        back = [one for one in history if one.kind == "return" and one.title]
        self.undone = {identity for one in back for identity in (one.id, one.settles)}

    def station(self, place: int, change: Transfer) -> Station | None:
        """One change of hands as a station; None for what another station tells."""
        kind = "held" if change.kind == "kept" and change.title else change.kind
        if kind == "payment" or (kind == "kept" and change.to_party != self.artist):
            return None  # a sale tells its payment, and an owner's station how long it is known to have lasted
        when = self._ownership(place, change, kind)
        # What is told straight after needs no end here: it has its own date.
        told = when if when.ended.first and not self._ends_directly(place) else Ownership(when.begun)
        return Station(
            kind,
            person=self._person(change.to_party, not change.uncertain_party) if _names_somebody(kind) else None,
            agent=self._agent(change.agent),
            seller_agent=self._seller_agent(place) if kind == "sale" else None,
            title=self._moved_title(change),
            certain=not change.uncertain,
            when=when,
            date=phrase(told),
            place=change.place,
            occasion=change.occasion,
            standing=self._sale_standing(change),
            number=_number(change.their_number) if self.private else "",
            price=_amount(change.money) if self.private and change.kind == "sale" else "",
            remark=change.remark,
        )

    def came_from_the_last(self, place: int) -> bool:
        """Whether the thing came to a station from where the record before left it."""
        change = self.history[place]
        if (change.kind == "kept" and change.title) or change.kind == "finding":
            return False
        owner = custodian = self.artist
        for earlier in self.history[:place]:
            owner = (earlier.to_party or 0) if earlier.title else owner
            custodian = (earlier.to_party or 0) if earlier.custody else custodian
        if change.kind in transfers.TITLE_KINDS:
            return change.from_party == owner
        return not change.custody or change.kind == "destruction" or change.from_party == custodian

    def _ownership(self, place: int, change: Transfer, kind: str) -> Ownership:
        begun = span(change.happened)
        if kind == "held" and begun.exact:  # seen with them then; since when, nobody knows
            return Ownership(Span("", begun.last), self._ended(place, begun.last))
        return Ownership(begun, self._ended(place, "") if self._moved_title(change) else Span())

    def _ended(self, place: int, seen: str) -> Span:
        """When the ownership that begins with a change of hands ended, as far as that is known."""
        owner = self.history[place].to_party
        following = None
        for later in self.history[place + 1 :]:
            if later.kind == "kept" and not later.title and later.to_party == owner:
                seen = span(later.happened).first or seen
            elif self._new_owner(later, owner):
                following = later
                break
        if following is None:
            return Span(seen)
        end = span(following.happened)
        direct = following.from_party == owner or following.kind == "destruction"
        return end if direct else Span(seen, end.last)

    def _ends_directly(self, place: int) -> bool:
        owner = self.history[place].to_party
        for following in range(place + 1, len(self.history)):
            later = self.history[following]
            if self._new_owner(later, owner):
                return self.came_from_the_last(following)
        return False

    def _new_owner(self, later: Transfer, owner: int | None) -> bool:
        """Whether a change of hands ends an ownership: what only pays for it, or was not completed, does not."""
        paid = later.kind == "payment" and later.to_party == owner
        return bool(later.title) and later.id not in self.undone and not paid

    def _moved_title(self, change: Transfer) -> bool:
        return (bool(change.title) or self._paid(change)) and change.id not in self.undone

    def _paid(self, change: Transfer) -> bool:
        return any(one.settles == change.id and one.kind == "payment" for one in self.history)

    def _sale_standing(self, change: Transfer) -> str:
        if change.kind != "sale" or self._moved_title(change):
            return ""
        ended = any(one.settles == change.id for one in self.history)
        return "sale not completed" if ended else "title not passed yet"

    def _seller_agent(self, place: int) -> Person | None:
        """Who sold a thing for the artist: the one it was consigned to."""
        change = self.history[place]
        if change.from_party != self.artist or change.title:
            return None
        handed = [one for one in self.history[:place] if one.custody]
        lent = handed[-1] if handed else None
        return self._agent(lent.to_party) if lent and lent.kind == "consignment" else None

    def _person(self, party: int | None, certain: bool) -> Person:
        if party is None:
            return Person(parties.UNKNOWN)
        if party == self.artist:
            return Person("the artist")
        one = parties.read(self.connection, party)
        if not (self.private or one.nameable):
            return Person(WITHHELD_DEALER if one.is_dealer else WITHHELD, "", one.place, one.is_dealer)
        return Person(one.name, life(one.born, one.died), one.place, one.is_dealer, certain)

    def _agent(self, party: int | None) -> Person | None:
        """An agent by name, or nobody where the agent may not be named."""
        if party is None:
            return None
        one = parties.read(self.connection, party)
        return self._person(party, True) if self.private or one.nameable else None


def _origin(connection: sqlite3.Connection, item: int) -> Station:
    """How a thing came to be. A print made after the artist's death is not said to be the artist's own printing."""
    artist = catalogs.artist(connection)
    person = Person(artist.name, life(artist.born, artist.died))
    row = connection.execute(PRINT, (item,)).fetchone()
    if row is None:
        made = negatives.read(connection, item).made
        return _begun("Made by", "the artist", person, artist.place, made)
    made, earliest, printed_by, estate = row
    by = f" by {printed_by}" if printed_by else ""
    if estate:
        return _begun(f"Printed{by} for the estate of", "", person, artist.place, made)
    if artist.died_latest and earliest > artist.died_latest:
        return _begun(f"Printed{by} from a negative by", "", person, artist.place, made)
    if printed_by:
        return _begun("Made by", f"the artist, printed{by}", person, artist.place, made)
    return _begun("Printed by", "the artist", person, artist.place, made)


def _begun(origin: str, epithet: str, person: Person, place: str, made: str) -> Station:
    when = Ownership(span(made))
    return Station("origin", origin, epithet, person, title=True, when=when, date=phrase(when), place=place)


def _names_somebody(kind: str) -> bool:
    return kind not in ("loss", "theft", "finding", "destruction")


def _number(typed: str) -> str:
    """The other side's own number, as its kind of number where that was typed too: “lot no. 1”."""
    return typed if not typed or "no." in typed.lower() else f"their no. {typed}"


def _amount(money: Money | None) -> str:
    """An amount without decimals that say nothing: “EUR 1,800”."""
    if money is None:
        return ""
    zeros = "." + "0" * decimals_of(money.currency)
    return money.text().removesuffix(zeros) if len(zeros) > 1 else money.text()


def _clause(station: Station, private: bool) -> dict[str, Any]:
    """A station as a record; what is private is in it only in a studio copy."""
    return {
        "method": method_of(station) or None,
        "kind": station.kind,
        "title": station.title,
        "party": _party(station.person),
        "agent": _party(station.agent),
        "sellers_agent": _party(station.seller_agent),
        "certain": station.certain,
        "date": station.date,
        "dates": station.when.as_record(),
        "place": station.place,
        "occasion": station.occasion,
        "standing": station.standing,
        "note": station.remark,
        "direct": station.direct,
        **({"number": station.number, "price": station.price} if private else {}),
    }


def _party(person: Person | None) -> dict[str, Any] | None:
    if person is None:
        return None
    return {
        "name": person.name,
        "life": person.life,
        "place": person.place,
        "dealer": person.dealer,
        "certain": person.certain,
    }
