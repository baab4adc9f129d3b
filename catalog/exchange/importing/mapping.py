"""The mapping file beside a table: what its headings and cells are taken for, to be corrected by hand."""

import datetime
import json
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from catalog.exchange.importing import headings
from catalog.exchange.importing.frame import Field as Taken
from catalog.exchange.importing.frame import Importer, Layout, Options
from catalog.exchange.importing.mapping_errors import MappingFileError, NoFieldError, OtherNounError, TwoColumnsError
from catalog.whole_files import read_plain, write_whole

ENDING = ".mapping.toml"
REFUSED = re.compile(r"(.+)\.refused(?:-[0-9]+)?\.csv")  # as `import --leave-refused` names them
MOST_BYTES = 1 << 22
BARE_KEY = re.compile("[A-Za-z0-9_-]+")  # TOML 1.0, “Keys”
UNQUOTED = re.compile(r"""\s*([^=]+?)\s*=\s*[“”„«»']?([^\W_][^="#“”«»']*?)[“”«»']?\s*(?:#.*)?""")  # unit = cm


class Meant(BaseModel):
    """How the cells of the whole file are meant."""

    model_config = ConfigDict(extra="forbid")
    unit: Literal["", "mm", "cm", "in"] = ""
    size_order: Literal["height first", "width first"] = "height first"
    date_order: Literal["", "day first", "month first"] = ""
    short_years: Literal["", "1800", "1900", "2000"] = ""
    decimal: Literal["point", "comma"] = "point"


class MappingFile(BaseModel):
    """A whole mapping file."""

    model_config = ConfigDict(extra="forbid")
    noun: str = ""  # "": nothing is said
    columns: dict[str, str] = Field(default_factory=dict)
    options: Meant = Field(default_factory=Meant)
    parties: dict[str, str] = Field(default_factory=dict)
    places: dict[str, str] = Field(default_factory=dict)
    processes: dict[str, str] = Field(default_factory=dict)

    @property
    def meaning(self) -> Options:
        """The options, and every name as it is meant."""
        spellings = {
            kind: {" ".join(text.split()).casefold(): meant for text, meant in names.items()}
            for kind, names in (("parties", self.parties), ("places", self.places), ("processes", self.processes))
        }
        order = self.options.date_order
        return Options(
            unit=self.options.unit,
            width_first=self.options.size_order == "width first",
            day_first=None if not order else order == "day first",
            hundred=self.options.short_years[:2],
            decimal_comma=self.options.decimal == "comma",
            spellings=spellings,
        )


def not_in_a_bag(table: Path) -> Path:
    """A table's path; of one in a bag (RFC 8493), which must stay as it was packed, its name in the working folder.

    Raises MappingFileError where that is in the bag too.
    """
    if not _in_a_bag(table):
        return table
    if _in_a_bag(Path.cwd() / table.name):
        raise MappingFileError(str(table), "it is in a bag, which would be whole no more. Stand in another folder.")
    return Path(table.name)


def _in_a_bag(path: Path) -> bool:
    return any((folder / "bagit.txt").is_file() for folder in path.absolute().parents)


def beside(table: Path) -> Path:
    """Where the mapping file of a table is; that of a list of refused rows is the one of the list they were in.

    Raises MappingFileError as `not_in_a_bag`.
    """
    table = not_in_a_bag(table)
    own = table.with_name(table.name + ENDING)
    refused = REFUSED.fullmatch(table.name)
    whole = table.with_name(refused[1] + ENDING) if refused else own
    return whole if whole.exists() and not own.exists() else own


def guessed(names: Sequence[str], fields: Iterable[Taken]) -> MappingFile:
    """What the headings say by themselves, orders in them included; a unit holds for its own column only."""
    found = headings.surest(headings.match(names, fields))
    taken = [one for one in found if one.field]
    width_first = next((one.width_first for one in taken if one.width_first is not None), False)
    day_first = next((one.day_first for one in taken if one.day_first is not None), None)
    return MappingFile(
        columns={one.heading: one.field for one in found},
        options=Meant.model_validate(
            {
                "size_order": "width first" if width_first else "height first",
                "date_order": "" if day_first is None else "day first" if day_first else "month first",
            }
        ),
    )


def read(path: Path, fields: Sequence[Taken], noun: str = "") -> MappingFile:
    """Read a mapping file. Raises MappingFileError with the line or the name that is wrong, OtherNounError."""
    text = ""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise MappingFileError(path.name, f"it is larger than {MOST_BYTES >> 20} MiB. Name another with --mapping.")
        text = read_plain(path, MOST_BYTES).decode("utf-8-sig")
        data = tomllib.loads(text)
    except (OSError, ValueError, RecursionError) as problem:
        reason = getattr(problem, "strerror", None) or " ".join(str(problem).split())[:200]
        reason = "it is no text in UTF-8" if isinstance(problem, UnicodeDecodeError) else reason
        reason += _without_quotes(text, reason)
        raise MappingFileError(
            path.name, f"it cannot be read ({reason}). Mend it, or delete it and it is written anew."
        ) from None
    try:
        found = MappingFile.model_validate(data)
    except ValidationError as problem:
        first = problem.errors()[0]
        where = " ".join(f"“{part}”" for part in first["loc"])
        raise MappingFileError(path.name, f"{where}: {_expected(first)}. Mend that line.") from None
    if noun and found.noun not in ("", noun):
        raise OtherNounError(path.name, found.noun, noun)
    known = {field.name for field in fields}
    for heading, field in found.columns.items():
        if field and field not in known:
            raise MappingFileError(
                path.name, f'“{heading}” = “{field}” is no field; expected one of {", ".join(sorted(known))}, or "".'
            )
    return found


def layout(
    names: tuple[str, ...], mapping: MappingFile, kind: type[Importer[Any]], file: str
) -> tuple[Layout, list[str]]:
    """What every column is for an importer, and what is to be told of it. Raises TwoColumnsError, NoFieldError."""
    said: list[str] = []
    new = [name for name in names if name not in mapping.columns]
    columns = dict(mapping.columns)
    for one in headings.match(new, kind.fields):
        columns[one.heading] = one.field
        none = "none" if headings.reaches(one.heading) else "none, and kept as notes"
        said.append(f"The column “{one.heading}” is not in {file}; it was taken for {one.field or none}.")
    gone = [heading for heading in mapping.columns if heading not in names]
    if gone:
        said.append(f"{file} speaks of columns that are not there: {', '.join(f'“{heading}”' for heading in gone)}.")
    taken: dict[str, list[str]] = {}
    for name in names:
        if columns[name]:
            taken.setdefault(columns[name], []).append(name)
    for field, several in taken.items():
        if len(several) > 1:
            raise TwoColumnsError(next(one for one in kind.fields if one.name == field), several, file)
    if not any(field in taken for field in kind.needed):
        raise NoFieldError(kind.noun, kind.needed, file)
    places = {field: names.index(several[0]) for field, several in taken.items()}
    others = [place for place, name in enumerate(names) if not columns[name]]
    reaching = {place for place in others if headings.reaches(names[place])}
    hidden = {places[field] for field in kind.hidden if field in places}
    notes = tuple(place for place in others if place not in reaching)
    measured = {field: headings.unit_of(names[place]) for field, place in places.items() if field in headings.MEASURED}
    units = {field: unit for field, unit in measured.items() if unit}
    found = Layout(names, places, notes, frozenset(reaching | hidden), units)
    said += _other_units(found, mapping.options.unit, file)
    return found, said + ([_left_out(found.left_out, kind, file)] if reaching else [])


def _other_units(layout: Layout, unit: str, file: str) -> list[str]:
    """That the unit of a mapping file does not hold for columns whose own headings say another."""
    others = [f"“{layout.heading(field)}”" for field, own in layout.units.items() if field != "weight" and own != unit]
    if not unit or not others:
        return []
    return [f'unit = "{unit}" in {file} is not that of {", ".join(others)}: what a heading says holds for its column.']


def _left_out(columns: Sequence[str], kind: type[Importer[Any]], file: str) -> str:
    """Why columns of telephones and addresses are not kept, and what to do."""
    named = ", ".join(f"“{column}”" for column in columns)
    where = f"only under a field ({', '.join(kind.hidden)})" if kind.hidden else f"with parties, not with {kind.noun}"
    return (
        f"Left out: {named}. How to reach somebody is kept {where}, for a note cannot be forgotten again. To keep such "
        f"a column all the same, name a field for it in {file}; if it is something else, give it another heading."
    )


def text_of(
    table: str,
    noun: str,
    mapping: MappingFile,
    fields: Sequence[Taken],
    near: Mapping[str, Mapping[str, str]] | None = None,
) -> str:
    """A mapping file, which its own comments explain. `near` offers spellings, kind -> written -> likely meant."""
    lines = [
        f"# How {table} is read when its {noun} are imported. Correct it by hand, then run the import again.",
        f"noun = {_quoted(noun)}",
        "",
        "# Each heading and the field it was taken for. Set a field to \"\" to keep the column as notes, under its own",
        "# heading; a telephone, mail or address that no field takes is left out. The fields:",
        *(f"#   {field.name:<12} {field.told}" for field in fields),
        "[columns]",
        *(f"{_quoted(heading)} = {_quoted(field)}" for heading, field in mapping.columns.items()),
        "",
        "# unit is that of sizes that have none, under headings that have none: “Height (cm)” is in cm whatever stands",
        "# here. Where neither says one, what the trade sells by the inch (4x5, 8x10) is read as inches, and told.",
        "[options]",
        f'unit = {_quoted(mapping.options.unit)}                    # "mm", "cm" or "in"',
        f'size_order = {_quoted(mapping.options.size_order)}  # or "width first": which side of 20x25 is written first',
        f'date_order = {_quoted(mapping.options.date_order)}              # 3/4/1952: "day first" or "month first"',
        f'short_years = {_quoted(mapping.options.short_years)}             # May-53, 5/1/53: "1800", "1900" or "2000"',
        f'decimal = {_quoted(mapping.options.decimal)}            # or "comma": 20,3 is twenty and three tenths',
        "",
        "# Spellings: as it stands in the table = as it is meant. Blanks and capitals make no difference.",
    ]  # fmt: skip
    for kind, example in (
        ("parties", '"Gallery Meridan" = "Gallery Meridian"'),
        ("places", '"rack II" = "studio/rack 2"'),
        ("processes", '"koll. nass" = "wet-collodion negative"'),
    ):
        known: Mapping[str, str] = getattr(mapping, kind)
        offered = (near or {}).get(kind, {})
        lines += ["", f"[{kind}]"]
        lines += [f"{_quoted(text)} = {_quoted(meant)}" for text, meant in known.items()]
        lines += [f"# {_quoted(text)} = {_quoted(meant)}    # one and the same?" for text, meant in offered.items()]
        if not known and not offered:
            lines.append(f"# {example}")
    return "\n".join(lines) + "\n"


def write(path: Path, text: str) -> None:
    """Write a new mapping file, never over another. Raises MappingFileError."""
    try:
        write_whole(path, text.encode(), over=False)
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise MappingFileError(
            str(path), f"it cannot be written ({reason}). Name another with --mapping FILE."
        ) from None


def _quoted(text: str) -> str:
    """A TOML basic string (TOML 1.0, “String”): JSON's escapes are a part of its own."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _expected(error: Mapping[str, object]) -> str:
    if error["type"] == "extra_forbidden":
        return "this is not known here"
    given = error["input"]
    if isinstance(given, bool | int | float | datetime.date | datetime.time):
        name = str(error["loc"][-1])  # type: ignore[index]
        key = name if BARE_KEY.fullmatch(name) else _quoted(name)
        if error["type"] != "literal_error" or f"'{given}'" in str(error.get("ctx")):
            return f"expected text in quotes: {key} = {_quoted(str(given))}"
    if error["type"] == "literal_error":
        context = error.get("ctx")
        return f"expected {context['expected'] if isinstance(context, dict) else 'another word'}".replace("'", '"')
    return "expected text in quotes" if "string" in str(error["type"]) else str(error["msg"])


def _without_quotes(text: str, reason: str) -> str:
    """How the line is written that a reader of TOML stumbled over, where its quotes are missing; else ""."""
    place = re.search(r"at line ([0-9]+)", reason)
    lines = text.splitlines()
    if not place or int(place[1]) > len(lines):
        return ""
    found = UNQUOTED.fullmatch(lines[int(place[1]) - 1])
    return f"; the quotes are missing, write: {found[1]} = {_quoted(found[2])}" if found else ""
