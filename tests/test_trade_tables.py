"""`pipemodel tables`: readable at 80 columns, and the same rows as JSON and CSV."""

import csv
import io
import json

import pytest
from click.testing import CliRunner

from pipemodel.cli.tables import TABLES, command
from pipemodel.trade.rows import read_rows
from pipemodel.trade.tubes import all_tubes


def run(*args: str) -> str:
    result = CliRunner().invoke(command, args, catch_exceptions=False)
    assert result.exit_code == 0
    return result.output


def test_text_is_ascii_and_80_columns():
    text = run()
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 80
    for tube in all_tubes():
        assert tube.name in text


@pytest.mark.parametrize("name", list(TABLES))
def test_json_and_csv_have_the_same_rows(name):
    from_json = json.loads(run(name, "--format", "json"))[name]
    from_csv = list(csv.DictReader(io.StringIO(run(name, "--format", "csv"))))
    assert [{k: "" if v is None else str(v) for k, v in row.items()} for row in from_json] == from_csv
    assert all(row["source"] for row in from_csv)


def test_a_row_without_a_source_is_refused(tmp_path, monkeypatch):
    (tmp_path / "x.csv").write_text("size,source\n15,\n")
    monkeypatch.setattr("pipemodel.trade.rows.DATA", tmp_path)
    with pytest.raises(ValueError, match=r"x\.csv, line 2"):
        read_rows("x.csv")
