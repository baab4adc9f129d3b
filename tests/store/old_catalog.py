"""A catalog as the first version of this program wrote it: its own dump, kept beside this file."""

import base64
import gzip
import sqlite3
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

# Made once by that version's commands: a plate and its edition of 5 (two numbers given, one of them a replacement),
# a certificate, a sale not yet paid, a consignment, a second edition, a mark, a correction. Nobody in it exists.
DUMP = Path(__file__).parent / "catalog_of_schema_1.sql.gz"
# Its key is the published one of RFC 8037, appendix A.1 ("d"), so that it can sign and is nobody's secret.
D = "nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A"
THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"  # RFC 8037, appendix A.3


def build(folder: Path) -> Path:
    """The catalog of schema 1 in a new folder."""
    folder.mkdir(parents=True)
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    connection.executescript(gzip.decompress(DUMP.read_bytes()).decode())
    connection.close()
    key = Ed25519PrivateKey.from_private_bytes(base64.urlsafe_b64decode(D + "="))
    pem = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    (folder / "keys").mkdir(mode=0o700)
    path = folder / "keys" / f"{THUMBPRINT[:16]}.pem"
    path.write_bytes(pem)
    path.chmod(0o600)
    return folder
