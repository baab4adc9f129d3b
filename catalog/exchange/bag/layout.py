"""What a bag of a catalog holds, and where. RFC 8493, “The BagIt File Packaging Format (V1.0)”."""

import re

DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"  # RFC 8493, 2.1.1
ALGORITHMS = ("sha256", "sha512")  # RFC 8493, 2.4; both, so that a weakness of one is no weakness of the bag
DATA = "data"

READ_ME = "READ ME FIRST.txt"
TABLES, METADATA = "tables", "csv-metadata.json"
JSON = "json"
SCHEMA = "schema"
KEYS = "keys"
PICTURES = "pictures"
CERTIFICATES = "certificates"
SETTINGS = "settings.toml"

# Our own lines in bag-info.txt, beside those that RFC 8493, 2.2.2, names.
FORMAT_LABEL, FORMAT = "Catalog-Format", "catalog of plates, editions and prints, 1"
SCHEMA_LABEL = "Catalog-Schema"
ENCODED = re.compile("%(25|0[ADad])")


def encoded(path: str) -> str:
    """A path as a manifest has it: percent signs and line ends encoded, and nothing else (RFC 8493, 2.1.3)."""
    return path.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def decoded(path: str) -> str:
    """A path of a manifest as it is."""
    return ENCODED.sub(lambda found: chr(int(found[1], 16)), path)
