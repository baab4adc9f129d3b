"""The ground of every failure that a person can mend."""


class TirageError(Exception):
    """A refusal in one sentence: what was wrong, what was expected, what to do. Exit status 1."""

    exit_code = 1

    @property
    def sentence(self) -> str:
        return str(self.args[0]) if self.args else self.__class__.__name__


class NotUnderstood(TirageError):  # noqa: N818 - reads as a sentence where it is raised
    """Text typed by a person that could not be read as what was expected (a date, a size, a price ...)."""

    def __init__(self, what: str, given: str, expected: str) -> None:
        self.what, self.given, self.expected = what, given, expected
        super().__init__(f"“{given}” is not {what}; expected {expected}.")
