"""Tables as spreadsheets write them: encodings, delimiters, RFC 4180, and what is no table."""

import csv
import io
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.exchange.importing.tables import TableFileError, column_name, read_table

TEXT = "Titel,Lieu,Größe\r\nPré salé,Zürich,20×25\r\n“Quay”,Łódź,8x10\r\n"
READ = [["Pré salé", "Zürich", "20×25"], ["“Quay”", "Łódź", "8x10"]]


def table(folder: Path, data: bytes, name: str = "list.csv"):  # type: ignore[no-untyped-def]
    (folder / name).write_bytes(data)
    return read_table(folder / name)


def cells(found) -> list[list[str]]:  # type: ignore[no-untyped-def]
    return [list(line.texts) for line in found.lines]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le-bom", "utf-16-be-bom", "utf-32"])
@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_every_encoding_that_says_what_it_is_reads_alike(tmp_path: Path, encoding: str, end: str) -> None:
    text = TEXT.replace("\r\n", end)
    if encoding.endswith("-bom"):
        data = ("\ufeff" + text).encode(encoding.removesuffix("-bom"))
    else:
        data = text.encode(encoding)
    found = table(tmp_path, data)
    assert found.headings == ("Titel", "Lieu", "Größe")
    assert cells(found) == READ
    assert not any("1252" in said for said in found.said)


def test_windows_1252_is_read_and_told(tmp_path: Path) -> None:
    found = table(tmp_path, "Titel;Maß\r\nPré salé;20×25 – “netto”\r\n".encode("cp1252"))
    assert cells(found) == [["Pré salé", "20×25 – “netto”"]]
    assert any("line 1) and was read as Windows-1252" in said for said in found.said)


# 81, 8D, 8F, 90, 9D are no characters of Windows-1252: the Unicode Consortium's table CP1252.TXT
@pytest.mark.parametrize("byte", [0x81, 0x8D, 0x8F, 0x90, 0x9D])
def test_bytes_of_no_encoding_are_refused(tmp_path: Path, byte: int) -> None:
    with pytest.raises(TableFileError, match="neither UTF-8 .* nor Windows-1252"):
        table(tmp_path, b"Title,Note\nPond,\xe9" + bytes([byte]))


@pytest.mark.parametrize("delimiter, told", [(",", "commas"), (";", "semicolons"), ("\t", "tabs"), ("|", "bars")])
def test_the_delimiter_is_found_by_consistency_and_told(tmp_path: Path, delimiter: str, told: str) -> None:
    lines = [["Title", "Size", "Note"], ["Quay, evening", "20,3 x 25,4", "a"], ["Pond", "8x10", "b, c; d"]]
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(lines)
    found = table(tmp_path, out.getvalue().encode())
    assert cells(found) == lines[1:]
    assert f"Its columns are parted by {told}." in found.said


@pytest.mark.parametrize("first", ["sep=;\r\n", "SEP=;\n", '"sep=;"\r'])
def test_a_first_line_may_name_the_delimiter(tmp_path: Path, first: str) -> None:
    found = table(tmp_path, (first + "Title;Size\r\na, b, c;d, e\r\n").encode())
    assert found.headings == ("Title", "Size")
    assert (found.lines[0].number, list(found.lines[0].texts)) == (2, ["a, b, c", "d, e"])


# RFC 4180, section 2: the numbered rules
RFC = {
    "1 each record on its own line": ("A,B\r\nzzz,yyy\r\n", [["zzz", "yyy"]]),
    "2 the last may have no line break": ("A,B\r\nzzz,yyy", [["zzz", "yyy"]]),
    "5 fields may be quoted": ('A,B,C\r\n"aaa","bbb",ccc\r\n', [["aaa", "bbb", "ccc"]]),
    "6 line breaks, quotes and commas within quotes": (
        'A,B,C\r\n"aaa","b\r\nbb","c,c"\r\nzzz,yyy,xxx\r\n',
        [["aaa", "b bb", "c,c"], ["zzz", "yyy", "xxx"]],
    ),
    "7 a quote within quotes is doubled": ('A,B,C\r\n"aaa","b""bb","ccc"\r\n', [["aaa", 'b"bb', "ccc"]]),
}


@pytest.mark.parametrize("rule", RFC)
def test_rfc_4180(tmp_path: Path, rule: str) -> None:
    text, expected = RFC[rule]
    assert cells(table(tmp_path, text.encode())) == expected


def test_a_line_break_within_a_cell_is_kept_as_written(tmp_path: Path) -> None:
    found = table(tmp_path, b'A,B\r\nx,"one\r\ntwo"\r\ny,z\r\n')
    assert found.raw == {2: ["x", "one\r\ntwo"]}
    assert [line.number for line in found.lines] == [2, 3]


def test_columns_without_heading_get_their_letter_and_empty_ones_fall_away(tmp_path: Path) -> None:
    found = table(tmp_path, b"Title,,Size,,\nPond,loose,8x10,,\n\n,,,,\nShed,,5x7,,\n")
    assert found.headings == ("Title", "column B", "Size")
    assert [(line.number, list(line.texts)) for line in found.lines] == [
        (2, ["Pond", "loose", "8x10"]),
        (5, ["Shed", "", "5x7"]),
    ]


def test_repeated_headings_are_numbered_and_told(tmp_path: Path) -> None:
    found = table(tmp_path, b"Note,Note,Title\na,b,c\n")
    assert found.headings == ("Note", "Note (2)", "Title")
    assert any("“Note” is there more than once" in said for said in found.said)


def test_rows_that_do_not_fit_are_told(tmp_path: Path) -> None:
    found = table(tmp_path, b"Title,Size,Note\na,b,c\nQuay, evening,8x10,d\nx,y\np,q,r\n")
    assert [(one.line, one.kind) for one in found.told] == [(3, "refused")]
    assert "4 cells and the other rows have 3" in found.told[0].reason
    assert (
        "Row 4 is shorter than the headings; the cells that are missing there were taken for empty ones." in found.said
    )


@pytest.mark.parametrize(
    ("text", "refused"),
    [
        ("Code,Title,Made\nZ-1,Church,1953,extra,more\n", [2]),
        ("Code,Title,Made\nZ-1,Church,1953,extra,more\nZ-2,Quay,1954\n", [2]),
        ("Code,Title,Made,Size\n1,a,b,c\n2,a,b,c,remark\n3,a,b,c,9x12 cm,x\n4,a,b,c,9x12 cm\n", [3, 4, 5]),
        ("Code,Title\n1,a,b,\n2,a,,\n3,a,,\n", [2]),  # within the cells that most rows have
        ("Code,Title\n1,a,\n2,b,\n", []),  # a delimiter at the end of each line
        ("Code,Title,\n1,a,\n2,b,\n", []),
        ("Code,Title,Size\n1,a,9x12\n5,b,13x18,\n6,c,13x18\n", []),  # and at the end of one
        ("Code,Title,Size\n1,a,9x12\n5,b,13x18,\n6,c, d,13x18\n", [4]),
        ("Code,Title,Size,Note\n1,a,9x12,\n2,Quay, evening,9x12,\n3,a,9x12,\n", [3]),  # cut within a text
        ("Code,Title,Height,Note\n1,a,20,\n2,b,20,3,\n3,b,20,\n", [3]),  # and within a number
    ],
)
def test_no_cell_without_a_heading_is_lost(tmp_path: Path, text: str, refused: list[int]) -> None:
    found = table(tmp_path, text.encode())
    assert [one.line for one in found.told if one.kind == "refused"] == refused
    assert [text for line in refused for text in found.whole[line]] == [
        cell.strip() for line in refused for cell in text.splitlines()[line - 1].split(",")
    ]


def test_a_refusal_counts_the_cells_that_it_shows(tmp_path: Path) -> None:
    found = table(tmp_path, b"Code,Title,Size\n1,a,9x12\n2,b,,13x18,,\n")
    assert found.told[0].text == "2; b; ; 13x18" and "it has 4 cells and there are 3 headings" in found.told[0].reason


def test_a_cell_under_an_empty_heading_is_a_column_of_its_own(tmp_path: Path) -> None:
    found = table(tmp_path, b"Title,Size,,\nPond,8x10,,\nShed,5x7,scribble,\nQuay,5x7,,\n")
    assert found.headings == ("Title", "Size", "column C")
    assert (cells(found)[1], found.told) == (["Shed", "5x7", "scribble"], [])


PLAIN = "No\tTitle\tMade\n1\tPond\t1950\n2\t{}\t1951\n3\t{}\t1952\n"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ('"Low water" at noon', "Shed"),
        ('"Low water', "Shed"),
        ('"Low water', 'Shed"'),  # as one quoted text would take two rows in
        ('"Low water" at noon', '"Shed" in snow'),
    ],
)
def test_marks_of_a_table_with_tabs_are_read_as_they_stand(tmp_path: Path, one: str, other: str) -> None:
    # IANA, text/tab-separated-values: no quoting at all
    found = table(tmp_path, PLAIN.format(one, other).encode(), "list.tsv")
    assert [line[1] for line in cells(found)] == ["Pond", one, other]
    assert sum("quotation marks were read as they stand" in said for said in found.said) == 1
    assert any("line 3" in said for said in found.said)


def test_marks_around_two_cells_do_not_make_one_of_them(tmp_path: Path) -> None:
    found = table(tmp_path, b'No\tTitle\tMade\n1\t"Pond\tmade 1950"\n2\tShed\t1951\n', "list.tsv")
    assert cells(found)[0] == ["1", '"Pond', 'made 1950"']


@pytest.mark.parametrize(
    ("cell", "read"),
    [
        ('"Low ""water"""', 'Low "water"'),
        ('"Low\twater"', "Low water"),
        ('"Low\nwater"', "Low water"),
        ('Low "water"', 'Low "water"'),
    ],
)
def test_a_table_with_tabs_may_be_quoted_all_the_same(tmp_path: Path, cell: str, read: str) -> None:
    found = table(tmp_path, PLAIN.format(cell, "Shed").encode(), "list.tsv")
    assert [line[0] for line in cells(found)] == ["1", "2", "3"]
    assert cells(found)[1][1] == read
    assert not any("as they stand" in said for said in found.said)


def test_a_quoted_table_with_tabs_that_is_broken_is_not_torn(tmp_path: Path) -> None:
    text = 'No\tTitle\tMade\n1\t"Pond\nat dawn"\t1950\n2\t"Low" water\t1951\n'
    with pytest.raises(TableFileError, match="broken in line 4"):
        table(tmp_path, text.encode(), "list.tsv")


@pytest.mark.parametrize("first", ["", "sep=;\n"])
def test_every_line_that_is_broken_is_named(tmp_path: Path, first: str) -> None:
    text = 'No;Title\n1;"Low" water\n2;Pond\n3;"Shed" in snow\n4;"Quay\n5;Barn\n'
    with pytest.raises(TableFileError) as refusal:
        table(tmp_path, (first + text).encode())
    more = 1 if first else 0
    assert f'broken in lines {2 + more} and {4 + more} (1;"Low" water)' in refusal.value.sentence
    assert "Put the whole cell in quotation marks and double those within it" in refusal.value.sentence
    assert f'in line {5 + more} (4;"Quay): a quotation mark opens a text and none closes it' in refusal.value.sentence


def test_what_stands_above_the_headings_is_told(tmp_path: Path) -> None:
    found = table(tmp_path, b"List of plates,,\n,,\nTitle,Size,Note\nPond,8x10,a\n")
    assert found.headings == ("Title", "Size", "Note")
    assert found.lines[0].number == 4
    assert any("“List of plates”" in said for said in found.said)


@pytest.mark.parametrize("sign", ["\u200b", "\u202e", "\x1b", "\x07", "\u0085", "\u00ad", "\ufeff"])
def test_signs_that_are_not_seen_refuse_their_row(tmp_path: Path, sign: str) -> None:
    found = table(tmp_path, f"Title,Note\na,fine\nb,x{sign}y\n".encode())
    (told,) = found.told
    assert (told.line, told.heading, told.kind) == (3, "Note", "refused")
    assert f"<U+{ord(sign):04X}>, sign 2" in told.reason


def test_text_is_composed(tmp_path: Path) -> None:
    assert cells(table(tmp_path, "T,N\nPre\u0301,e\n".encode())) == [["Pré", "e"]]


BAD = {
    "empty": (b"", "is empty"),
    "blank": (b"\r\n,,\r\n", "holds no text"),
    "headings alone": (b"Title,Size\r\n", "no row below"),
    "binary": (bytes(range(256)) * 4, "is no text"),
    "a picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "is no text"),
    "an open quote": (b'A,B\r\n"x,y\r\nz,w\r\n', "quotation mark opens"),
    "text after a quote": (b'A,B\r\n"x"y,z\r\n', "quotation mark stands within"),
    "no workbook": (b"PK\x03\x04rubbish", "damaged"),
    "protected, or an older form": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "protected by a password"),
    "broken UTF-16": (b"\xff\xfeA", "broken at byte"),
}


@pytest.mark.parametrize("what", BAD)
def test_what_is_no_table_is_refused_in_a_sentence(tmp_path: Path, what: str) -> None:
    data, said = BAD[what]
    with pytest.raises(TableFileError, match=said):
        table(tmp_path, data)


def test_too_many_rows_are_refused(tmp_path: Path) -> None:
    with pytest.raises(TableFileError, match="more than 1,048,576 rows"):
        table(tmp_path, b"A,B\n" + b"1,2\n" * 1_100_000)


def test_an_archive_that_unpacks_to_too_much_is_refused(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<x/>")
        archive.writestr("xl/workbook.xml", "<x/>")
    data = out.getvalue()
    # The directory says how large a part is: say more than there may be (APPNOTE.TXT 4.3.12, offset 24).
    place = data.rindex(b"PK\x01\x02") + 24
    with pytest.raises(TableFileError, match="unpack to more than"):
        table(tmp_path, data[:place] + b"\xf0\xff\xff\xff" + data[place + 4 :])


def test_columns_are_called_as_in_a_spreadsheet() -> None:
    assert [column_name(place) for place in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]


@given(st.binary(max_size=400))
def test_no_file_whatever_ends_in_a_traceback(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    for begin in (b"", b"PK\x03\x04", b"\xff\xfe"):
        path.write_bytes(begin + data)
        try:
            read_table(path)
        except TableFileError as refusal:
            assert refusal.sentence.startswith("any.csv ")
