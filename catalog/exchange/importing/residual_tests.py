"""Residual tests from a notebook: drops and measured values, recorded under the same rules as by the command."""

from typing import Any, NamedTuple

from catalog.errors import TirageError
from catalog.events import Event
from catalog.exchange.free_text.edition_marks import read_mark
from catalog.exchange.importing.cells import date_in, plain_number
from catalog.exchange.importing.frame import Field, Importer, Importing, Row
from catalog.exchange.importing.known import Known, SeveralError
from catalog.exchange.importing.words import METHODS, QUESTIONS, READINGS, folded
from catalog.records import items, residuals
from catalog.records.given_before import moment_of
from catalog.records.items import LIVING_HOLDER, Coded
from catalog.vocabulary import DROP_METHODS, METHODS_OF, number_label
from catalog.vocabulary import QUESTIONS as ASKED
from catalog.vocabulary import READINGS as SEEN

PUT_ASIDE = "Leave the row out, and keep it as a note of the print: tirage correct CODE note=WORDS --why REASON."
BASES = ("ion", "anhydrous", "crystals", "ammonium")
FIELDS = (
    Field("item", "the tested thing: the code of a control strip, a print or for a measured value a plate",
          ("code", "print", "strip", "control strip", "tested", "sheet", "sample", "épreuve", "bande", "Probe",
           "Streifen", "Abzug")),
    Field("edition", "with a number: the print that bears it", ("edition code", "title", "titre", "Titel", "Auflage")),
    Field("number", "the number of that print: 3/25, AP 1",
          ("no", "nr", "mark", "edition number", "numéro", "Nummer")),
    Field("question", "hypo or silver, where one column holds all results",
          ("test", "tested for", "kind of test", "question asked", "essai", "Prüfung", "Test auf")),
    Field("result", "what was seen (none, just visible, beige, yellow-brown) or a value with its unit",
          ("reading", "value", "stain", "résultat", "tache", "Ergebnis", "Fleck", "Befund", "Wert")),
    Field("hypo", "the result for hypo, where it has a column of its own",
          ("hypo test", "residual hypo", "thiosulfate", "fixer test", "Thiosulfat", "hyposulfite")),
    Field("silver", "the result for silver, where it has a column of its own",
          ("silver test", "residual silver", "argent", "Silber", "Restsilber")),
    Field("unit", "the unit of values that have none", ("units", "unité", "Einheit")),
    Field("salt", "what a value of hypo is of: ion, anhydrous, crystals, ammonium", ("basis", "as", "sel", "Salz")),
    Field("method", "how it was tested", ("méthode", "Methode", "Verfahren", "procedure")),
    Field("date", "when, which every test has", ("on", "tested on", "date tested", "test date", "day", "Datum", "Tag",
                                               "jour", "geprüft am")),
    Field("by", "who tested it", ("tested by", "tester", "who", "par", "von", "geprüft von")),
    Field("note", "a note, private", ("notes", "remark", "remarks", "comment", "remarque", "Bemerkung", "Notiz")),
)  # fmt: skip


class TestDraft(NamedTuple):
    """Tests of one row: of what, when and by whom, and each question with its result."""

    item: Coded
    event: Event
    results: tuple[tuple[str, dict[str, Any]], ...]


TestDraft.__test__ = False  # type: ignore[attr-defined]  # it is no class of tests


class ResidualTests(Importer[TestDraft]):
    """Brings in residual tests."""

    noun = "tests"
    one = "test"
    fields = FIELDS
    needed = ("result", "hypo", "silver")
    dates = ("date",)
    apart = ("item", "edition", "number", "date", "question")

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.known = Known(work.connection)

    def read(self, row: Row) -> TestDraft | None:
        """What a row says was tested, and what was found."""
        item = self._item(row)
        day = date_in(row, "date", self.work.options, today=self.work.today.isoformat())
        if day is None and not row.refused:
            row.refuse("date", "when it was tested is not said, and what a test proves hangs on it. Mend the cell.")
        results = self._results(row)
        if row.refused or item is None or day is None:
            return None
        by = row.get("by") or self.work.event.by
        return TestDraft(item, Event(moment_of(day), by, row.get("note")), results)

    def preview(self, draft: TestDraft) -> dict[str, str]:
        """How a test was read."""
        found = {question: result.get("reading") or result["given"]["value"] for question, result in draft.results}
        return {
            "of": draft.item.code,
            **{question: found.get(question, "") for question in ASKED},
            "on": draft.event.moment.text(),
            "by": draft.event.by,
        }

    def add_one(self, row: Row, draft: TestDraft) -> tuple[int, str]:
        """Record its tests; the row is that of the first."""
        try:
            return self._record(draft)
        except residuals.EditionPrintSpottedError:
            raise TirageError(
                f"{draft.item.code} is no trial, and the stain of a drop stays in a print, so it is never spotted, and "
                f"no test of such is kept. Was a strip tested, or a work print? Name that one. {PUT_ASIDE}"
            ) from None

    def _record(self, draft: TestDraft) -> tuple[int, str]:
        made = [
            residuals.record_test(self.work.connection, draft.event, draft.item, question, **result)
            for question, result in draft.results
        ]
        return made[0].id, draft.item.code

    def _item(self, row: Row) -> Coded | None:
        """What was tested, by its code or by the number that a print bears."""
        try:
            if row.get("item"):
                return self._named(row.get("item"))
            if row.get("edition") and row.get("number"):
                return self._holder(row)
        except TirageError as refusal:
            row.refuse("item" if row.get("item") else "number", refusal.sentence)
            return None
        row.refuse("item", "what was tested is not said; expected a code such as k1 or 3, or an edition and a number.")
        return None

    def _named(self, text: str) -> Coded:
        """What a code names, as written or in short; before a short one comes a number of the lists of prints."""
        found = self.known.coded(text, "print")
        if isinstance(found, list) and len(found) > 1:
            raise SeveralError("print", text, (one.code for one in found))
        if isinstance(found, Coded):
            return found
        return items.find_one(self.work.connection, text, *residuals.TESTED_KINDS)

    def said(self) -> list[str]:
        """Which numbers of earlier lists were looked up."""
        return self.known.numbers.said()

    def _holder(self, row: Row) -> Coded:
        mark = read_mark(row.get("number"))
        if mark.why_not or not mark.kind:
            raise TirageError(f"“{row.get('number')}” is no number of a print; expected such as 3/25. Mend the cell.")
        edition = self.known.edition(row.get("edition"), mark.of if mark.kind == "numbered" else None)
        number = mark.number if mark.number is not None else 1
        held = self.work.connection.execute(LIVING_HOLDER, (edition.id, mark.kind, number)).fetchone()
        if held is None:
            label = number_label(mark.kind, number, edition.numerals)
            raise TirageError(f"No print bears {label} of {edition.code}. See: tirage edition show {edition.code}.")
        return Coded(held[0], items.code_of(self.work.connection, held[0]), "print")

    def _results(self, row: Row) -> tuple[tuple[str, dict[str, Any]], ...]:
        """Each question of a row with its result; refused where there is none, or one is no result."""
        found = []
        if row.get("result"):
            question = QUESTIONS.get(folded(row.get("question")), "")
            if question:
                found.append((question, "result"))
            elif folded(row.get("question")) == "ph":
                row.refuse("question", f"a pH is no residual test. {PUT_ASIDE}")
            else:
                asked = f"“{row.get('question')}” is no question" if row.get("question") else "it is not said of what"
                row.refuse("question", f"{asked}; expected hypo or silver. Mend the cell.")
        elif row.get("question"):
            row.refuse("result", "a test without a result; expected what was seen, or a value. Mend the cell.")
        found += [(question, question) for question in ASKED if row.get(question)]
        if not found and not row.refused:
            row.refuse("", "no result stands in this row; expected one for hypo or for silver.")
        asked_once = {question for question, _ in found}
        if len(asked_once) < len(found):
            row.refuse("result", "the same question is answered in two columns. Keep one of them.")
        methods = self._methods(row, asked_once)
        read = [(question, self._one(row, question, field, methods)) for question, field in found]
        return tuple((question, result) for question, result in read if result is not None)

    def _methods(self, row: Row, asked: set[str]) -> dict[str, str]:
        """Question -> the method of its test, "" for the usual drop. A method belongs to the questions it answers."""
        text = row.get("method")
        if not text or folded(text) in ("drop", "spot test", "spot", "goutte", "tropfen", "tropfentest"):
            return {}
        method = METHODS.get(folded(text), "")
        fitting = {one for one in asked if method in (DROP_METHODS[one], *METHODS_OF[one])}
        if asked and not fitting:
            every = dict.fromkeys(name for one in sorted(asked) for name in (DROP_METHODS[one], *METHODS_OF[one]))
            row.refuse("method", f"“{text}” is no method for it; expected one of {', '.join(every)}. Mend the cell.")
        return dict.fromkeys(fitting, method)

    def _one(self, row: Row, question: str, field: str, methods: dict[str, str]) -> dict[str, Any] | None:
        """One result as it is recorded, None where it was refused."""
        text, method = row.get(field), methods.get(question, "")
        seen = READINGS.get(folded(text).rstrip(".! "))
        if seen:
            return {"reading": seen, "method": method}
        value = plain_number(text, self.work.options)
        if not value[:1].isdigit():
            row.refuse(
                field,
                f"“{text}” is no reading of a drop, for it does not tell how strong the stain was; expected one of "
                f"{', '.join(SEEN)}, or a value with its unit, such as 0.9ug/cm2. Mend the cell. Where nobody knows "
                f"more: {PUT_ASIDE[0].lower()}{PUT_ASIDE[1:]}",
            )
            return None
        if not method or method == DROP_METHODS[question]:
            expected = " or ".join(METHODS_OF[question])
            row.refuse("method", f"how a value was measured is not said; expected {expected}. Fill in the cell.")
            return None
        return self._value(row, question, field, value, method)

    def _value(self, row: Row, question: str, field: str, value: str, method: str) -> dict[str, Any] | None:
        """A measured value, with its unit from the cell or the column of units."""
        from catalog.rules import measured_residue  # with its fits only where a value stands

        unit = row.get("unit")
        typed = f"{value} {unit}" if unit and not any(sign.isalpha() for sign in value) else value
        basis = folded(row.get("salt")) if question == "hypo" and row.get("salt") else "ion"
        if basis not in BASES:
            row.refuse("salt", f"“{row.get('salt')}” is none of {', '.join(BASES)}. Mend the cell.")
            return None
        try:
            worked = measured_residue.typed(typed, question, basis)
        except TirageError as refusal:
            row.refuse(field, refusal.sentence)
            return None
        return {"method": method, "value": worked.value, "given": worked.given}
