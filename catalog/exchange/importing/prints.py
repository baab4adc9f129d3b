"""Prints from a table, with the numbers that they bear: what a row says of one print and of where it went."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from catalog.dates import Date
from catalog.errors import TirageError
from catalog.exchange.importing.cells import date_in, printed_in, size_in
from catalog.exchange.importing.frame import Importer, Importing, Row
from catalog.exchange.importing.known import Known, KnownParties
from catalog.exchange.importing.own_codes import own_code_in
from catalog.exchange.importing.places import Standing, Standings
from catalog.exchange.importing.print_fields import FIELDS
from catalog.exchange.importing.print_hands import Hands, enter_hands, read_hands
from catalog.exchange.importing.print_marks import Called, read_called
from catalog.exchange.importing.words import SIGNED, UNSIGNED, folded, is_no, is_yes
from catalog.measures import format_size
from catalog.records import editions, given_before, papers, prints
from catalog.records.given_before import Earlier, NotTakenError
from catalog.records.items import Coded
from catalog.vocabulary import designation, number_label

SIDES = tuple[int, int] | None
MOST_LISTED = 12  # runs of numbers in one sentence


class Drafted(NamedTuple):
    """A print as its row has it: the print, what stands on it, where it went, and where it is."""

    called: Called
    earlier: Earlier
    hands: Hands
    place: Standing | None
    inscription: str
    note: str


class Prints(Importer[Drafted]):
    """Brings in prints."""

    noun = "prints"
    one = "print"
    fields = FIELDS
    needed = ("edition", "negative")
    dates = ("printed", "signed", "sold", "paid", "consigned", "since")
    apart = ("code", "number")

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.known = Known(work.connection)
        self.parties = KnownParties(work.connection, work.options)
        self.papers = {paper.name.casefold(): paper.id for paper in papers.listed(work.connection)}
        self.places = Standings(work)
        self.paid = self.undated = self.undated_sales = 0
        self.numbered: set[int] = set()
        self.rows: defaultdict[tuple[int, str, int], list[Row]] = defaultdict(list)  # what bears a number, in its rows

    def read(self, row: Row) -> Drafted | None:
        """What a row says of a print."""
        options, today = self.work.options, self.work.today.isoformat()
        called = read_called(row, self.known)
        if called and called.edition and called.kind and called.number is not None:
            self.rows[called.edition.id, called.kind, called.number].append(row)
        made = printed_in(row, "printed", options, today=today)
        signed = self._signature(row)
        image, sheet = self._sizes(row)
        hands = read_hands(row, self.work, self.parties)
        own = own_code_in(row, "code", "print")
        paper = self._paper(row)
        if row.refused or called is None or hands is None:
            return None
        date, some_day = signed
        if called.kind is None and called.edition and called.edition.size is None and (date or some_day):
            called = called._replace(kind="open")  # what is signed of an open edition is a print of it
        earlier = Earlier(
            called.of,
            "numbered" if called.kind == "open" else called.kind,  # as `sign` has it; an open edition has no numbers
            called.number,
            made=made,
            signed=date,
            signed_some_day=some_day,
            gone_by=hands.dates,
            own_code=own,
            paper=paper,
            printed_by=row.get("printed by"),
            supervised_by=row.get("supervised by"),
            image=image,
            sheet=sheet,
            presentation=row.get("presentation"),
        )
        place = self._place(row, hands)
        return Drafted(called, earlier, hands, place, row.get("inscription"), row.get("note"))

    def called(self, values: Mapping[str, str]) -> tuple[str, ...]:
        """Its number in an edition of a negative; a work print has none of its own."""
        number, of = values.get("number", ""), (values.get("edition", ""), values.get("negative", ""))
        return (number, *of) if any(sign.isdigit() for sign in number) and any(of) else ()

    def preview(self, draft: Drafted) -> dict[str, str]:
        """How a print was read."""
        earlier, called = draft.earlier, draft.called
        edition, proofs = called.edition, 0
        if edition is not None and called.kind is not None:
            proofs = self.known.proofs(edition.id).get(called.kind, 0)
        size, numerals = (edition.size, edition.numerals) if edition else (None, "arabic")
        return {
            "print": designation(called.kind, called.number, size, proofs, numerals),
            "of": called.of.code,
            "printed": earlier.made.text() if earlier.made else "",
            "signed": earlier.signed.text() if earlier.signed else "yes" if earlier.signed_some_day else "",
            "went to": draft.hands.text(),
            "place": draft.place.path if draft.place else "",
        }

    def add(self, read: Sequence[tuple[Row, Drafted]]) -> None:
        """Add all rows; numbers that stand in two rows are refused in both, and what is missing between is told."""
        self._refuse_twice()
        placed = []
        for row, draft in self.work.counted(read, "Adding"):
            if row.refused:
                continue
            with self.work.attempt(row):
                row.thing, row.code = self.add_one(row, draft)
            self.parties.settle(taken_back=row.refused)
            if not row.refused:
                self._count(draft)
                if draft.place:
                    placed.append((Coded(row.thing, row.code, "print"), draft.place))
        self.places.put(placed)

    def said(self) -> list[str]:
        """What was taken where the table says nothing, and which numbers it leaves out."""
        lines = []
        if self.undated:
            lines.append(f"{_prints(self.undated)} without a date of printing: no later than what followed.")
        if self.undated_sales:
            lines.append(
                f"{_prints(self.undated_sales)} with an owner and no date: it was theirs by today, or its end."
            )
        if self.paid:
            lines.append(
                f"Nothing is said of the payment of {_prints(self.paid)} sold: taken as paid on the day of sale. Put "
                f"“no” in a column “paid” where it is still owed."
            )
        return [*lines, *self.known.numbers.said(), *self.parties.said(), *self.places.said(), *self._unlisted()]

    def near(self) -> dict[str, dict[str, str]]:
        """Names that are likely others misspelled."""
        return {"parties": self.parties.near} if self.parties.near else {}

    def _count(self, draft: Drafted) -> None:
        self.undated += draft.earlier.made is None
        self.undated_sales += draft.hands.owner is not None and draft.hands.sold is None
        self.paid += draft.hands.taken_as_paid
        if draft.called.edition is not None and draft.called.number is not None:
            self.numbered.add(draft.called.edition.id)

    def add_one(self, row: Row, draft: Drafted) -> tuple[int, str]:
        """Enter the print, what stands on it, and its changes of hands."""
        connection, event = self.work.connection, self.work.event
        thing = given_before.enter(connection, event.noted(draft.note), draft.earlier)
        if draft.inscription:
            when = draft.earlier.signed or draft.earlier.made
            day = given_before.moment_of(when) if when else event.moment
            # Where on the print and with what nobody said.
            connection.execute(prints.INSCRIBE, (thing.id, draft.inscription, "", "", 0, day.date, event.by))
        try:
            enter_hands(self.work, thing, draft.hands, self.parties)
        except TirageError as refusal:
            raise NotTakenError(refusal, thing.code) from None
        return thing.id, thing.code

    def _signature(self, row: Row) -> tuple[Date | None, bool]:
        """When it was signed, None where that is not known or it was not, and whether it was signed some day."""
        text = row.get("signed")
        word = folded(text)
        if not text or is_no(text) or word in UNSIGNED:
            return None, False
        if is_yes(text) or word in SIGNED:
            return None, True
        if any(word.startswith(one) for one in SIGNED):
            row.keep("signed", "read as signed, nobody knows when; the rest of it is kept as note")
            return None, True
        date = date_in(row, "signed", self.work.options, today=self.work.today.isoformat())
        return date, False

    def _sizes(self, row: Row) -> tuple[SIDES, SIDES]:
        """The sizes of the image and of the sheet, which may stand in one cell."""
        found: dict[str, SIDES] = {}
        for field in ("image size", "sheet size"):
            size = size_in(row, field, self.work.options)
            for one in (size, *size.more) if size else ():
                which = "sheet" if one.which == "sheet" else "image" if one.which == "image" else field.split()[0]
                if one.height is None or one.width is None:
                    continue
                if one.which in ("mount", "plate") or which in found:
                    told = format_size(one.height, one.width)
                    row.keep(field, f"{told} is neither the one size of the image nor that of the sheet")
                    continue
                found[which] = (one.height, one.width)
        return found.get("image"), found.get("sheet")

    def _place(self, row: Row, hands: Hands) -> Standing | None:
        """Where it is in the studio; of what is not there the place is kept as note."""
        if row.get("place") and not hands.at_home:
            row.keep("place", "it is not in the studio any more, so it has no place there")
        elif self.parties.is_there(row.get("place")):
            row.keep("place", "that is a party and no place; what it has on consignment goes in a column “gallery”")
        else:
            return self.places.read(row, "place")
        return None

    def _paper(self, row: Row) -> int | None:
        text = row.get("paper")
        if not text:
            return None
        found = self.papers.get(text.casefold())
        if found is None:
            row.keep(
                "paper",
                f"there is no stock of paper “{text}”; where it is one, describe it first: tirage paper add NAME "
                f"DESCRIPTION",
            )
        return found

    def _refuse_twice(self) -> None:
        """Refuse every number that stands in two rows, naming both."""
        for (identity, kind, number), rows in self.rows.items():
            for row in rows if len(rows) > 1 else ():
                others = [str(other.line) for other in rows if other is not row]
                edition = self.known.edition_of(identity)
                row.refuse(
                    "number",
                    f"{number_label(kind, number, edition.numerals)} of {edition.code} stands in "
                    f"row{'s' if len(others) > 1 else ''} {' and '.join(others)} too, and a number is one print's for "
                    f"ever. Mend one of them; a print that took the number of a destroyed one is entered after the "
                    f"import: tirage replace OLD NEW.",
                )

    def _unlisted(self) -> Iterator[str]:
        """Which numbers below a listed one stand in no row: the next signature would hand them out."""
        for identity in sorted(self.numbered):
            edition = editions.read(self.work.connection, identity)
            for kind, missing in given_before.unlisted(self.work.connection, edition).items():
                refused = {number: self.rows[identity, kind, number] for number in missing
                           if (identity, kind, number) in self.rows}  # fmt: skip
                for number, rows in refused.items():
                    lines = ", ".join(str(row.line) for row in rows)
                    yield (
                        f"Mind: {_runs(kind, [number], edition.numerals)} of {edition.code} stands in refused "
                        f"row{'s' if len(rows) > 1 else ''} {lines} only, and is not free: bring that in before "
                        f"anything of {edition.code} is signed or offered."
                    )
                numbers = [number for number in missing if number not in refused]
                if not numbers:
                    continue
                first = number_label(kind, numbers[0]).replace(" ", "")
                yield (
                    f"Mind: {_runs(kind, numbers, edition.numerals)} of {edition.code} "
                    f"{'stands' if len(numbers) == 1 else 'stand'} in no row, though a higher one does: given before "
                    f"and not listed, or free? The next signature takes the lowest. Add rows for what was given, or "
                    f"hold one back: tirage promise {edition.code}:{first} NAME"
                )


def _prints(count: int) -> str:
    return f"{count:,} print{'' if count == 1 else 's'}"


def _runs(kind: str, numbers: Sequence[int], numerals: str) -> str:
    """“numbers 1, 2, 4 to 6”, “AP 2”."""
    if kind != "numbered":
        return ", ".join(number_label(kind, number, numerals) for number in numbers[:MOST_LISTED])
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    words = [str(a) if a == b else f"{a}, {b}" if b == a + 1 else f"{a} to {b}" for a, b in runs[:MOST_LISTED]]
    more = f" and more, {len(numbers)} in all," if len(runs) > MOST_LISTED else ""
    return f"number{'s' if len(numbers) > 1 else ''} {', '.join(words)}{more}"
