"""What paper can refuse: every failure here is a sentence that says what was wrong and what to do."""


class PaperError(Exception):
    """Something that cannot be put on paper as asked. `args[0]` is one sentence for a person."""

    @property
    def sentence(self) -> str:
        """The whole message: what was wrong, what was expected, what to do."""
        return str(self.args[0]) if self.args else self.__class__.__name__


class UnknownPage(PaperError):  # noqa: N818 - reads as a sentence where it is raised
    """A page size that is not offered."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        super().__init__(f"“{name}” is not a page size known here; expected one of {', '.join(known)}.")


class UnknownStock(PaperError):  # noqa: N818
    """A label sheet that is not offered."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        super().__init__(
            f"“{name}” is not a label sheet known here; expected a page and a grid, one of {', '.join(known)}."
        )


class StartOutOfRange(PaperError):  # noqa: N818
    """A first position that the label sheet does not have."""

    def __init__(self, start: int, stock: str, positions: int) -> None:
        super().__init__(
            f"A sheet of {stock} has no position {start}; expected 1 to {positions}, "
            "counted from the top left along the rows."
        )


class GlyphMissing(PaperError):  # noqa: N818
    """A character that neither typeface can draw; printing it would leave a silent gap."""

    def __init__(self, character: str, text: str) -> None:
        import unicodedata

        name = unicodedata.name(character, "unnamed").lower()
        super().__init__(
            f"The character “{character}” (U+{ord(character):04X}, {name}) in “{text[:60]}” is in none of the "
            "typefaces; expected Latin, Greek or Cyrillic text, so write it in one of those."
        )


class AddressTooLong(PaperError):  # noqa: N818
    """A code square that cannot be both readable and small enough."""

    def __init__(self, address: str, room: float, least: float) -> None:
        super().__init__(
            f"The address “{address[:60]}” ({len(address)} characters) needs modules smaller than {least} mm in "
            f"{room:.1f} mm of room; expected a shorter address or larger labels."
        )


class DoesNotFit(PaperError):  # noqa: N818
    """Content longer than its place even at the smallest size that can be read."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(f"{what} does not fit even at the smallest readable size; {advice}.")


class PictureUnreadable(PaperError):  # noqa: N818
    """Bytes that are no picture that can be printed."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"The picture could not be read ({reason}); expected the bytes of a JPEG or PNG file.")


class PdfUnreadable(PaperError):  # noqa: N818
    """Bytes that are no PDF, or one that is locked or damaged."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"The PDF could not be read: {reason}; expected a whole PDF file that is not encrypted.")


class PdfAmbiguous(PdfUnreadable):  # noqa: N818
    """A PDF that two programs may read in two ways, so that they show two pages."""

    def __init__(self, reason: str) -> None:
        PaperError.__init__(
            self,
            f"The PDF is not in the plain form that can be read in one way only, so two programs may show two "
            f"different pages: {reason}. Expected the file as it was written; ask the studio for it.",
        )
