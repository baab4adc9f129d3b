"""What the CSV files of a bag mean, for programs: CSV on the Web (W3C Recommendations of 17 December 2015).

“Metadata Vocabulary for Tabular Data” (tabular-metadata) and “Model for Tabular Data and Metadata on the Web”
(tabular-data-model).
"""

import json
from typing import Any

from catalog.exchange import cells
from catalog.exchange.bag.layout import TABLES
from catalog.exchange.described import Column, Reference, Table

CONTEXT = ["http://www.w3.org/ns/csvw", {"@language": "en"}]
DIALECT = {
    "encoding": "utf-8",
    "delimiter": ",",
    "quoteChar": '"',
    "doubleQuote": True,
    "header": True,
    "lineTerminators": ["\r\n"],
    "skipBlankRows": False,
    "trim": False,
}
CELLS = (
    "How a cell is written, so that nothing is lost and no spreadsheet runs a text as a formula: in a column of whole "
    "numbers an empty cell is a missing value. In a column of texts an empty cell is an empty text, and a missing one "
    f"is {cells.NOTHING}. A text that begins with an apostrophe, with one of = + - @ (also in full width), a tab or a "
    f"line end, and the text {cells.NOTHING} itself, has one apostrophe more in front: to read a cell of text, take "
    "one apostrophe off its front."
)


def metadata(tables: list[Table]) -> str:
    """csv-metadata.json of these tables, each a file of its name."""
    group: dict[str, Any] = {
        "@context": CONTEXT,
        "dc:title": "The tables of a catalog of plates, editions and prints",
        "dc:description": CELLS,
        "dialect": DIALECT,
        "tables": [_table(table) for table in tables],
    }
    return json.dumps(group, ensure_ascii=False, indent=1) + "\n"


def _table(table: Table) -> dict[str, Any]:
    known: dict[str, Any] = {"columns": [_column(column) for column in table.columns]}
    if table.key:
        known["primaryKey"] = list(table.key)
    if table.references:
        known["foreignKeys"] = [_reference(reference) for reference in table.references]
    return {"url": f"{TABLES}/{table.name}.csv", "dc:title": table.name, "dc:description": table.purpose,
            "tableSchema": known}  # fmt: skip


def _column(column: Column) -> dict[str, Any]:
    number = column.type == "INTEGER"
    return {
        "name": column.name,
        "titles": column.name,
        "dc:description": column.meaning,
        "datatype": {"base": "integer"} if number else {"base": "string"},
        "required": number and not column.nullable,
        # A cell of text that may not be missing has no sign for it: an empty one is an empty text.
        "null": "" if number else cells.NOTHING if column.nullable else [],
    }


def _reference(reference: Reference) -> dict[str, Any]:
    return {
        "columnReference": list(reference.columns),
        "reference": {"resource": f"{TABLES}/{reference.table}.csv", "columnReference": list(reference.theirs)},
    }
