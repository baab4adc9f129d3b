"""Addresses of the public site: which there are, and the one canonical form of each."""

import re
from collections.abc import Iterator

CODE = r"[A-Za-z0-9.\-]{1,24}"
SLUG = r"[A-Za-z0-9\-]{1,80}"
FILE = r"[A-Za-z0-9_\-]{1,100}\.(?:jpg|jpeg|png|webp)"

# One row a page: its name and the whole of the path it answers to. The gate lets nothing else through. No path
# holds "%", so nothing can be smuggled in by encoding it, and no segment can be "." or "..".
ADDRESSES: dict[str, str] = {
    "home": r"/",
    "about": r"/about",
    "search": r"/search",
    "style": r"/style\.css",
    "script": r"/check\.js",
    "icon": r"/favicon\.svg",
    "picture": rf"/picture/(?P<file>{FILE})",
    "series": rf"/(?P<letter>[Ss])/(?P<slug>{SLUG})(?P<slash>/?)",
    "listing": r"/(?P<letter>[NnEePpCc])(?P<slash>/?)",
    "coded": rf"/(?P<letter>[NnEePpCc])/(?P<code>(?!\./?$){CODE})(?P<slash>/?)",
}
KNOWN = re.compile("|".join(re.sub(r"\?P<\w+>", "?:", address) for address in ADDRESSES.values()))
LONGEST_PATH = 120

AUTOMATIC = re.compile(r"([NEPC])?-?0*([0-9]{1,12})")
WIDTH = {"N": 4, "E": 4, "P": 6, "C": 4}


def is_known(path: str) -> bool:
    """Whether the path is one of the site's own addresses, in any case and with or without a last slash."""
    return len(path) <= LONGEST_PATH and ".." not in path and KNOWN.fullmatch(path) is not None


def path_of(letter: str, code: str) -> str:
    """The canonical path of a coded page: `/P/P-000001`, upper case."""
    return f"/{letter}/{code.upper()}"


def readings(letter: str, typed: str) -> Iterator[str]:
    """Codes that a person may have meant, likeliest first: as typed, then as a short automatic code (`p1`, `1`)."""
    yield typed
    match = AUTOMATIC.fullmatch(typed.upper())
    if match and match[1] in (None, letter):
        yield f"{letter}-{int(match[2]):0{WIDTH[letter]}d}"
