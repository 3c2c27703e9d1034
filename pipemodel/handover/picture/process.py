"""Rendering in a process of its own: a graphics driver that stops the process cannot take the rest with it."""

import os
import pickle
import subprocess
import sys
import tempfile
from pathlib import Path

from pipemodel.handover.answer import Answer
from pipemodel.handover.formats import UnavailableError

PATIENCE_S = 300
_NEEDS = (
    "rendering needs OpenGL without a screen; on Debian and Ubuntu that is the packages libegl1, libgl1 and "
    "libgl1-mesa-dri"
)


def write_png(answer: Answer, folder: Path) -> tuple[str, ...]:
    """Write job.png.

    Raises:
        UnavailableError: if this machine cannot render.
    """
    (folder / "job.png").write_bytes(picture_png(answer))
    return ()


def picture_png(answer: Answer) -> bytes:
    """Return the picture of a job as the bytes of a PNG.

    Raises:
        UnavailableError: if this machine cannot render; says what is missing.
    """
    package = Path(__file__).resolve().parents[3]
    paths = [str(package), *filter(None, [os.environ.get("PYTHONPATH")])]
    with tempfile.TemporaryDirectory(prefix="pipemodel-") as folder:
        picture = Path(folder) / "picture.png"
        try:
            done = subprocess.run(
                [sys.executable, "-m", __name__, str(picture)],
                input=pickle.dumps(answer),
                capture_output=True,
                env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
                timeout=PATIENCE_S,
                check=False,
            )
        except subprocess.TimeoutExpired as error:
            raise UnavailableError(f"the picture was not done after {PATIENCE_S} s; {_NEEDS}") from error
        if done.returncode != 0 or not picture.is_file():
            raise UnavailableError(f"no picture could be drawn: {_why(done)}")
        return picture.read_bytes()


def _why(done: "subprocess.CompletedProcess[bytes]") -> str:
    if done.returncode < 0:
        return f"the renderer stopped with signal {-done.returncode}; {_NEEDS}"
    lines = done.stderr.decode("utf-8", "replace").strip().splitlines()
    last = lines[-1] if lines else f"exit code {done.returncode}"
    driver = last.startswith(("ImportError", "OSError", "RuntimeError"))
    return f"{last}; {_NEEDS}" if driver else last


if __name__ == "__main__":
    from pipemodel.handover.picture.draw import draw

    draw(pickle.load(sys.stdin.buffer)).save(sys.argv[1], "PNG", optimize=True)
