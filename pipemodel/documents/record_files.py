"""The plain files: JSON, text and CSV, byte for byte the same for the same job on every system."""

from pathlib import Path

from pipemodel.documents.tables.csv_table import list_csv, schedule_csv
from pipemodel.documents.text.changes import changes_text
from pipemodel.documents.text.check import check_text
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.lists.all_lists import apart, listing
from pipemodel.output.file_names import Folder
from pipemodel.results.changes_values import changes_record
from pipemodel.results.plain import to_json
from pipemodel.results.results import Results


def write_json(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the records."""
    _write(folder / "schedule.json", to_json(results.schedule_record))
    _write(folder / "check.json", to_json(results.check_record))
    if results.changes is not None:
        _write(folder / "changes.json", to_json(changes_record(results.changes, results.paper_options.units)))
    return ()


def write_txt(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the schedule and the findings for people to read."""
    _write(folder / "schedule.txt", schedule_text(results))
    _write(folder / "check.txt", check_text(results))
    if results.changes is not None:
        _write(folder / "changes.txt", changes_text(results.changes, results.paper_options.reading))
    return ()


def write_csv(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the schedule for a spreadsheet."""
    _write(folder / "schedule.csv", schedule_csv(results.schedule_record, results.paper_options.units))
    return ()


def write_lists(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write every other list that is not empty for a spreadsheet."""
    # Where everything is measured from stands on a drawing, as far as there is room.
    for one in (*apart(results), listing(results, "setting-out")):
        if one is not None and one.content.table.rows:
            _write(folder / f"{one.key}.csv", list_csv(one.content.table, results.paper_options.units))
    return ()


def write_xlsx(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the lists as a workbook."""
    from pipemodel.documents.tables.workbook import workbook

    (folder / "schedule.xlsx").write_bytes(workbook(results))
    return ()


def write_md(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the lists as Markdown."""
    from pipemodel.documents.tables.markdown import markdown

    _write(folder / "schedule.md", markdown(results))
    return ()


def _write(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8"))
