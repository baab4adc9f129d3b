"""Whether certificates hold as they were signed, and stand where they stood in the history."""

from collections.abc import Iterator

from catalog import signing
from catalog.records import artist_keys, certificates, slips
from catalog.rules.checks.findings import Finding, Subject

# Each certificate, and the newest seal that stood when it was issued: that of the command before its own.
SEAL_THEN = """SELECT id, (SELECT digest FROM journal_seal WHERE last < entry ORDER BY last DESC LIMIT 1)
    FROM (SELECT c.id, min(j.id) AS entry FROM journal j JOIN certificate c ON c.id = json_extract(j.key, '$[0]')
          WHERE j.tbl = 'certificate' AND j.before IS NULL GROUP BY c.id)"""
PLACE_OF_SEAL = "SELECT command, sealed FROM journal_seal WHERE digest = ?"


def certificates_hold(subject: Subject) -> Iterator[Finding]:
    """Whether each certificate is as its key signed it, and every key has the word of the one before it."""
    connection = subject.connection
    keys = artist_keys.public_keys(connection)
    for problem in artist_keys.succession_problems(connection):
        yield Finding("error", "", problem)
    for issued in certificates.listed(connection):
        for problem in _not_as_signed(issued, keys):
            yield Finding(
                "error",
                issued.code,
                f"{issued.code} for {issued.print_code} was altered in the catalog: {problem}. Compare it with its "
                f"paper: tirage certificate verify FILE.",
            )


def seals_of_certificates(subject: Subject) -> Iterator[Finding]:
    """Whether each certificate names the seal that was the newest when it was issued, and that seal is in the chain."""
    connection = subject.connection
    then = {row[0]: row[1] for row in connection.execute(SEAL_THEN)}
    rewritten: list[certificates.Certificate] = []
    agrees = ""
    for issued in certificates.listed(connection):
        try:
            named = issued.public.get("journal")
        except (ValueError, AttributeError):
            continue  # unreadable facts are told of already
        if named == then.get(issued.id):
            agrees = agrees if rewritten else issued.code
            continue
        row = connection.execute(PLACE_OF_SEAL, (named,)).fetchone()
        if row is None:
            rewritten.append(issued)
            continue
        yield Finding(
            "error",
            issued.code,
            f"{issued.code} was issued right after “{row[0]}” of {row[1][:10]}, and stands elsewhere in the history "
            f"now: its place was changed.",
        )
    if rewritten:
        first, more = rewritten[0], len(rewritten) - 1
        since = f"between {agrees} and" if agrees else "before"
        others = f", nor {'is that' if more == 1 else 'are those'} of {more} later" if more else ""
        yield Finding(
            "error",
            first.code,
            f"The history was rewritten after {first.code} was issued ({first.issued}): the seal that it names is not "
            f"in the chain{others}. What is recorded {since} {first.code} may not be what happened: bring back a copy "
            f"that was kept.",
        )


def _not_as_signed(issued: certificates.Certificate, keys: dict[str, str]) -> Iterator[str]:
    try:
        payload = signing.verify(issued.jws, {k: x for k, x in keys.items() if k == issued.thumbprint})
    except (signing.BadSignatureError, signing.UnknownKeyError, signing.UnreadableError):
        yield f"its signature is not one by its key {issued.thumbprint}"
        return
    if payload != issued.facts.encode():
        yield "its facts are not those that were signed"
        return
    facts = issued.public
    if facts.get("certificate") != issued.code or facts.get("key") != issued.thumbprint:
        yield f"what was signed is certificate {facts.get('certificate')} with the key {facts.get('key')}"
    if facts.get("print", {}).get("code") != issued.print_code:
        yield f"what was signed is about {facts.get('print', {}).get('code')}"
    if facts.get("private_facts") != signing.fingerprint(issued.private_facts.encode()):
        yield "its private facts are not those whose digest was signed"
    if issued.slip:
        yield from _slip_not_as_signed(issued, keys)


def _slip_not_as_signed(issued: certificates.Certificate, keys: dict[str, str]) -> Iterator[str]:
    try:
        slip = slips.read(issued.slip, keys)
    except (signing.BadSignatureError, signing.UnknownKeyError, signing.UnreadableError):
        yield "the short statement in its square is not signed by a key of this catalog"
        return
    if slip.facts != slips.digest(issued.facts.encode()) or slip.certificate != issued.code:
        yield f"the short statement in its square is that of other facts, of {slip.certificate}"
