"""Editions from a table: declared under the same rules as by the command, each on the day that stands in its row."""

from collections.abc import Mapping
from contextlib import suppress
from typing import NamedTuple

from catalog.dates import Date, Moment
from catalog.errors import TirageError
from catalog.events import Event
from catalog.exchange.free_text.processes import read_process
from catalog.exchange.importing.cells import date_in, size_in
from catalog.exchange.importing.edition_fields import FIELDS
from catalog.exchange.importing.frame import Importer, Importing, Row
from catalog.exchange.importing.known import CodeAndNumberError, Known
from catalog.exchange.importing.own_codes import own_code_in
from catalog.exchange.importing.sums import money_in
from catalog.exchange.importing.words import folded, is_no, is_yes, read_edition_size, read_proofs
from catalog.measures import format_size
from catalog.money import Money
from catalog.records import edition_prices, editions, negatives, papers
from catalog.records.given_before import NotTakenError
from catalog.records.items import Coded
from catalog.records.second_editions import SecondEditionError
from catalog.vocabulary import NUMERALS, PROOF_KINDS

TELL_WHEN = (
    "an edition is declared on a day, in a year or about one, and none can be read here. Put one in a column "
    "“declared”: 1998, c. 1998 or 2003-05-12 will do; “[..2026]” where all that is known is that it was by then"
)


class EditionDraft(NamedTuple):
    """An edition as its row has it; lengths in micrometres."""

    negative: Coded
    title: str
    size: int | None
    proofs: Mapping[str, int]
    declared: Date
    own_code: str | None
    image: tuple[int, int] | None
    sheet: tuple[int, int] | None
    process: str
    paper: str
    toning: str
    estate: bool
    numerals: str
    disclosure: str
    price: Money | None
    note: str


class Editions(Importer[EditionDraft]):
    """Brings in editions."""

    noun = "editions"
    one = "edition"
    fields = FIELDS
    needed = ("negative", "title")
    dates = ("declared",)
    apart = ("code",)

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.known = Known(work.connection)
        self.papers = {paper.name.casefold(): paper.description for paper in papers.listed(work.connection)}

    def read(self, row: Row) -> EditionDraft | None:
        """What a row says of an edition."""
        options = self.work.options
        negative = self._negative(row)
        counted = _counts(row)
        declared = date_in(row, "declared", options, today=self.work.today.isoformat())
        if declared is None and not row.refused:
            row.refuse("declared", f"“{row.get('declared')}”: {TELL_WHEN}." if row.get("declared") else f"{TELL_WHEN}.")
        image, sheet = size_in(row, "image size", options), size_in(row, "sheet size", options)
        more = next((one for one in (image.more if image else ()) if one.which == "sheet"), None)
        process, toning = _made(row)
        price = money_in(row, "price", options)
        estate = _estate(row)
        numerals = _numerals(row)
        own = self._own_code(row)
        if row.refused or negative is None or counted is None or declared is None:
            return None
        size, proofs = counted
        found_by_code = row.get("negative") and row.get("title")
        return EditionDraft(
            negative,
            row.get("title") if found_by_code else negatives.read(self.work.connection, negative.id).title,
            size,
            proofs,
            declared,
            own,
            (image.height, image.width) if image and image.height and image.width else None,
            next(((one.height, one.width) for one in (sheet, more) if one and one.height and one.width), None),
            process,
            self.papers.get(row.get("paper").casefold(), row.get("paper")),
            toning,
            estate,
            numerals,
            row.get("disclosure"),
            price,
            row.get("note"),
        )

    def called(self, values: Mapping[str, str]) -> tuple[str, ...]:
        """Its negative, how many it has and its size."""
        plate, count = values.get("negative") or values.get("title", ""), values.get("edition", "")
        return (plate, count, values.get("image size", "")) if plate and count else ()

    def preview(self, draft: EditionDraft) -> dict[str, str]:
        """How an edition was read."""
        proofs = ", ".join(f"{count} {kind}" for kind, count in draft.proofs.items())
        return {
            "negative": draft.negative.code,
            "edition": " + ".join(filter(None, (str(draft.size or "open"), proofs))),
            "image": format_size(*draft.image) if draft.image else "",
            "process": draft.process,
            "declared": draft.declared.text(),
            "price": draft.price.text() if draft.price else "",
        }

    def add_one(self, row: Row, draft: EditionDraft) -> tuple[int, str]:
        """Declare it; a price of the table is the price from today on."""
        event = self.work.event
        day = Moment(draft.declared.edtf, draft.declared.earliest, draft.declared.latest, "")
        try:
            thing = self._declare(Event(day, event.by, draft.note), draft)
        except SecondEditionError as refusal:
            more = " Where it is one of its own, say so in a column “disclosure”." if not draft.disclosure else ""
            raise TirageError(NotTakenError(refusal).sentence + more) from None
        except TirageError as refusal:
            raise NotTakenError(refusal) from None
        if draft.price:
            edition_prices.set_price(self.work.connection, event, thing.id, draft.price)
        return thing.id, thing.code

    def _declare(self, event: Event, draft: EditionDraft) -> Coded:
        return editions.declare(
            self.work.connection,
            event,
            draft.negative.id,
            draft.title,
            draft.size,
            draft.proofs,
            own_code=draft.own_code,
            image=draft.image,
            sheet=draft.sheet,
            process=draft.process,
            paper=draft.paper,
            toning=draft.toning,
            estate=draft.estate,
            numerals=draft.numerals,
            disclosure=draft.disclosure,
        )

    def _own_code(self, row: Row) -> str | None:
        """A code of one's own; refused where an edition has it already, for a list changes nothing that is there."""
        own = own_code_in(row, "code", "edition")
        thing = None
        with suppress(CodeAndNumberError):
            thing = self.known.coded(own, "edition") if own else None
        if isinstance(thing, Coded) and thing.code.casefold() == (own or "").casefold():
            found = self.known.edition_of(thing.id)
            row.refuse(
                "code",
                f"there is an edition {thing.code} already (“{found.title}”, {found.size or 'open'}), and a list "
                f"changes nothing that is there. Change it with tirage correct or tirage price, and leave this row out "
                f"or give this one another code.",
            )
        return own

    def said(self) -> list[str]:
        """Which numbers of earlier lists were looked up."""
        return self.known.numbers.said()

    def _negative(self, row: Row) -> Coded | None:
        field = "negative" if row.get("negative") else "title"
        if not row.get(field):
            row.refuse("negative", "an edition is one of a negative, and none is named. Name it by code or title.")
            return None
        try:
            return self.known.negative(row.get(field))
        except TirageError as refusal:
            row.refuse(field, refusal.sentence)
            return None


def _counts(row: Row) -> tuple[int | None, dict[str, int]] | None:
    """The size, None for open, and the proofs, from the three places where they stand; None where refused."""
    text = row.get("edition")
    found = read_edition_size(text) if text else None
    if found is None:
        if not text and row.get("image size") and read_edition_size(row.get("image size")):
            heading = row.layout.heading("image size")
            row.refuse(
                "image size",
                f'how many prints it has is not said, and this reads as that: set "{heading}" = "edition" in the '
                f"mapping file",
            )
            return None
        told = f"“{text}” is no size of an edition" if text else "how many prints it has is not said"
        row.refuse("edition", f"{told}; expected such as 25, “ed. of 25”, “25 + 3 AP”, or open. Mend the cell.")
        return None
    size, proofs = found
    beside = read_proofs(row.get("proofs"))
    if beside is None:
        row.refuse(
            "proofs",
            f"“{row.get('proofs')}” is no count of proofs; expected such as “2 AP, 1 PP”, of {', '.join(PROOF_KINDS)}. "
            f"Mend the cell, as proofs are part of what is declared.",
        )
        return None
    for kind in PROOF_KINDS:
        count = row.get(kind)
        if count and not is_no(count):
            if not (count.isascii() and count.isdigit() and len(count) < 7):
                row.refuse(kind, f"“{count}” is no count; expected a whole number. Mend the cell.")
                return None
            _told_twice(row, kind, kind, int(count), {**proofs, **beside})
            beside[kind] = int(count)
    for kind, number in beside.items():
        _told_twice(row, "proofs", kind, number, proofs)
    return size, {kind: count for kind, count in (proofs | beside).items() if count}


def _told_twice(row: Row, field: str, kind: str, count: int, before: Mapping[str, int]) -> None:
    if before.get(kind, count) != count:
        row.refuse(field, f"{count} {kind} here and {before[kind]} in another column of this row. Mend one of them.")


def _made(row: Row) -> tuple[str, str]:
    """Process and toning: in the words of the catalog, or as written where it does not know them."""
    text, toning = row.get("process"), row.get("toning")
    if not text:
        return "", toning
    found = read_process(text)
    if found.why_not or found.rest or not found.process:
        row.doubt("process", "taken as written, for not all of its words are known; size and process make an edition")
        return text, toning
    for doubt in found.doubts:
        row.doubt("process", doubt)
    aside = " and ".join(filter(None, (f"the {found.base} base" if found.base else "", found.mount)))
    if aside:
        row.keep("process", f"read as {found.process}; {aside} has no field of an edition")
    if found.toning and not toning:
        toning = found.toning
    return found.process, toning


def _estate(row: Row) -> bool:
    text = row.get("estate")
    if text and not is_yes(text) and not is_no(text):
        row.keep("estate", f"“{text}” is neither yes nor no; taken as no")
    return is_yes(text)


def _numerals(row: Row) -> str:
    text = folded(row.get("numerals"))
    for known, words in zip(NUMERALS, (("arabic", "arabe", "arabisch"), ("roman", "romain", "römisch")), strict=True):
        if text.rstrip("s") in words or text in words:
            return known
    if text:
        row.keep("numerals", f"“{text}” is neither arabic nor roman; taken as arabic")
    return NUMERALS[0]
