"""Names that a person gives: a few words on one line."""

from catalog.errors import NotUnderstood

LONGEST = 120  # signs: more is a note, and no line of a list holds it


def tidy(what: str, text: str, expected: str) -> str:
    """A name with its spaces tidied. Raises NotUnderstood where it is empty or longer than LONGEST."""
    name = " ".join(text.split())
    if not name:
        raise NotUnderstood(what, text, expected)
    if len(name) > LONGEST:
        raise NotUnderstood(what, f"{name[:40]}…", f"at most {LONGEST} signs; the rest belongs in a note")
    return name
