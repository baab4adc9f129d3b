"""The importers, one a noun, each loaded when it is asked for."""

from importlib import import_module
from typing import Any

from catalog.exchange.importing.frame import Importer

NOUNS = {  # noun -> its module here and its class
    "negatives": ("negatives", "Negatives"),
    "prints": ("prints", "Prints"),
    "editions": ("editions", "Editions"),
    "places": ("places", "Places"),
    "parties": ("parties", "Parties"),
    "tests": ("residual_tests", "ResidualTests"),
}


def importer(noun: str) -> type[Importer[Any]]:
    """The importer of a noun; KeyError where there is none."""
    module, name = NOUNS[noun]
    found: type[Importer[Any]] = getattr(import_module(f"catalog.exchange.importing.{module}"), name)
    return found
