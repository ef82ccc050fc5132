"""Reads a test folder with pandas and nothing of Meniscus; prints its tables as JSON.

Numbers are printed as hexadecimal floats, so that nothing is lost on the way.
"""

import json
import pathlib
import sys

import pandas

folder = pathlib.Path(sys.argv[1])
package = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))

TYPES = {"string": "string", "number": "float64", "integer": "int64", "boolean": "bool"}


def table(resource):
    fields = resource["schema"]["fields"]
    types = {f["name"]: TYPES[f["type"]] for f in fields if f["type"] in TYPES}
    dates = [f["name"] for f in fields if f["type"] == "datetime"]
    frame = pandas.read_csv(
        folder / resource["path"],
        encoding=resource["encoding"],
        compression="gzip" if resource.get("compression") == "gz" else None,
        dtype=types,
        parse_dates=dates,
        float_precision="round_trip",
        keep_default_na=False,
        na_values={f["name"]: ["", "NaN"] for f in fields if f["type"] == "number"},
    )
    assert list(frame.columns) == [f["name"] for f in fields], resource["name"]
    assert len(frame) == resource["rows"], resource["name"]
    return frame


def plain(value):
    if isinstance(value, float):
        return value.hex() if value == value else "nan"
    if isinstance(value, pandas.Timestamp):
        return value.isoformat()
    return value.item() if hasattr(value, "item") else value


read = {}
for resource in package["resources"]:
    if resource.get("type") == "table":
        frame = table(resource)
        if resource["name"] == "samples":
            rows = zip(*(frame[name].tolist() for name in frame.columns))
            read["samples"] = [[plain(value) for value in row] for row in rows]
        else:
            read[resource["name"]] = [
                {name: plain(value) for name, value in zip(frame.columns, row)}
                for row in frame.itertuples(index=False)
            ]
json.dump(read, sys.stdout)
