"""Corrections of a change of hands: what was said of a sale or a handing out, and when it was, with the reason."""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from catalog.dates import Moment, later_than, parse_date
from catalog.errors import NotUnderstood
from catalog.events import Event
from catalog.money import Money, parse_money
from catalog.records import corrections, parties
from catalog.records.corrections import ADD, Corrected, CorrectionRefusedError, NoReasonError, NothingToCorrectError
from catalog.records.items import Coded
from catalog.records.replacements import replaced_before
from catalog.records.transfers import living_then
from catalog.records.transfers.chain import FATE_KINDS, OUT_KINDS
from catalog.records.transfers.commission import parse_commission, per_cent
from catalog.records.transfers.entering import LEAVING, MADE
from catalog.records.transfers.record import NOUNS, TITLE_KINDS, Transfer, described, of_item

Values = tuple[Any, ...]
TERMS = ("price", "commission", "insured")  # those of a handing out by the owner hold for all moves within it
SOLD_OR_OFFERED = ("sale", "consignment", "approval")
TOLD_OF = (*TITLE_KINDS, *OUT_KINDS, "loss", "theft", "finding")


@dataclass(frozen=True)
class Field:
    """One correctable field of a change of hands: of what kinds, its columns, how it is read and written out."""

    kinds: tuple[str, ...]
    columns: tuple[str, ...]
    parse: Callable[[str], Values]
    show: Callable[[Values], str]


def _money(text: str) -> Values:
    if not text:
        return (None, "")
    money = parse_money(text)
    return (money.minor, money.currency)


def _date(text: str) -> Values:
    found = parse_date(text)
    return (found.edtf, found.earliest, found.latest, "")


def _until(text: str) -> Values:
    found = parse_date(text) if text else None
    return (found.edtf, found.latest) if found else ("", "")


def _ended(values: Values) -> str:
    return parse_date(values[0]).text() if values[0] else ""


def _amount(values: Values) -> str:
    return "" if values[0] is None else Money(values[0], values[1]).text()


def _word(column: str, kinds: tuple[str, ...]) -> Field:
    return Field(kinds, (column,), lambda text: (text,), lambda values: str(values[0]))


PLACE = _word("place", TOLD_OF)
FIELDS = {
    "price": Field(SOLD_OR_OFFERED, ("price", "currency"), _money, _amount),
    "commission": Field(
        ("consignment", "approval"),
        ("commission",),
        lambda text: (parse_commission(text) if text else None,),
        lambda values: per_cent(values[0]),
    ),
    "until": Field(OUT_KINDS, ("until", "until_latest"), _until, _ended),
    "insured": Field(OUT_KINDS, ("insured", "insured_currency"), _money, _amount),
    "condition": _word("condition", OUT_KINDS),
    "date": Field(
        tuple(NOUNS), ("happened", "earliest", "latest", "clock"), _date, lambda values: Moment(*values).text()
    ),
    "their-number": _word("their_number", TOLD_OF),
    "in": PLACE,
    "place": PLACE,
    "occasion": _word("occasion", TOLD_OF),
    "remark": _word("remark", TOLD_OF),
    "note": _word("note", tuple(NOUNS)),
}  # fmt: skip
WITH_ITS_KIND = ("date", "in", "place", "note")  # alone they may be meant of the print or the plate
BARE = tuple(name for name in FIELDS if name not in WITH_ITS_KIND)


class NoSuchDealingError(CorrectionRefusedError):
    """A correction of a change of hands that is not recorded."""

    def __init__(self, code: str, field: str, kinds: Sequence[str]) -> None:
        nouns = [NOUNS[kind] for kind in kinds]
        told = nouns[0] if len(nouns) == 1 else f"{', '.join(nouns[:-1])} or {nouns[-1]}"
        any_of = "change of hands" if len(nouns) > 4 else told
        super().__init__(code, field, f"no {any_of} of it is recorded. See: tirage history {code}.")


def names(thing: Coded, typed: str) -> bool:
    """Whether what was typed is a field of a change of hands: `price`, or with its kind `sale-price`, `loan-until`."""
    kind, name = _parts(typed)
    return thing.kind in ("print", "negative") and name in FIELDS and (bool(kind) or name in BARE)


def correct(connection: sqlite3.Connection, event: Event, thing: Coded, field: str, text: str, why: str) -> Corrected:
    """Set right one field: of the newest change of hands that has it, or else of the thing itself.

    Raises NoSuchDealingError, and what corrections.correct raises.
    """
    if not names(thing, field):
        _refuse_bare(thing, field)
        return corrections.correct(connection, event, thing, field, text, why)
    if not why.strip():
        raise NoReasonError(thing.code)
    kind, name = _parts(field)
    one, kept = _of(connection, thing, kind, name), FIELDS[name]
    label = f"{name} of the {NOUNS[one.kind]}"
    now = tuple(getattr(one, column) for column in kept.columns)
    wanted = kept.parse(" ".join(text.split()))
    before, after = kept.show(now), kept.show(wanted)
    if before == after:
        raise NothingToCorrectError(thing.code, label, before)
    reason = _reason(connection, event, thing, one, name, wanted)
    if reason:
        raise CorrectionRefusedError(thing.code, label, reason)
    connection.execute(ADD, (thing.id, label, before, after, why.strip(), event.by, event.moment.date))
    assignments = ", ".join(f"{column} = ?" for column in kept.columns)
    connection.execute(f"UPDATE transfer SET {assignments} WHERE id = ?", (*wanted, one.id))
    return Corrected(label, before, after)


def _refuse_bare(thing: Coded, typed: str) -> None:
    """Raise NotUnderstood where a date or a place may be that of the thing or of a change of hands."""
    name = _parts(typed)[1]
    if name in ("date", "in", "place") and thing.kind in ("print", "negative"):
        what = "print" if thing.kind == "print" else "plate"
        own = f"made= for the date of the {what}, or " if name == "date" else ""
        raise NotUnderstood(
            f"one field of {thing.code}",
            typed,
            f"{own}the kind of the change of hands before it, such as sale-{name}= or loan-{name}=",
        )


def _parts(typed: str) -> tuple[str, str]:
    """The kind that stands before a field, "" where none does, and the field."""
    name = typed.strip().lower().replace("_", "-").replace(" ", "-")
    kind, _, rest = name.partition("-")
    return (kind, rest) if kind in NOUNS and rest in FIELDS else ("", name)


def _of(connection: sqlite3.Connection, thing: Coded, kind: str, name: str) -> Transfer:
    """The newest change of hands that a correction is about. Raises NoSuchDealingError, NotUnderstood."""
    kinds = FIELDS[name].kinds
    if kind and kind not in kinds:
        has = [field for field, one in FIELDS.items() if kind in one.kinds and field != "place"]
        raise NotUnderstood(f"a field of a {NOUNS[kind]}", name, f"one of {', '.join(has)}")
    chain = of_item(connection, thing.id)
    wanted = (kind,) if kind else kinds
    found = [one for one in chain if one.kind in wanted and not (name in TERMS and _moved_on(chain, one))]
    if not found:
        raise NoSuchDealingError(thing.code, name, wanted)
    if name in ("until", "condition"):  # where the last does not say it, those of the one before hold
        found = [one for one in found if getattr(one, name)] or found
    return found[-1]


def _moved_on(chain: Sequence[Transfer], one: Transfer) -> bool:
    """Whether a handing out was a move on within another, whose terms stay."""
    owner = chain[0].from_party
    for earlier in chain:
        if earlier is one:
            break
        owner = earlier.to_party if earlier.title else owner
    return one.kind in OUT_KINDS and one.from_party != owner


def _reason(
    connection: sqlite3.Connection, event: Event, thing: Coded, one: Transfer, name: str, wanted: Values
) -> str:
    """Why a field cannot become that, "" where it can."""
    if name == "until" and wanted[1] and wanted[1] < one.earliest:
        return f"it would end {parse_date(wanted[0]).text()}, before it began."
    if name != "date":
        return ""
    moment = Moment(*wanted)
    if moment.earliest > event.moment.latest:
        return "that day has not come yet; expected a date up to today."
    if thing.kind == "negative" and one.kind in FATE_KINDS:
        return "the state of the plate was told with it, and stays as it was entered."
    made = connection.execute(MADE, (thing.id,)).fetchone()
    if made[0] and later_than(Moment(*made[:4]), moment):
        return f"{thing.code} was made {parse_date(made[0]).text()}; expected a date from then on."
    if one.kind in LEAVING and made[4] and moment.latest and moment.latest < made[4]:
        return f"{thing.code} was signed {parse_date(made[5]).text()}; expected a date from then on."
    if one.until_latest and one.until_latest < moment.earliest:
        return f"it ends {parse_date(one.until).text()}; expected a date up to then."
    return _of_its_kind(connection, thing, one, moment) or _out_of_order(connection, thing, one, moment)


def _of_its_kind(connection: sqlite3.Connection, thing: Coded, one: Transfer, moment: Moment) -> str:
    """Why a bequest or a destruction cannot have been then, "" where it can."""
    if one.kind == "bequest" and one.from_party is not None and parties.read(connection, one.from_party).died:
        early = living_then(connection, one.from_party, moment)
        return f"{early}; expected a date from then on." if early else ""
    successor = replaced_before(connection, thing.id, moment) if one.kind == "destruction" else None
    if successor:
        return f"{successor[0]} bears its number since {successor[1]}; expected a date up to then."
    return ""


def _out_of_order(connection: sqlite3.Connection, thing: Coded, one: Transfer, moment: Moment) -> str:
    for other in sorted(of_item(connection, thing.id), key=lambda other: abs(other.rank - one.rank)):
        earlier, later = (other.moment, moment) if other.rank < one.rank else (moment, other.moment)
        if other.id != one.id and later_than(earlier, later):
            side = "follows" if other.rank < one.rank else "comes before"
            return f"it {side} {described(connection, other)}; expected a date that does too."
    return ""
