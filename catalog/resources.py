"""Where templates/ and demo_catalog/ are: in the installed package first, else in the checkout beside it."""

from pathlib import Path

from catalog.errors import TirageError


class MissingResourceError(TirageError):
    """A folder that the program needs and that was not installed with it."""

    def __init__(self, name: str) -> None:
        super().__init__(f"The program's folder “{name}” was not found; install it again from its source.")


def resource(name: str) -> Path:
    """The folder `templates` or `demo_catalog`. Raises MissingResourceError."""
    package = Path(__file__).resolve().parent
    for folder in (package / "resources" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise MissingResourceError(name)
