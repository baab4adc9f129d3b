"""What a table means by a code, a title or a name, looked up in a catalog; what several things fit is refused."""

import sqlite3
from bisect import bisect_left, insort
from collections.abc import Iterable

from catalog import codes
from catalog.errors import TirageError
from catalog.exchange.importing.frame import Options
from catalog.exchange.importing.own_codes import ListNumbers
from catalog.exchange.importing.parties import KINDS_BY_NAME
from catalog.measures import format_size
from catalog.records import editions, items, parties
from catalog.records.items import Coded
from catalog.records.party_names import Near, plain_words

NEGATIVES = """SELECT n.id, c.code, n.title, n.mark, n.made FROM negative n JOIN code c ON c.id = n.id ORDER BY n.id"""
PARTIES = "SELECT id, name FROM party ORDER BY id"
MOST_NAMED = 6  # of several that fit


class NotThereError(TirageError):
    """A negative or an edition that a table names and the catalog does not have."""

    def __init__(self, kind: str, text: str) -> None:
        super().__init__(
            f"There is no {kind} “{text}”; expected a code, the number of its list or the exact title. Import or add "
            f"it first: tirage import {kind}s FILE."
        )


class SeveralError(TirageError):
    """Words that more than one thing goes by."""

    def __init__(self, kind: str, text: str, found: Iterable[str]) -> None:
        names = list(found)
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        super().__init__(
            f"“{text}” is {len(names)} {kind}s: {', '.join(names[:MOST_NAMED])}{more}. Name one by its code."
        )


class NoEditionError(TirageError):
    """A number on a print of a negative that has no edition of such a size."""

    def __init__(self, negative: str, of: int | None) -> None:
        size = f" of {of}" if of else ""
        super().__init__(
            f"{negative} has no edition{size} that a number could be of. Import the editions first, or declare it: "
            f"tirage edition declare {negative} {of or 'SIZE'} --on DATE."
        )


class CodeAndNumberError(TirageError):
    """A text that is the code of one thing, and in a list that was brought in the number of another."""

    def __init__(self, text: str, other: str) -> None:
        super().__init__(
            f"“{text}” is a code here, and a list that was brought in gives that number to another thing, {other}: "
            f"either may be meant. Name it by its title or by its mark."
        )


class Known:
    """Negatives and editions by code, own code, mark on the plate and title; read once, as nothing here adds one."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self.numbers = ListNumbers(connection)
        self._negatives: dict[str, list[Coded]] | None = None
        self._made: dict[int, str] = {}
        self._editions: dict[str, list[editions.Edition]] = {}
        self._by_negative: dict[int, list[editions.Edition]] = {}
        self._by_id: dict[int, editions.Edition] | None = None
        self._proofs: dict[int, dict[str, int]] = {}

    def negative(self, text: str) -> Coded:
        """The negative of a code, a number in its list, a mark or a title. Raises NotThereError, SeveralError."""
        thing = self.coded(text, "negative")
        if isinstance(thing, Coded):
            return thing
        found = [*dict.fromkeys([*thing, *self._titled(text)])]
        if len(found) > 1:
            raise SeveralError("negative", text, (self._described(one) for one in found))
        if not found:
            raise NotThereError("negative", text)
        return found[0]

    def edition(self, text: str, of: int | None = None) -> editions.Edition:
        """The edition of a code, a number in its list or a title, its own or its negative's.

        Among several it is the one of that size. Raises NotThereError, SeveralError.
        """
        thing = self.coded(text, "edition")
        if isinstance(thing, Coded):
            return self.edition_of(thing.id)
        self._read_editions()
        found = [self.edition_of(one.id) for one in thing] or self._editions.get(plain(text), [])
        if not found:
            plates = {one.id: one for one in self._titled(text)}
            coded = self.coded(text, "negative")
            plates |= {one.id: one for one in ([coded] if isinstance(coded, Coded) else coded)}
            found = [edition for plate in plates for edition in self._by_negative.get(plate, [])]
        found = _of_size(found, of)
        if len(found) > 1:
            raise SeveralError("edition", text, map(_said, found))
        if not found:
            raise NotThereError("edition", text)
        return found[0]

    def has_edition(self, text: str) -> bool:
        """Whether an edition, or a negative that has one, goes by a code or a title; a bare number is no code."""
        if text.isdecimal():
            self._read_editions()
            return plain(text) in self._editions or bool(self._titled(text))
        try:
            self.edition(text)
        except NotThereError:
            return False
        except TirageError:
            return True
        return True

    def has_open(self, negative: Coded) -> bool:
        """Whether a negative has an edition without numbers."""
        self._read_editions()
        return any(one.size is None for one in self._by_negative.get(negative.id, []))

    def edition_of_negative(self, negative: Coded, of: int | None) -> editions.Edition:
        """The one edition of a negative that a number can be of. Raises NoEditionError, SeveralError."""
        self._read_editions()
        every = self._by_negative.get(negative.id, [])
        found = [one for one in every if one.size == of] if of else every
        if len(found) > 1:
            raise SeveralError("edition", negative.code, map(_said, found))
        if not found:
            raise NoEditionError(negative.code, of)
        return found[0]

    def edition_of(self, identity: int) -> editions.Edition:
        """One edition by its identity."""
        self._read_editions()
        assert self._by_id is not None
        return self._by_id[identity]

    def proofs(self, edition: int) -> dict[str, int]:
        """Kind of proof -> how many an edition has."""
        if edition not in self._proofs:
            self._proofs[edition] = editions.proofs(self.connection, edition)
        return self._proofs[edition]

    def coded(self, text: str, kind: str) -> Coded | list[Coded]:
        """The thing of a code as written, of its number in its list, or of a short code (n1); else all that fit.

        The number comes before the short code: in a list of their own “P4” is what the list calls so. A code that is
        the number of another thing may mean either, as in a list out of another catalog. Raises CodeAndNumberError.
        """
        row = self.connection.execute(items.BY_CODE, (text,)).fetchone()
        found = self.numbers.find(kind, text)
        if row and (other := next((one for one in found if one.id != row["id"]), None)):
            raise CodeAndNumberError(text, other.code)
        if not found and row is None and (short := codes.AUTOMATIC.fullmatch(text)):
            code = codes.automatic(codes.LETTERS[short[1].upper()], int(short[2]))
            row = self.connection.execute(items.BY_CODE, (code,)).fetchone()
        if row and row["kind"] == kind:
            return items.find_one(self.connection, row["code"], kind)
        return found[0] if len(found) == 1 else found

    def _titled(self, text: str) -> list[Coded]:
        if self._negatives is None:
            self._negatives = {}
            for identity, code, title, mark, made in self.connection.execute(NEGATIVES):
                for name in {plain(title), plain(mark)} - {""}:
                    self._negatives.setdefault(name, []).append(Coded(identity, code, "negative"))
                self._made[identity] = made
        return self._negatives.get(plain(text), [])

    def _described(self, one: Coded) -> str:
        from catalog.dates import parse_date

        made = self._made.get(one.id, "")
        return f"{one.code} ({parse_date(made).text()})" if made else one.code

    def _read_editions(self) -> None:
        if self._by_id is None:
            self._by_id = {one.id: one for one in editions.listed(self.connection)}
            for one in self._by_id.values():
                self._editions.setdefault(plain(one.title), []).append(one)
                self._by_negative.setdefault(one.negative, []).append(one)


class KnownParties:
    """Parties by their exact names, in any case; what is likely one of them misspelled is refused, as when typed."""

    def __init__(self, connection: sqlite3.Connection, options: Options) -> None:
        self.connection, self.options = connection, options
        self._ids: dict[str, int | None] = {}  # None: read in this table, and not added yet
        self._spelled: dict[str, str] = {}
        # What the mapping file itself says is meant is no slip: “Nordlicht” = “Nordlicht” makes two of them.
        self._certain = {name.casefold() for name in options.spellings.get("parties", {}).values()}
        self.near: dict[str, str] = {}  # as written -> as likely meant
        self.added: list[str] = []
        self._fresh: list[str] = []
        self._sorted: list[str] = []
        self._names = Near(())
        for identity, name in connection.execute(PARTIES).fetchall():
            self._note(name, identity)

    def meant(self, text: str) -> str:
        """A name as it is meant, on one line."""
        return " ".join(self.options.meant("parties", text).split())

    def is_there(self, name: str) -> bool:
        """Whether a party of exactly that name is there, or was read."""
        return name.casefold() in self._ids

    def check(self, name: str) -> bool:
        """Whether a party is there or was read before; a new one is noted. Raises UnknownPartyError for a slip."""
        if name.casefold() in self._ids:
            return True
        near = [] if name.casefold() in self._certain else self._near(name)
        if near:
            self.near[name] = near[0]
            raise parties.UnknownPartyError(name, near[:3])
        self._note(name, None)
        return False

    def id_of(self, name: str, kind: str) -> int:
        """The party of a name that was checked; added, privately, where it is new: of a kind, or as its name tells."""
        found = self._ids.get(name.casefold())
        if found is None:
            kind = next((KINDS_BY_NAME[word] for word in plain_words(name) if word in KINDS_BY_NAME), kind)
            found = parties.add(self.connection, name, kind, nameable=False).id
            self._ids[name.casefold()] = found
            self._fresh.append(name.casefold())
        return found

    def settle(self, taken_back: bool) -> None:
        """End a row; where it was taken back, so were the parties that it added."""
        for folded in self._fresh:
            if taken_back:
                self._ids[folded] = None
            else:
                self.added.append(self._spelled[folded])
        self._fresh.clear()

    def said(self) -> list[str]:
        """Which parties were new; every one of them, as two names may be one and the same."""
        names = sorted((f"“{name}”" for name in self.added), key=str.casefold)
        if len(names) > MOST_NAMED:
            return [f"New parties, private, {len(names):,}:", *(f"  {name}" for name in names)]
        return [f"New parties, private: {', '.join(names)}."] if names else []

    def _note(self, name: str, identity: int | None) -> None:
        folded = name.casefold()
        self._ids[folded] = identity
        self._spelled[folded] = name
        insort(self._sorted, folded)
        if name != parties.UNKNOWN:
            self._names.add(name)

    def _near(self, name: str) -> list[str]:
        folded = name.casefold()
        found = []
        for place in range(bisect_left(self._sorted, folded), len(self._sorted)):
            if not self._sorted[place].startswith(folded):
                break
            found.append(self._sorted[place])
        alike = self._names.find(name)
        return [*filter(None, [alike]), *(self._spelled[one] for one in found if self._spelled[one] != alike)]


def plain(text: str) -> str:
    """A title for comparison: blanks and case do not matter."""
    return " ".join(text.split()).casefold()


def _of_size(found: list[editions.Edition], of: int | None) -> list[editions.Edition]:
    """Of several editions those of a size; one alone stays, whatever its size, so that the difference is told."""
    return [one for one in found if one.size == of] or found if of and len(found) > 1 else found


def _said(edition: editions.Edition) -> str:
    size = f"of {edition.size}" if edition.size else "open"
    height, width = edition.image_height, edition.image_width
    return f"{edition.code} ({size}{f', {format_size(height, width)}' if height and width else ''})"
