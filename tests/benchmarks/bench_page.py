"""The hand-over page and the live view: size, first view, frames a second, and from a save to the new picture.

    python tests/benchmarks/bench_page.py

In headless Chromium with software rendering, at phone size: 390 x 780 at double density, the network off.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from browser import DESK, SHARP_PHONE, chromium, opened, settle
from measuring import ROOT, cold_s, print_machine, print_table
from runs import staircase

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.live.page import live_html
from pipemodel.live.server import Server
from pipemodel.live.showing import Showing

EXAMPLE = ROOT / "examples" / "airing-cupboard-to-panel.yaml"
FIRST_VIEWS = 7
SAVES = 9
TURN_S = 4.0
TURNING = """async ([seconds, whole]) => {
    const view = page.scene.view, begun = performance.now(), px = new Uint8Array(4);
    let frames = 0;
    if (whole) view.pace = () => { view.moving = false; };
    while (performance.now() - begun < 1000 * seconds) {
        view.turnBy(1.5, 0);
        await new Promise((done) => requestAnimationFrame(done));
        // Reading a point back waits until the picture has really been drawn.
        view.gl.readPixels(0, 0, 1, 1, view.gl.RGBA, view.gl.UNSIGNED_BYTE, px);
        frames += 1;
    }
    return [frames / ((performance.now() - begun) / 1000), view.canvas.width / view.canvas.clientWidth];
}"""


def crowded(path: Path) -> Path:
    """Write a job of one run of ten bends among fifty things: boxes, cylinders and walls."""
    corners = staircase(10)
    low, high = ([f(c[i] for c in corners) for i in range(3)] for f in (min, max))
    lines = ["job: crowded room", "tube: 15", "former: {radius: 55, hold: 40, guide: 30}", "room:"]
    for i in range(30):
        x, y, z = (low[k] + (high[k] - low[k]) * ((i * (7, 11, 13)[k]) % 30) / 30 for k in range(3))
        lines.append(f"  box {i + 1}: {{box: {{from: {_point(x, y, z)}, to: {_point(x + 160, y + 60, z + 90)}}}}}")
    for i in range(16):
        x, y = (low[k] + (high[k] - low[k]) * ((i * (5, 9)[k]) % 16) / 16 for k in range(2))
        ends = f"from: {_point(x, y, low[2] - 100)}, to: {_point(x + 40, y, high[2] + 100)}"
        lines.append(f"  pipe {i + 1}: {{cylinder: {{{ends}, diameter: {22 + 6 * i}}}}}")
    sides = ((low[0], low[1], low[2] - 120, "up"), (low[0] - 120, low[1], low[2], "east"))
    sides += ((high[0], high[1] + 120, high[2], "south"), (high[0], high[1], high[2] + 120, "down"))
    for i, (x, y, z, facing) in enumerate(sides, 1):
        lines.append(f"  wall {i}: {{face: {{at: {_point(x, y, z)}, facing: {facing}}}}}")
    lines += ["runs:", "  flow:", f"    points: [{', '.join(_point(*p) for p in corners)}]"]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _point(x: float, y: float, z: float) -> str:
    return f"[{x:.0f}, {y:.0f}, {z:.0f}]"


def pages(folder: Path) -> list[list[str]]:
    """Write the pages, and tell how large they are and how long the whole process took."""
    rows = []
    for name, job in (("example", EXAMPLE), ("crowded", crowded(folder / "crowded.yaml"))):
        page = page_html(story.results(story.load(job)))
        (folder / f"{name}.html").write_text(page, encoding="utf-8")
        out = str(folder / f"{name}-out")
        seconds, memory = cold_s(["-m", "pipemodel", "make", str(job), "--only", "html", "--out", out], 3)
        rows.append([name, f"{len(page.encode()) / 1e3:.0f} kB", f"{seconds:.2f} s", f"{memory:.0f} MB"])
    return rows


def first_views(browser: object, address: str) -> float:
    """Return the median time from asking for a page on disk to its first picture, s; each in a window of its own."""
    times = []
    for _ in range(FIRST_VIEWS):
        begin = time.perf_counter()
        with opened(browser, address, **SHARP_PHONE) as window:
            settle(window)
            window.evaluate("page.scene.view.gl.finish()")
            times.append(time.perf_counter() - begin)
    return statistics.median(times)


def saves(browser: object, folder: Path) -> list[float]:
    """Return the times from a save to the new picture, s."""
    text, path = EXAMPLE.read_text(encoding="utf-8"), folder / "live.yaml"
    path.write_text(text, encoding="utf-8")
    showing = Showing(path, live_html)
    server = Server(showing)
    showing.make()
    server.run()
    times = []
    try:
        with opened(browser, server.url, **DESK, offline=False) as window:
            window.wait_for_selector('html[data-live="1"]', state="attached")
            for i in range(SAVES):
                time.sleep(0.33 + 0.01 * i)
                begin = time.perf_counter()
                path.write_text(text.replace("depth: 95", f"depth: {96 + i}"), encoding="utf-8")
                window.wait_for_selector(f'html[data-live="{i + 2}"]', state="attached")
                settle(window)
                times.append(time.perf_counter() - begin)
    finally:
        server.stop()
    return times


def main() -> None:
    """Measure everything and print the tables."""
    print_machine()
    with tempfile.TemporaryDirectory() as name, chromium() as browser:
        folder = Path(name)
        print_table("Page, cold process", ["job", "size", "make --only html", "peak memory"], pages(folder))
        rows = []
        for job in ("example", "crowded"):
            address = (folder / f"{job}.html").as_uri()
            rows.append([job, f"{first_views(browser, address):.2f} s"])
            with opened(browser, address, **SHARP_PHONE) as window:
                settle(window)
                for whole in (False, True):
                    fps, ratio = window.evaluate(TURNING, [TURN_S, whole])
                    rows[-1] += [f"{fps:.0f}", f"{ratio:.1f}"]
        head = [
            "job",
            "first view from disk",
            "frames/s turning",
            "px ratio",
            "frames/s, no pixel left out",
            "px ratio",
        ]
        print_table("At phone size, median first view", head, rows)
        times = saves(browser, folder)
        row = [f"{min(times):.2f} s", f"{statistics.median(times):.2f} s", f"{max(times):.2f} s"]
        print_table("Live view of the example, from a save to the new picture", ["least", "median", "most"], [row])


if __name__ == "__main__":
    main()
