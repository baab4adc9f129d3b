"""Human sentences for frozen facts; they claim no more than the facts hold."""

from collections.abc import Mapping, Sequence
from typing import Any

from catalog.dates import parse_date
from catalog.measures import format_size
from catalog.rules.disclosure import attributed
from catalog.rules.edition_words import ended
from catalog.rules.print_dates import both_years, year
from catalog.vocabulary import PROOF_KINDS, PROOF_PLURALS

Facts = Mapping[str, Any]

LABEL_NOTE = "For sleeve, mat or backing board, never on the print"
SLEEVE_NOTE = "Write before the plate goes in"
LIMITS = (
    "The signature shows that this statement comes from the holder of the key and is unchanged. It does not show "
    "that an object in hand is the print described, nor what happened to it later."
)
DECLARATION = "I declare that what is stated above is true of this print as my records hold it on the day of issue."
VERIFY = (
    "Attached to this file are the statement (certificate.json) and its signatures (certificate.jws, page.jws). "
    "The SHA-256 of certificate.json is the fingerprint; certificate.jws is a JWS (RFC 7515) made with the "
    "Ed25519 key whose RFC 7638 thumbprint is given. To check all of it at once: tirage certificate verify FILE."
)
GONE_WORDS = {
    "cancelled": "The negative is cancelled",
    "broken": "The negative is broken",
    "destroyed": "The negative is destroyed",
    "lost": "The negative is recorded as lost",
    "deposited": "The negative is deposited with another keeper",
    "retired": "The negative is retired",
}


def date(edtf: str) -> str:
    """A date in English, "" where there is none."""
    return parse_date(edtf).text() if edtf else ""


def size(sides: Sequence[int] | None, units: str = "metric") -> str:
    """Height by width, "" where not known."""
    return format_size(sides[0], sides[1], units) if sides else ""


def joined(parts: Sequence[str], sign: str = ", ") -> str:
    """What there is of some parts, with a sign between."""
    return sign.join(part for part in parts if part)


def capital(text: str) -> str:
    """A sentence's first letter as a capital."""
    return text[:1].upper() + text[1:]


def artist(facts: Facts) -> str:
    """Name and years of life."""
    name, life = facts["artist"]["name"], facts["artist"]["life"]
    if not life:
        return str(name)
    return f"{name} (born {life[:-1]})" if life.endswith("–") else f"{name} ({life})"


def edition(facts: Facts) -> str:
    """What the edition holds, in one line."""
    found = facts["edition"]
    if found is None:
        return "none; outside every edition"
    parts = [f"{found['size']} numbered" if found["size"] else "open edition, not numbered"]
    if found["closed_at"]:
        parts = [f"{found['size']} declared, closed early at {found['closed_at']}"]
    parts += [
        f"{count} {PROOF_KINDS[kind] if count == 1 else PROOF_PLURALS[kind]}"
        for kind in PROOF_KINDS
        if (count := found["proofs"].get(kind))
    ]
    estate = ", printed for the estate" if found["estate"] else ""
    total = found.get("total")
    in_all = f"; {total} in all" if total and found["proofs"] else ""
    return f"{found['code']}: {joined(parts)}{estate}{in_all}"


def edition_notes(facts: Facts) -> list[str]:
    """Sentences printed with an edition: how it ended, what was disclosed, what was set right; of the others too."""
    sentences = []
    if facts["edition"] is not None:
        sentences += _notes_of(facts["edition"], "")
    for other in facts["other_editions"]:
        sentences += _notes_of(other, other["code"])
    return sentences


def _notes_of(found: Facts, code: str) -> list[str]:
    """The notes of one edition, which is named where it is another one."""
    name, closed_at = code or "The edition", found.get("closed_at")
    endings = [ended(name, one["state"], one["on"], one["fate"], closed_at) for one in found.get("ended", ())]
    said = found.get("disclosure", "")
    disclosed = [attributed(code, said) if code else said] if said else []
    errata = [f"Erratum to {code}: {text}" if code else f"Erratum: {text}" for text in found.get("errata", ())]
    return endings + disclosed + errata


def negative(facts: Facts) -> str:
    """The plate in one line."""
    found = facts["negative"]
    return joined([found["code"], joined([found["process"], found["support"]], " on "), year(found["made"])])


def negative_state(facts: Facts) -> str:
    """A sentence about the state of the plate at issue, "" when there is nothing out of the ordinary to say."""
    state, since = facts["negative"]["state"], facts["negative"]["state_since"]
    if state not in GONE_WORDS:
        return "The negative is kept." if state else ""
    return GONE_WORDS[state] + (f" ({date(since)})." if since else ".")


def material(facts: Facts) -> str:
    """Process and photographic material."""
    return joined([facts["print"]["process"], facts["print"]["paper"]], ", on ")


def made(facts: Facts) -> str:
    """When a print was made, by whom, under whose eyes."""
    found = facts["print"]
    return joined(
        [
            date(found["made"]),
            f"by {found['printed_by']}" if found["printed_by"] else "",
            f"supervised by {found['supervised_by']}" if found["supervised_by"] else "",
        ]
    )


def dates(facts: Facts) -> str:
    """“negative 1998, printed 2026 (later print)”: the word, where the dates decide it, never without both years."""
    years, word = both_years(facts["negative"]["made"], facts["print"]["made"]), facts["print"].get("word", "")
    return f"{years} ({word})" if word else years


def signed(facts: Facts) -> str:
    """When, where on the sheet, with what and by whom a print was signed."""
    found = facts["signed"]
    where = joined(
        [joined([mark["position"], f"in {mark['medium']}" if mark["medium"] else ""], " ") for mark in found["marks"]],
        "; ",
    )
    return joined([where, date(found["on"]), f"by {found['by']}" if found["by"] else ""])


def others(facts: Facts, units: str) -> str:
    """The other editions of the same image."""
    return (
        joined(
            [
                joined(
                    [
                        other["code"],
                        other["process"],
                        size(other["image"], units),
                        other["statement"],
                        "printed for the estate" if other.get("estate") else "",
                        "cancelled" if other.get("state") == "cancelled" else "",
                    ]
                )
                for other in facts["other_editions"]
            ],
            "; ",
        )
        or "none recorded"
    )


def evidence(facts: Facts) -> list[str]:
    """What the records hold about hypo and silver left in the sheet, one sentence each."""
    found = facts["evidence"]
    return [
        f"{name}: {found[question]['sentence']}"
        for question, name in (("hypo", "Hypo left"), ("silver", "Silver left"))
    ]
