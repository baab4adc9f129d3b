"""Certificates, labels and provenance sheets by the commands a person types."""

import json

import pytest

from catalog.cli.main import run


@pytest.fixture
def typed(tmp_path, monkeypatch, capsys):
    """Type a line; its exit status, what it said and what it warned of."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TIRAGE_BY", "studio")
    monkeypatch.delenv("TIRAGE_CATALOG", raising=False)

    def type_line(*words):
        status = run([str(word) for word in words])
        said = capsys.readouterr()
        return status, said.out, said.err

    for line in (("init", tmp_path / "catalog", "--artist", "Mara Example"),):
        assert type_line(*line)[0] == 0
    monkeypatch.chdir(tmp_path / "catalog")
    for line in (
        ("negative", "add", "Low water", "--state", "ready"),
        ("edition", "declare", "n1", "3"),
        ("print", "make", "e1", "3"),
        ("sign", "1-2", "--anyway", "a rehearsal"),
    ):
        status, _, refused = type_line(*line)
        assert status == 0, (line, refused)
    return type_line


def test_issue_verify_and_revoke(typed, tmp_path):
    status, said, _ = typed("certificate", "issue", "1-2", "--anyway", "a rehearsal")
    assert status == 0 and "out/certificate-C-0001.pdf" in said and "out/certificate-C-0002.pdf" in said
    file = tmp_path / "catalog" / "out" / "certificate-C-0001.pdf"
    status, said, _ = typed("certificate", "verify", file)
    assert status == 0 and said.startswith("certificate-C-0001.pdf (C-0001): valid as issued")
    status, said, _ = typed("certificate", "revoke", "c1", "--why", "a slip")
    assert status == 0 and "C-0001 is revoked" in said
    status, said, _ = typed("certificate", "verify", file, "--json")
    assert status == 1 and json.loads(said)[0]["status"] == "revoked"
    assert typed("certificate", "revoke", "c1", "--why", "again")[0] == 1
    assert [row["standing"] for row in json.loads(typed("certificate", "list", "--json")[1])] == ["revoked", "valid"]
    before = file.read_bytes()
    assert typed("certificate", "show", "c1", "--draw")[0] == 0 and file.read_bytes() == before
    assert typed("undo")[0] in (0, 1)


def test_verify_away_from_the_catalog(typed, tmp_path, monkeypatch):
    typed("certificate", "issue", "1", "--anyway", "a rehearsal")
    (tmp_path / "key.json").write_text(typed("key", "show", "--json")[1], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "catalog" / "out" / "certificate-C-0001.pdf"
    status, said, _ = typed("certificate", "verify", file)
    assert status == 1 and "unknown key" in said
    status, said, _ = typed("certificate", "verify", file, "--key", tmp_path / "key.json")
    assert status == 0 and "Valid as issued; later changes are not visible here." in said
    assert typed("certificate", "verify", tmp_path / "nothing.pdf")[0] == 1


def test_labels_and_sheets(typed, tmp_path):
    status, said, _ = typed("label", "1-3,n1")
    assert status == 0 and "out/labels-P-000001-P-000003.pdf" in said and "out/labels-N-0001.pdf" in said
    assert "never on the print" in said and "Write before the plate goes in" in said and "soft pencil" in said
    status, said, _ = typed("provenance", "1", "--private")
    assert status == 0 and "out/provenance-private-P-000001.pdf" in said
    assert typed("provenance", "1-2", "--out", "x.pdf")[0] == 1
    (tmp_path / "catalog" / "out" / "provenance-P-000001.pdf").write_bytes(b"my own")
    status, _, refused = typed("provenance", "1")
    assert status == 1 and "left as it is" in refused


@pytest.mark.parametrize(
    "line",
    [
        ("certificate", "issue", "3"),
        ("certificate", "issue", "1-2", "--supersedes", "c1"),
        ("certificate", "show", "c9"),
        ("label", "e1"),
        ("label", "1", "--stock", "nothing"),
        ("label", "1", "--start", "99"),
    ],
)
def test_refused_in_a_sentence(typed, line):
    status, _, refused = typed(*line)
    assert status == 1 and refused.startswith("tirage: ") and refused.strip().endswith(".")
