"""Certificates on the command line."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog.cli.certificate_check import verify_command
from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.passphrases import key_ring, passphrase_option
from catalog.cli.sign import note_anyway, stop_at_doubt
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import certificates, items

if TYPE_CHECKING:
    import sqlite3

    from catalog.records.private_keys import KeyRing

certificate_command = group("certificate", "Certificates: issue, revoke, verify, show.")
CODE = Operand("code", "--certificate", "CODE", "a certificate, such as c1")
CODES = Operand("codes", "--certificates", "CODES", "certificates, such as c1 or c1-6")
PRINTS = Operand("prints", "--prints", "CODES", "prints, such as 3 or 1-6, or an edition (e1) for all that have none")
PAGE = click.option("--paper", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
BUYER = click.option("--with-buyer", is_flag=True, help="Print the buyer's name too, as it is kept in private.")
FEW = 12  # beyond this, lines say the range and not each one


class NoneWithoutError(TirageError):
    """An edition in which nothing is left to certify."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"No signed print of {code} that is there is without a valid certificate; expected at least one. "
            f"See: tirage certificate list, or sign prints first: tirage sign CODES."
        )


class NobodyToNameError(TirageError):
    """A buyer's name to be printed, where no print named has a buyer."""

    def __init__(self, prints: Sequence[str]) -> None:
        one = len(prints) == 1
        super().__init__(
            f"{items.shorten(prints)} {'has' if one else 'have'} no buyer on record, so there is no name to print; "
            f"nothing was issued. Leave out --with-buyer, or first record the sale: tirage sell CODE NAME PRICE."
        )


class DrawingStoppedError(TirageError):
    """Ctrl-C after the records were committed and before all papers were drawn."""

    exit_code = 130

    def __init__(self, drawn: int, left: Sequence[str]) -> None:
        super().__init__(
            f"Stopped while drawing: {drawn} drawn. All certificates are on record and safe; draw the others with: "
            f"tirage certificate show {left[0]}{f'-{left[-1]}' if len(left) > 1 else ''} --draw"
        )


@command("issue", PRINTS)
@click.option("--supersedes", metavar="CODE", help="The certificate that the new one replaces.")
@click.option("--anyway", metavar="REASON", default="", help="Although the records say stop; the reason is kept.")
@PAGE
@BUYER
@passphrase_option
@event_options
def issue_command(
    desk: Desk,
    prints: str,
    supersedes: str | None,
    anyway: str,
    paper: str | None,
    with_buyer: bool,
    passphrase_file: str | None,
) -> None:
    """Issue certificates for signed prints, and put them on paper in out/.

    \b
    tirage certificate issue 3
    tirage certificate issue e1              all of an edition that have none
    tirage certificate issue 3 --supersedes c1 --note "the paper was misnamed"
    """
    keys = unlocked(desk, prints, passphrase_file)
    with desk.writing() as work:
        things = _to_certify(work.connection, prints)
        if with_buyer:
            _refuse_nobody(work.connection, things)
        issued = issue(desk, work, things, anyway, supersedes, keys, with_buyer)
    paths = draw(desk, [one.id for one in issued], paper, keys, with_buyer)
    for one, path in zip(issued, paths, strict=True) if len(issued) <= FEW else ():
        desk.say(f"{one.code} issued for {one.print_code}, {one.public['print']['designation']}: {_short(desk, path)}")
    if len(issued) > FEW:
        named, about = items.shorten([one.code for one in issued]), items.shorten([one.print_code for one in issued])
        desk.say(f"{named} issued for {about}: {_short(desk, paths[0])} to {paths[-1].name}")
    desk.say("Print it, compare it with the print, and sign it in ink.")


def unlocked(desk: Desk, prints: str, passphrase_file: str | None = None) -> "KeyRing":
    """The keys that certify these prints, read and unlocked before a unit of work begins: a question holds no lock."""
    from catalog.documents.certificate import page_signer

    keys, day = key_ring(desk, passphrase_file), desk.now.date().isoformat()
    with desk.reading(still=False) as connection:
        things = _to_certify(connection, prints)
        for holder in {certificates.holder(connection, desk.event, thing.id) for thing in things}:
            keys.signing(connection, holder)
            page_signer(connection, day, keys, holder == "estate")
    return keys


def issue(
    desk: Desk,
    work: Work,
    things: Sequence[items.Coded],
    anyway: str = "",
    supersedes: str | None = None,
    keys: "KeyRing | None" = None,
    with_buyer: bool = False,
) -> list[certificates.Certificate]:
    """Issue certificates within a unit of work; they are drawn when it is done. Raises StoppedError."""
    from catalog.documents import certificate as document
    from catalog.documents import kept_certificate
    from catalog.documents.presentation import presentation
    from catalog.store.row_proof_about import prove_about

    earlier = items.find_one(work.connection, supersedes, "certificate").id if supersedes else None
    if earlier and len(things) != 1:
        raise TirageError("One certificate supersedes one other; name one print with --supersedes.")
    prove_about(work.connection, [thing.id for thing in things])
    stop_at_doubt(work.connection, list(things), anyway)
    note_anyway(work, anyway)
    look, keys, day = presentation(desk.folder), keys or key_ring(desk, None), desk.now.date().isoformat()
    issued = []
    with desk.counted(things, "Issuing") as counted:
        for thing in counted:
            one = document.issue(work.connection, work.event, thing.id, keys, look, earlier)
            # What cannot be drawn or signed, or would be written over another certificate, is not issued.
            document.page_signer(work.connection, day, keys, document.for_estate(one))
            named = with_buyer and document.has_buyer(one)
            document.drawable(one, look.paper, named)
            kept_certificate.refuse_another(_path(desk, one, named), one)
            issued.append(one)
    work.touch(things)
    work.touch(items.Coded(one.id, one.code, "certificate") for one in issued)
    return issued


def draw(
    desk: Desk,
    ids: Sequence[int],
    page: str | None = None,
    keys: "KeyRing | None" = None,
    with_buyer: bool = False,
) -> list[Path]:
    """Put certificates on paper in out/, as often as wanted; where the files are.

    Of several, those that hold no buyer are drawn without a name, and it is said which.
    """
    from catalog.documents import certificate as document
    from catalog.documents import filing, kept_certificate
    from catalog.documents.presentation import presentation

    look, keys, day = presentation(desk.folder), keys or key_ring(desk, None), desk.now.date().isoformat()
    paths: list[Path] = []
    minded: dict[str, None] = {}
    nameless: list[str] = []
    with desk.reading(still=False) as connection:
        found = [certificates.read(connection, identity) for identity in ids]
        try:
            with desk.counted(found, "Drawing") as counted:
                for one in counted:
                    key, mind = document.page_key(connection, day, keys, one)
                    minded.setdefault(mind)
                    named = with_buyer and (len(found) == 1 or document.has_buyer(one))
                    if with_buyer and not named:
                        nameless.append(one.print_code)
                    path = _path(desk, one, named)
                    kept_certificate.refuse_another(path, one)
                    pdf = document.paper(one, page or look.paper, key, named)
                    filing.keep(path, pdf, f"{document.HEADING} {one.code}")
                    paths.append(path)
        except KeyboardInterrupt:
            raise DrawingStoppedError(len(paths), [one.code for one in found[len(paths) :]]) from None
    if nameless:
        desk.warn(f"Without a name, as no buyer is on record: {items.shorten(nameless)}.")
    for mind in filter(None, minded):
        desk.warn(mind)
    return paths


@command("revoke", CODE)
@click.option("--why", metavar="REASON", required=True, help="The reason; it is kept, and no public page tells it.")
@event_options
def revoke_command(desk: Desk, code: str, why: str) -> None:
    """Revoke a certificate; the record of it stays, with the reason. In public it is called revoked, and no more."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "certificate")
        certificates.revoke(work.connection, work.event, thing.id, why)
        work.touch(thing)
    desk.say(f"{thing.code} is revoked: {why}. A copy that is out still looks valid; tell whoever holds it.")


@command("show", CODES)
@click.option("--draw", "again", is_flag=True, help="Put it on paper again, from its frozen facts.")
@PAGE
@BUYER
@passphrase_option
@output_options
def show_command(
    desk: Desk, codes: str, again: bool, paper: str | None, with_buyer: bool, passphrase_file: str | None
) -> None:
    """Show certificates: what each states, and what became of it.

    \b
    tirage certificate show c1
    tirage certificate show c1-6 --draw
    """
    from catalog import signing

    with desk.reading() as connection:
        found = [certificates.read(connection, thing.id) for thing in items.find(connection, codes, "certificate")]
    if desk.output:
        desk.show(
            [
                {**_row(one), "facts": one.facts, "jws": one.jws, "slip": one.slip, "key": one.thumbprint}
                for one in found
            ]
        )
    elif len(found) > 1:
        desk.show([_row(one) for one in found])
    else:
        proof = [("key", found[0].thumbprint), ("fingerprint", signing.grouped(found[0].fingerprint))]
        desk.say(facts([*_row(found[0]).items(), *proof]))
    if again:
        keys = key_ring(desk, passphrase_file)
        for path in draw(desk, [one.id for one in found], paper, keys, with_buyer):
            desk.say(_short(desk, path))


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List all certificates, oldest first."""
    with desk.reading() as connection:
        desk.show([_row(one) for one in certificates.listed(connection)], "No certificate yet.")


def _to_certify(connection: "sqlite3.Connection", text: str) -> list[items.Coded]:
    """The prints a person names; of an edition, those that are to have a certificate and have none."""
    found: dict[int, items.Coded] = {}
    for thing in items.find(connection, text, "print", "edition"):
        those = [thing] if thing.kind == "print" else certificates.without(connection, thing.id)
        if not those:
            raise NoneWithoutError(thing.code)
        found |= {one.id: one for one in those}
    return list(found.values())


def _refuse_nobody(connection: "sqlite3.Connection", things: Sequence[items.Coded]) -> None:
    """Raise NobodyToNameError where no print of several has a buyer."""
    from catalog.rules.owner_facts import owner_facts

    if not any(owner_facts(connection, thing.id)["buyer"] for thing in things):
        raise NobodyToNameError([thing.code for thing in things])


def _path(desk: Desk, one: certificates.Certificate, named: bool) -> Path:
    """Where a certificate's paper is kept, with the buyer's name on it or without."""
    from catalog.documents import filing

    name = filing.name_of("certificate-with-buyer" if named else "certificate", [one.code])
    return desk.folder / filing.FOLDER / name


def _row(one: certificates.Certificate) -> dict[str, object]:
    return {
        "code": one.code,
        "print": one.print_code,
        "issued": parse_date(one.issued).text(),
        "standing": f"superseded by {one.superseded_by}" if one.standing == "superseded" else one.standing,
        "why": one.why,
    }


def _short(desk: Desk, path: Path) -> str:
    return path.relative_to(desk.folder).as_posix()


for _command in (issue_command, revoke_command, show_command, list_command, verify_command):
    certificate_command.add_command(_command)
