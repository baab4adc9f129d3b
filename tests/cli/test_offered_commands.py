"""What the program tells a person to type can be pasted into a shell as it stands."""

import ast
import re
from pathlib import Path

import catalog

SOURCES = sorted(Path(catalog.__file__).parent.rglob("*.py"))
# A command, up to where the sentence around it goes on; a noun and a verb follow its name.
OFFERED = re.compile(r"tirage [a-z]+ [^.;:(),]*[“”]")


def texts(tree: ast.AST) -> list[str]:
    """Every string of a module as it is put together, a hole for each value; docstrings are no offers."""
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            found.append("".join(str(part.value) if isinstance(part, ast.Constant) else "0" for part in node.values))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            found.append(node.value)
    return found


def test_no_offered_command_has_typographic_quotes() -> None:
    for path in SOURCES:
        for text in texts(ast.parse(path.read_text(encoding="utf-8"))):
            assert not OFFERED.search(text), f"{path.name}: {text}"
