"""The drawings of the pulls as files: one for each piece, its pulls one below the other."""

from pipemodel.drawing.strips import below_each_other, foot_strip
from pipemodel.messages.say import words
from pipemodel.messages.values import Name, Word
from pipemodel.output.file_names import Folder, run_stems
from pipemodel.results.results import Results
from pipemodel.wording.cautions import SHORT_CAUTION


def write_card_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write RUN-pulls.svg for each run that can be pulled, RUN-pulls-1.svg and so on for pieces of a jointed one."""
    units, stems = results.paper_options.reading, run_stems(results.schedule)
    pieces = results.pieces
    for number, piece in enumerate(pieces):
        said = words(
            units,
            "pull drawing.files foot",
            run=Name(piece.solved.name, quoted=False),
            unit=Word(units.name),
            caution=SHORT_CAUTION,
        )
        sheets = [drawing.sheet for drawing in piece.pull_drawings]
        if not sheets:
            continue
        stem = stems[results.schedule.runs[piece.run].name]
        before = sum(other.run == piece.run for other in pieces[:number])
        of_many = sum(other.run == piece.run for other in pieces) > 1
        name = f"{stem}-pulls-{before + 1}.svg" if of_many else f"{stem}-pulls.svg"
        foot = foot_strip(said, sheets[0].width)
        (folder / name).write_bytes(below_each_other(piece.solved.name, [*sheets, foot]).encode("utf-8"))
    return ()
