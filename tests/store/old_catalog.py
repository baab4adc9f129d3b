"""Catalogs as earlier versions of this program wrote them: their own dumps, kept beside this file, one a schema."""

import base64
import gzip
import sqlite3
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

# Each made once by that version's own commands. Nobody in them exists. Schema 1: a plate and its edition of 5 (two
# numbers given, one of them a replacement), a certificate, a sale not yet paid, a consignment, a second edition, a
# mark, a correction. Schemas 2 and 3: the lines of that version's tests/store/conftest.py, which fill every table,
# an erratum, a second key, three certificates that stand, and at last a move, a consignment and a correction.
VERSIONS = (1, 2, 3)
# Their keys are published ones, so that they can sign and are nobody's secret: RFC 8037, appendix A.1 (“d”), which is
# that of RFC 8032, 7.1, test 1; and for the second key RFC 8032, 7.1, test 2.
D = base64.urlsafe_b64decode("nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A=")
D_2 = bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"  # RFC 8037, appendix A.3
THUMBPRINT_2 = "FtIu-VbGrfe_KB6C"  # its first 16 letters, worked out by this program
PICTURE = base64.b64decode(  # of eight by eight black pixels, as they were made
    "iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAAAAADhZOFXAAAADElEQVR4nGNgoA4AAABIAAEuuDx+AAAAAElFTkSuQmCC"
)


def build(folder: Path, version: int = 1) -> Path:
    """The catalog of a schema in a new folder, with its keys and the picture it names."""
    folder.mkdir(parents=True)
    dump = Path(__file__).parent / f"catalog_of_schema_{version}.sql.gz"
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    connection.executescript(gzip.decompress(dump.read_bytes()).decode())
    connection.close()
    (folder / "keys").mkdir(mode=0o700)
    for name, secret in ((THUMBPRINT[:16], D), (THUMBPRINT_2, D_2))[: 1 if version == 1 else 2]:
        key = Ed25519PrivateKey.from_private_bytes(secret)
        pem = key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )
        path = folder / "keys" / f"{name}.pem"
        path.write_bytes(pem)
        path.chmod(0o600)
    if version > 1:
        (folder / "pictures").mkdir()
        (folder / "pictures" / "N-0001-1.png").write_bytes(PICTURE)
    return folder
