"""Certificates on the command line."""

from collections.abc import Sequence
from pathlib import Path

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import PRINTS, Operand, command, event_options, group, output_options
from catalog.cli.sign import note_anyway, stop_at_doubt
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import artist_keys, certificates, items

certificate_command = group("certificate", "Certificates: issue, revoke, verify, show.")
CODE = Operand("code", "--certificate", "CODE", "a certificate, such as c1")
FILE = Operand("file", "--file", "FILE", "a certificate's PDF, or its certificate.jws")


class FileNotReadError(TirageError):
    """A file that cannot be opened."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(f"{file} could not be read ({reason}); expected a file that is there. Look at its name.")


@command("issue", PRINTS)
@click.option("--supersedes", metavar="CODE", help="The certificate that the new one replaces.")
@click.option("--anyway", metavar="REASON", default="", help="Although the records say stop; the reason is kept.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
@event_options
def issue_command(desk: Desk, prints: str, supersedes: str | None, anyway: str, paper: str | None) -> None:
    """Issue certificates for signed prints, and put them on paper in out/.

    \b
    tirage certificate issue 3
    tirage certificate issue 3 --supersedes c1 --note "the paper was misnamed"
    """
    with desk.writing() as work:
        things = items.find(work.connection, prints, "print")
        issued = issue(desk, work, things, anyway, supersedes)
    for one, path in zip(issued, draw(desk, [one.id for one in issued], paper), strict=True):
        desk.say(f"{one.code} issued for {one.print_code}, {one.public['print']['designation']}: {_short(desk, path)}")
    desk.say("Print it, compare it with the print, and sign it in ink.")


def issue(
    desk: Desk, work: Work, things: Sequence[items.Coded], anyway: str = "", supersedes: str | None = None
) -> list[certificates.Certificate]:
    """Issue certificates within a unit of work; they are drawn when it is done. Raises StoppedError."""
    from catalog.documents import certificate as document
    from catalog.documents.presentation import presentation

    earlier = items.find_one(work.connection, supersedes, "certificate").id if supersedes else None
    if earlier and len(things) != 1:
        raise TirageError("One certificate supersedes one other; name one print with --supersedes.")
    stop_at_doubt(work.connection, list(things), anyway)
    note_anyway(work, anyway)
    look = presentation(desk.folder)
    issued = [document.issue(work.connection, work.event, thing.id, desk.folder, look, earlier) for thing in things]
    for one in issued:
        document.drawable(one, look.paper)  # before it is committed: what cannot be drawn is not issued
    work.touch(things)
    work.touch(items.Coded(one.id, one.code, "certificate") for one in issued)
    return issued


def draw(desk: Desk, ids: Sequence[int], page: str | None = None) -> list[Path]:
    """Put certificates on paper in out/, as often as wanted; where the files are."""
    from catalog.documents import certificate as document
    from catalog.documents import filing
    from catalog.documents.presentation import presentation

    look = presentation(desk.folder)
    paths = []
    with desk.reading() as connection:
        key, mind = document.page_key(connection, desk.now.date().isoformat(), desk.folder)
        if mind:
            desk.warn(mind)
        for identity in ids:
            one = certificates.read(connection, identity)
            path = desk.folder / filing.FOLDER / filing.name_of("certificate", [one.code])
            said = document.content(one)
            filing.keep(path, document.paper(one, page or look.paper, key), f"{said.heading} {said.number}")
            paths.append(path)
    return paths


@command("revoke", CODE)
@click.option("--why", metavar="REASON", required=True, help="The reason; anybody who asks is told it.")
@event_options
def revoke_command(desk: Desk, code: str, why: str) -> None:
    """Revoke a certificate; the record of it stays, with the reason."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "certificate")
        certificates.revoke(work.connection, work.event, thing.id, why)
        work.touch(thing)
    desk.say(f"{thing.code} is revoked: {why}. A copy that is out still looks valid; tell whoever holds it.")


@command("show", CODE)
@click.option("--draw", "again", is_flag=True, help="Put it on paper again, from its frozen facts.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
@output_options
def show_command(desk: Desk, code: str, again: bool, paper: str | None) -> None:
    """Show a certificate: what it states, and what became of it."""
    from catalog import signing

    with desk.reading() as connection:
        thing = items.find_one(connection, code, "certificate")
        one = certificates.read(connection, thing.id)
        if desk.output:
            desk.show([{**_row(one), "facts": one.facts, "jws": one.jws, "key": one.thumbprint}])
        else:
            desk.say(
                facts([*_row(one).items(), ("key", one.thumbprint), ("fingerprint", signing.grouped(one.fingerprint))])
            )
    if again:
        desk.say(_short(desk, draw(desk, [thing.id], paper)[0]))


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List all certificates, oldest first."""
    with desk.reading() as connection:
        desk.show([_row(one) for one in certificates.listed(connection)], "No certificate yet.")


@command("verify", FILE)
@click.option("--key", metavar="FILE", help="The studio's public key, got by another way than the certificate.")
@output_options
def verify_command(desk: Desk, file: str, key: str | None) -> int:
    """Check a certificate's file: is it as it was issued, and does it still stand?

    \b
    tirage certificate verify certificate-C-0001.pdf
    tirage certificate verify certificate-C-0001.pdf --key studio-key.json
    """
    from catalog import signing
    from catalog.documents.verification import verify

    data = _read(Path(file))
    keys = signing.read_public(_read(Path(key)).decode("utf-8", "replace")) if key else {}
    if desk.find() is None:
        verdict = verify(data, keys)
    else:
        with desk.reading() as connection:
            ours = artist_keys.public_keys(connection)
            keys = keys or ours
            verdict = verify(
                data, keys, (lambda code: certificates.coded(connection, code)) if ours.keys() & keys.keys() else None
            )
    if desk.output:
        desk.show(
            [{"file": file, "status": verdict.status, "certificate": verdict.code, "lines": " ".join(verdict.lines)}]
        )
    else:
        about = f" ({verdict.code})" if verdict.code else ""
        desk.say("\n".join([f"{Path(file).name}{about}: {verdict.status}", *(f"  {line}" for line in verdict.lines)]))
    return 0 if verdict.is_valid else 1


@command("key")
def key_command(desk: Desk) -> None:
    """Print the public keys, for whoever checks certificates without this catalog; keep the text in a file.

    \b
    tirage certificate key > studio-key.json
    """
    import json

    with desk.reading() as connection:
        desk.say(json.dumps(artist_keys.jwk(connection), indent=1))


def _row(one: certificates.Certificate) -> dict[str, object]:
    return {
        "code": one.code,
        "print": one.print_code,
        "issued": parse_date(one.issued).text(),
        "standing": f"superseded by {one.superseded_by}" if one.standing == "superseded" else one.standing,
        "why": one.why,
    }


def _read(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as problem:
        raise FileNotReadError(file, problem.strerror or "no access") from None


def _short(desk: Desk, path: Path) -> str:
    return path.relative_to(desk.folder).as_posix()


for _command in (issue_command, revoke_command, show_command, list_command, verify_command, key_command):
    certificate_command.add_command(_command)
