"""The live view: saved, read, shown; wrong text named with its line; nobody else answered; stopped at once."""

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager

import pytest
from command_line import LEAST, ROOT, run

from pipemodel.live import server as server_module
from pipemodel.live.page import live_html
from pipemodel.live.server import MOST_AT_ONCE, MOST_LISTENERS, Server
from pipemodel.live.showing import Showing
from pipemodel.live.watch import files_of, look_at, settled

SOON_S = 20.0


@pytest.fixture
def job_file(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    return path


@contextmanager
def serving(path, **asked):
    """Show a job file in this process."""
    showing = Showing(path, live_html, **asked)
    server = Server(showing)
    showing.make()
    server.run()
    try:
        yield server
    finally:
        server.stop()


@pytest.fixture
def server(job_file):
    with serving(job_file) as running:
        yield running


def test_its_port_can_be_had_again_at_once_and_by_nobody_else(server):
    """POSIX keeps a port back for a minute; on Windows the option that lifts this gives it to other programs too."""
    option = server.socket.getsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR)
    assert bool(option) is (sys.platform != "win32")


@pytest.fixture(scope="module")
def standing(tmp_path_factory):
    """A server whose job is left as it is, for all that only ask."""
    path = tmp_path_factory.mktemp("standing") / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    with serving(path) as running:
        yield running


def ask(server, path="/", **headers):
    """Ask for a path under the server's own name, unless the headers say otherwise; status and text."""
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=SOON_S)
    connection.putrequest("GET", path, skip_host=True)
    for name, value in {"Host": f"127.0.0.1:{server.server_port}", **headers}.items():
        if value is not None:
            connection.putheader(name.replace("_", "-"), value)
    connection.endheaders()
    answer = connection.getresponse()
    text = answer.read().decode("utf-8")
    connection.close()
    return answer.status, text, answer.headers


class News:
    """What the server tells a browser that listens."""

    def __init__(self, server):
        self.connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=SOON_S)
        self.connection.request("GET", "/news")
        self.stream = self.connection.getresponse()

    def close(self):
        self.stream.close()
        self.connection.close()

    def next(self):
        for line in self.stream:
            if line.startswith(b"data: "):
                return json.loads(line[6:])
        return None


def save(path, text):
    """Save as an editor does: another file, put in the old one's place."""
    aside = path.with_suffix(".new")
    aside.write_text(text, encoding="utf-8")
    os.replace(aside, path)


@pytest.mark.slow
def test_a_save_is_given_and_the_new_page_is_there(server, job_file):
    news = News(server)
    first = news.next()
    assert first["wrong"] == []
    before = ask(server)[1]
    # The last leg from 350 to 377.5: 600 + 400 + 377.5, less two gains of 2 x 55 - 55 pi / 2.
    save(job_file, LEAST.replace("[600, 400, 350]", "[600, 400, 377.5]"))
    second = news.next()
    assert (second["good"], second["wrong"]) == (first["good"] + 1, [])
    after = ask(server)[1]
    assert "Cut</dt><dd>1330.5" in after
    assert "Cut</dt><dd>1330.5" not in before


@pytest.mark.slow
def test_wrong_text_is_given_with_its_line_and_the_last_good_page_stays(server, job_file):
    news = News(server)
    good = news.next()["good"]
    page = ask(server)[1]
    save(job_file, LEAST.replace("clearance: 5", "clearance: five").replace("radius: 55", "radius: -1"))
    stated = news.next()
    assert stated["good"] == good
    assert [(w["line"], w["text"].strip()) for w in stated["wrong"]] == [
        (3, "former: {radius: -1}"),
        (4, "clearance: five"),
    ]
    assert ask(server)[1] == page
    save(job_file, LEAST)
    assert news.next()["wrong"] == []


def test_it_begins_with_a_wrong_file_too_and_waits(job_file):
    job_file.write_text("job: nothing yet\n", encoding="utf-8")
    with serving(job_file) as server:
        news = News(server)
        stated = news.next()
        assert (stated["good"], stated["wrong"][0]["line"]) == (0, 1)
        assert "Nothing to show yet" in ask(server)[1]
        save(job_file, LEAST)
        assert news.next()["good"] == 1
        assert "Cut and mark" in ask(server)[1]


@pytest.mark.slow
def test_a_file_taken_away_is_given_and_welcomed_back(server, job_file):
    news = News(server)
    news.next()
    job_file.unlink()
    assert "no such file" in news.next()["wrong"][0]["message"]
    save(job_file, LEAST)
    assert news.next()["wrong"] == []


@pytest.mark.slow
def test_what_the_job_names_is_watched_too(tmp_path):
    """A mesh of the room that is exported again changes the picture, though the job's own text is the same."""
    trimesh = pytest.importorskip("trimesh")
    text = LEAST.replace("  boxing:", "  boiler: {mesh: {file: boiler.stl, at: [300, 700, 0]}}\n  boxing:")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    trimesh.creation.box((100, 100, 100)).export(tmp_path / "boiler.stl")
    assert files_of(tmp_path / "job.yaml") == (tmp_path / "job.yaml", tmp_path / "boiler.stl")
    with serving(tmp_path / "job.yaml") as server:
        news = News(server)
        assert news.next()["wrong"] == []
        trimesh.creation.box((100, 100, 300)).export(tmp_path / "boiler.stl")
        assert news.next()["good"] == 2


@pytest.mark.slow
@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "evil.example:{port}"},
        {"Host": "127.0.0.1.evil.example:{port}"},
        {"Host": "127.0.0.1"},
        {"Host": "192.168.0.7:{port}"},
        {"Host": None},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://127.0.0.1:{port}"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
)
@pytest.mark.parametrize("path", ["/", "/news"])
def test_other_names_and_other_pages_are_refused(standing, headers, path):
    """A page of the web may make the browser ask this machine, under a name of its own (DNS rebinding)."""
    filled = {name: value and value.format(port=standing.server_port) for name, value in headers.items()}
    status, text, _ = ask(standing, path, **filled)
    assert status == 403
    assert "towel rail" not in text


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "LOCALHOST"])
def test_its_own_names_are_answered(standing, host):
    own = f"{host}:{standing.server_port}"
    status, text, headers = ask(standing, Host=own, Origin=f"http://{own.lower()}", Sec_Fetch_Site="same-origin")
    assert status == 200
    assert "towel rail" in text
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["Cache-Control"] == "no-store"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers.get("Access-Control-Allow-Origin") is None


def test_only_this_machine_is_listened_to(server):
    assert server.server_address[0] == "127.0.0.1"
    assert ask(server, "/etc/passwd")[0] == 404
    assert ask(server, "/../job.yaml")[0] == 404
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=SOON_S)
    connection.request("POST", "/", body=b"x")
    assert connection.getresponse().status == 501


def test_stopping_lets_go_of_everyone(job_file):
    before = threading.active_count()
    with serving(job_file) as server:
        news = [News(server) for _ in range(3)]
        for each in news:
            each.next()
        port = server.server_port
    for each in news:
        assert each.next() is None
    with pytest.raises(ConnectionRefusedError), socket.create_connection(("127.0.0.1", port), timeout=1.0):
        pass
    until = time.monotonic() + SOON_S
    while threading.active_count() > before and time.monotonic() < until:
        time.sleep(0.02)
    assert threading.active_count() <= before


def test_more_pages_than_a_browser_has_connections_are_all_served(server, job_file):
    """Ten pages listen: three are kept, the others get what there is at once and are asked to come back."""
    kept = [News(server) for _ in range(MOST_LISTENERS)]
    assert [news.next()["wrong"] for news in kept] == [[]] * MOST_LISTENERS
    for _ in range(10 - MOST_LISTENERS):
        status, text, _ = ask(server, "/news")  # comes to its end by itself
        assert status == 200
        assert re.fullmatch(r'retry: \d+\n\ndata: \{"number": 1, .*\}\n\nevent: later\ndata:\n\n', text)
    save(job_file, LEAST.replace("[600, 400, 350]", "[600, 400, 377.5]"))
    assert [news.next()["good"] for news in kept] == [2] * MOST_LISTENERS
    assert '"good": 2' in ask(server, "/news")[1]


def test_a_page_that_closes_makes_room_for_another(server, monkeypatch):
    monkeypatch.setattr(server_module, "ALIVE_S", 0.1)
    kept = [News(server) for _ in range(MOST_LISTENERS)]
    for news in kept:
        news.next()
    kept[0].close()
    assert server.listeners.acquire(timeout=SOON_S)
    server.listeners.release()


@pytest.mark.slow
def test_so_many_at_once_and_no_more(server):
    """Connections that ask nothing each hold a thread; beyond the most that may, they are closed at once."""
    before = threading.active_count()
    idle = [socket.create_connection(("127.0.0.1", server.server_port), timeout=SOON_S) for _ in range(MOST_AT_ONCE)]
    until = time.monotonic() + SOON_S
    while threading.active_count() < before + MOST_AT_ONCE and time.monotonic() < until:
        time.sleep(0.02)
    try:
        for _ in range(5):
            with socket.create_connection(("127.0.0.1", server.server_port), timeout=SOON_S) as more:
                assert more.recv(1) == b""
        assert threading.active_count() == before + MOST_AT_ONCE
    finally:
        for connection in idle:
            connection.close()
    until = time.monotonic() + SOON_S
    while threading.active_count() > before and time.monotonic() < until:
        time.sleep(0.02)
    assert ask(server)[0] == 200


@pytest.mark.skipif(os.name != "posix", reason="elsewhere another program could take the port meanwhile")
def test_a_port_is_free_again_as_soon_as_its_server_has_stopped(job_file):
    """Though a connection that the server closed itself still lingers there."""
    with serving(job_file) as running:
        assert ask(running)[0] == 200
        port = running.server_port
    again = Server(Showing(job_file, live_html), port)
    assert again.server_port == port
    again.server_close()


def test_a_file_being_written_is_waited_for(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text("job: a", encoding="utf-8")
    parts = iter(["job: ab", "job: abc"])

    def pause(_):
        if (part := next(parts, None)) is not None:
            path.write_text(part, encoding="utf-8")

    assert settled([path], pause) == look_at([path])
    assert path.read_text(encoding="utf-8") == "job: abc"


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals as on POSIX")
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
def test_the_command_prints_the_address_and_stops_cleanly(job_file, sign):
    child = subprocess.Popen(
        [sys.executable, "-m", "pipemodel", "show", str(job_file)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        address = child.stdout.readline().decode().strip()
        assert address.startswith("http://127.0.0.1:")
        port = int(address.rstrip("/").rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), timeout=SOON_S):
            child.send_signal(sign)
            assert child.wait(SOON_S) == 0
        assert b"Traceback" not in child.stderr.read()
    finally:
        child.kill()
        child.wait()
        child.stdout.close()
        child.stderr.close()


def test_a_taken_port_and_a_missing_file_are_refused(job_file, tmp_path):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        said = run("show", job_file, "--port", other.getsockname()[1])
        assert said.code == 2
        assert str(other.getsockname()[1]) in said.err
    said = run("show", tmp_path / "none.yaml")
    assert said.code == 2
    assert "none.yaml" in said.err
