"""The drawings' files: the whole room, where all is measured from, each run; storey, bays, joists. SVG and DXF."""

from collections.abc import Callable

from pipemodel.drawing.sheet import Sheet
from pipemodel.output.file_names import JOB_STEM, SET_OUT_STEM, Folder, run_stems
from pipemodel.results.results import Results


def write_svg_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.svg, job-setting-out.svg, and a file for each run."""
    from pipemodel.drawing.svg import to_svg

    return _write(results, folder, "svg", to_svg)


def write_dxf_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.dxf, job-setting-out.dxf, and a file for each run."""
    from pipemodel.drawing.dxf import to_dxf

    return _write(results, folder, "dxf", to_dxf)


def _write(results: Results, folder: Folder, ending: str, to_text: Callable[[Sheet], str]) -> tuple[str, ...]:
    stems = run_stems(results.schedule)
    for stem, sheet in ((JOB_STEM, results.drawings.of_job()), (SET_OUT_STEM, results.drawings.to_set_out())):
        (folder / f"{stem}.{ending}").write_bytes(to_text(sheet).encode("utf-8"))
    for name, sheet in results.drawings.of_building(results.wrong_places):
        (folder / f"{JOB_STEM}-{name}.{ending}").write_bytes(to_text(sheet).encode("utf-8"))
    for run, sheet in zip(results.schedule.runs, results.drawings.of_runs(), strict=True):
        (folder / f"{stems[run.name]}.{ending}").write_bytes(to_text(sheet).encode("utf-8"))
    return ()
