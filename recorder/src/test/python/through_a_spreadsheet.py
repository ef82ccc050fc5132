"""Sends an exported CSV through a spreadsheet program and compares every cell.

    python3 through_a_spreadsheet.py soffice all.csv [--decimal-comma]

LibreOffice Calc opens the CSV as a person's double click does (UTF-8, numbers recognised), saves it
as .xlsx, and reads that again into CSV. Checked in the .xlsx itself, by its XML: every number of the
CSV is a number cell of the same value, every text a text cell of the same text, and no cell is a
formula. As a check that can fail, the apostrophes are then taken off and the formulas counted.
"""

import csv
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml
import zipfile

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?([eE][+-]?\d+)?")

office, exported = sys.argv[1], pathlib.Path(sys.argv[2])
comma = "--decimal-comma" in sys.argv
separator = ";" if comma else ","
language = "1031" if comma else "1033"  # German, American English


def convert(file, to, *options):
    profile = pathlib.Path(tempfile.mkdtemp()).as_uri()
    subprocess.run(
        [office, f"-env:UserInstallation={profile}", "--headless", *options,
         "--convert-to", to, "--outdir", str(file.parent), str(file)],
        check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def cells(workbook):
    """(text or number, is a formula) by row and column."""
    with zipfile.ZipFile(workbook) as whole:
        shared = []
        if "xl/sharedStrings.xml" in whole.namelist():
            for one in xml.fromstring(whole.read("xl/sharedStrings.xml")).iter(MAIN + "si"):
                shared.append("".join(t.text or "" for t in one.iter(MAIN + "t")))
        found = {}
        for cell in xml.fromstring(whole.read("xl/worksheets/sheet1.xml")).iter(MAIN + "c"):
            letters, row = re.fullmatch(r"([A-Z]+)(\d+)", cell.get("r")).groups()
            column = 0
            for letter in letters:
                column = column * 26 + ord(letter) - 64
            value = cell.find(MAIN + "v")
            text = None if value is None else value.text
            if cell.get("t") == "s":
                text = shared[int(text)]
            elif cell.get("t", "n") == "n" and text is not None:
                text = float(text)
            found[int(row) - 1, column - 1] = text, cell.find(MAIN + "f") is not None
        return found


def into_workbook(text, name):
    file = pathlib.Path(tempfile.mkdtemp()) / name
    file.write_text(text, encoding="utf-8", newline="")
    convert(file, "xlsx", f"--infilter=CSV:{ord(separator)},34,76,1,,{language},false,true")
    return file.with_suffix(".xlsx")


text = exported.read_text(encoding="utf-8")
rows = list(csv.reader(text.lstrip("\ufeff").splitlines(keepends=True), delimiter=separator))
workbook = into_workbook(text, "table.csv")
found = cells(workbook)
numbers = texts = guarded = 0
for r, row in enumerate(rows):
    for c, wanted in enumerate(row):
        got, formula = found.get((r, c), (None, False))
        where = f"row {r + 1}, column {c + 1} ({rows[0][c]}): {wanted!r} became {got!r}"
        assert not formula, where
        if wanted == "":
            assert got in (None, ""), where
        elif r > 0 and NUMBER.fullmatch(wanted):
            assert got == float(wanted.replace(",", ".")), where
            numbers += 1
        elif wanted in ("true", "false"):
            assert got in (wanted, "1" if wanted == "true" else "0"), where
        elif re.match(r"\d{4}-\d\d-\d\dT", wanted):
            assert got is not None, where
        else:
            assert got == wanted, where
            texts += 1
            guarded += wanted.startswith("'")
print(f"{len(rows) - 1} rows: {numbers} numbers and {texts} texts the same, {guarded} of them guarded"
      " by an apostrophe, no formula")

back = pathlib.Path(tempfile.mkdtemp()) / "back.xlsx"
back.write_bytes(workbook.read_bytes())
convert(back, "csv:Text - txt - csv (StarCalc):44,34,76,1,,1033,false,false,false")
again = list(csv.reader(back.with_suffix(".csv").open(encoding="utf-8", newline="")))
assert len(again) == len(rows)
for r in range(1, len(rows)):
    for c, wanted in enumerate(rows[r]):
        if NUMBER.fullmatch(wanted):
            where = f"row {r + 1}, {rows[0][c]}: {wanted!r} became {again[r][c]!r}"
            assert float(again[r][c]) == float(wanted.replace(",", ".")), where
print("and the same numbers after saving and opening again")

if guarded:
    bare = re.sub(r"(^|[%s])(\"?)'(?==)" % separator, r"\1\2", text, flags=re.M)
    formulas = sum(formula for _, formula in cells(into_workbook(bare, "bare.csv")).values())
    print(f"without the apostrophes: {formulas} formulas")
    assert formulas > 0
