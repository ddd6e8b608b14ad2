"""CSV files of two seeds of one study, read as their users read them: by pandas, polars and DuckDB.

Reads {name of a run: its two output folders}; prints for each CSV file of each run what each of the three made of it. Types are
those of `datapackage.json`, or guessed where it says so.
"""

import importlib.util
import json
import sys
from pathlib import Path

import duckdb
import pandas
import polars

PANDAS = {"string": "string", "integer": "Int64", "number": "float64", "boolean": "boolean"}
POLARS = {
    "string": polars.String,
    "integer": polars.Int64,
    "number": polars.Float64,
    "boolean": polars.Boolean,
}
DUCKDB = {"string": "VARCHAR", "integer": "BIGINT", "number": "DOUBLE", "boolean": "BOOLEAN"}


def dictionary(folder):
    return json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))


def fields(resource):
    return {field["name"]: field["type"] for field in resource["schema"]["fields"]}


def by_pandas(path, types):
    frame = pandas.read_csv(
        path,
        dtype={name: PANDAS[holds] for name, holds in types.items()},
        keep_default_na=False,
        na_values=[""],
    )
    return frame, {name: str(dtype) for name, dtype in frame.dtypes.items()}


def by_polars(path, types):
    return polars.read_csv(path, schema={name: POLARS[holds] for name, holds in types.items()})


def by_duckdb(path, types):
    columns = {name: DUCKDB[holds] for name, holds in types.items()}
    return duckdb.read_csv(str(path), header=True, columns=columns)


def sums(values):
    """Sum and count of what there is, in order."""
    there = [float(value) for value in values if value is not None]
    return [sum(there), len(there)]


def guessed(path, types):
    """Columns of decimals that are not empty, and what they are taken for where nobody says."""
    frame = polars.read_csv(path, infer_schema_length=None)
    relation = duckdb.read_csv(str(path), header=True, sample_size=-1)
    ducks = dict(zip(relation.columns, map(str, relation.types)))
    pandas_types = pandas.read_csv(path).dtypes
    full = [name for name, holds in types.items() if holds == "number" and frame[name].count() > 0]
    return {
        name: [str(frame.schema[name]), str(pandas_types[name]), ducks[name]] for name in full
    }


def read(folders, resource):
    types = fields(resource)
    paths = [folder / resource["path"] for folder in folders]
    numbers = [name for name, holds in types.items() if holds in ("integer", "number")]
    pandas_frames = [by_pandas(path, types) for path in paths]
    frames = [by_polars(path, types) for path in paths]
    relations = [by_duckdb(path, types) for path in paths]
    # Also as anybody does it at first: types guessed, stacked without more ado.
    plain = [polars.read_csv(path, infer_schema_length=None) for path in paths]
    key = resource["schema"].get("primaryKey", [])
    joined = frames[0].join(frames[1], on=key, how="inner").height if key else None
    return {
        "rows": [frame.height for frame in frames],
        "pandas_types": [types for _, types in pandas_frames],
        "polars_types": [{n: str(t) for n, t in frame.schema.items()} for frame in frames],
        "duckdb_types": [dict(zip(r.columns, map(str, r.types))) for r in relations],
        "stacked": polars.concat(frames, how="vertical").height,
        "stacked_by_duckdb": relations[0].union(relations[1]).shape[0],
        "stacked_as_guessed": polars.concat(plain, how="vertical").height,
        "joined": joined,
        "guessed": [guessed(path, types) for path in paths],
        "sums": {
            name: {
                "pandas": sums(None if pandas.isna(v) else v for v in pandas_frames[0][0][name]),
                "polars": sums(frames[0][name].to_list()),
                "duckdb": sums(row[0] for row in duckdb_column(relations[0], name)),
            }
            for name in numbers
        },
    }


def duckdb_column(relation, name):
    quoted = '"' + name.replace('"', '""') + '"'
    return relation.project(quoted).fetchall()


def profile():
    """The published JSON Schema of tabular data packages, out of a package that is not imported."""
    package = Path(importlib.util.find_spec("datapackage").origin).parent
    return json.loads((package / "profiles" / "tabular-data-package.json").read_text())


def main():
    runs = {name: tables(map(Path, folders)) for name, folders in json.load(sys.stdin).items()}
    json.dump({"runs": runs, "profile": profile()}, sys.stdout)


def tables(folders):
    folders = list(folders)
    return {resource["path"]: read(folders, resource) for resource in dictionary(folders[0])["resources"]}


main()
