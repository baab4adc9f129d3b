"""Why a mapping file cannot be followed."""

import re
from collections.abc import Sequence

from catalog.errors import TirageError
from catalog.exchange.importing.frame import Field as Taken


class MappingFileError(TirageError):
    """A mapping file that cannot be read, or says what cannot be."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"{name}: {reason}")


class OtherNounError(TirageError):
    """A mapping file that was written for another noun."""

    def __init__(self, name: str, written: str, noun: str) -> None:
        super().__init__(
            f"{name} was written when the table was read as {written}, and this is an import of {noun}. Delete it and "
            f"it is written anew, or name another with --mapping FILE."
        )


class TwoColumnsError(TirageError):
    """Two columns for one field."""

    def __init__(self, field: Taken, columns: Sequence[str], file: str) -> None:
        both = "both" if len(columns) == 2 else "all"
        meant = re.split("[:;]", field.told)[0]
        super().__init__(
            f"The columns {' and '.join(f'“{column}”' for column in columns)} would {both} be the field "
            f"“{field.name}” ({meant}), and a field has one column. "
            f'Set all but one to another field, or to "" to keep them as notes, in {file}.'
        )


class NoFieldError(TirageError):
    """A table of which no column is what the noun needs."""

    def __init__(self, noun: str, needed: Sequence[str], file: str) -> None:
        super().__init__(
            f"No column is the {' or the '.join(needed)}, which {noun} need. Say in {file} which one is it, or give it "
            f"a heading such as “{needed[0]}”."
        )
