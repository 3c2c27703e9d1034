"""The plain files: JSON, text and CSV, byte for byte the same for the same job on every system."""

from pathlib import Path

from pipemodel.documents.tables.csv_table import list_csv, schedule_csv
from pipemodel.documents.text.changes import changes_text
from pipemodel.documents.text.check import check_text
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.lists.all_lists import apart
from pipemodel.output.file_names import Folder
from pipemodel.results.changes_values import changes_record
from pipemodel.results.record import to_json
from pipemodel.results.results import Results


def write_json(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write the records."""
    _write(folder / "schedule.json", to_json(answer.schedule_record))
    _write(folder / "check.json", to_json(answer.check_record))
    if answer.changes is not None:
        _write(folder / "changes.json", to_json(changes_record(answer.changes, answer.paperwork.units)))
    return ()


def write_txt(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write the schedule and the findings for people to read."""
    _write(folder / "schedule.txt", schedule_text(answer))
    _write(folder / "check.txt", check_text(answer))
    if answer.changes is not None:
        _write(folder / "changes.txt", changes_text(answer.changes, answer.paperwork.reading))
    return ()


def write_csv(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write the schedule for a spreadsheet."""
    _write(folder / "schedule.csv", schedule_csv(answer.schedule_record, answer.paperwork.units))
    return ()


def write_lists(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write every other list that is not empty for a spreadsheet."""
    for listing in apart(answer):
        if listing.content.table.rows:
            _write(folder / f"{listing.key}.csv", list_csv(listing.content.table, answer.paperwork.units))
    return ()


def write_xlsx(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write the lists as a workbook."""
    from pipemodel.documents.tables.workbook import workbook

    (folder / "schedule.xlsx").write_bytes(workbook(answer))
    return ()


def write_md(answer: Results, folder: Folder) -> tuple[str, ...]:
    """Write the lists as Markdown."""
    from pipemodel.documents.tables.markdown import markdown

    _write(folder / "schedule.md", markdown(answer))
    return ()


def _write(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8"))
