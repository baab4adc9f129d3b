"""A fault met while a catalog is open, told with what is wrong in the catalog where that may be why."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def explained(folder: Path) -> Iterator[None]:
    """Look at a catalog's file after a fault that nobody foresaw. Raises AlteredCatalogError where it is not whole."""
    try:
        yield
    except (ValueError, LookupError, TypeError, AttributeError, ArithmeticError, AssertionError) as fault:
        from catalog.cli.unexpected import AlteredCatalogError, damage

        found = damage(folder)
        if not found:
            raise
        raise AlteredCatalogError(folder, found, fault) from fault
