"""How things look and where the site is: settings.toml in the catalog's folder, presentation only."""

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from catalog.documents.settings_file import PresentationError, given

LETTER_OF = {"print": "P", "negative": "N", "edition": "E", "certificate": "C", "control strip": "K"}


class Presentation(BaseModel):
    """Everything that may stand in settings.toml."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    address: str = Field(default="https://example.org", max_length=120)
    paper: Literal["A4", "Letter"] = "A4"
    label_stock: str = "a4-3x8"
    units: Literal["metric", "imperial"] = "metric"
    language: Literal["en"] = "en"

    @field_validator("address")
    @classmethod
    def _is_address(cls, value: str) -> str:
        value = value.strip().rstrip("/")
        if not value.startswith(("http://", "https://")) or any(sign in value for sign in " ?#\n\t"):
            raise ValueError("expected an address such as https://example.org, without “?” and “#”")
        return value

    def address_of(self, kind: str, code: str) -> str:
        """The address of a thing, in capitals as a whole, which makes its square smaller."""
        return square_address(self.address, LETTER_OF[kind], code)


def square_address(address: str, letter: str, code: str) -> str:
    """`address` with kind and code, in capitals: of what a square holds, capitals take the least room."""
    return f"{address.rstrip('/')}/{letter}/{code}".upper()


def presentation(folder: Path) -> Presentation:
    """What settings.toml says, defaults where it is silent. Raises PresentationError."""
    try:
        return Presentation.model_validate(given(folder))
    except ValidationError as problem:
        first = problem.errors()[0]
        name = ".".join(str(part) for part in first["loc"])
        reason = "is not known" if first["type"] == "extra_forbidden" else first["msg"].removeprefix("Value error, ")
        raise PresentationError(f"“{name}” ", reason) from None
