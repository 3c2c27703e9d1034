"""The server of the live view: for browsers on this machine, and for no page but its own.

It listens on the loopback address alone. Any page of the web can make a browser ask that address, under a name of its
own if it likes; so whoever asks under another name than the server's own, or from another page, is refused.
"""

import os
import threading
from collections.abc import Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qsl, urlsplit

from pipemodel.job.starter.cases import CASES
from pipemodel.live.page import POLICY
from pipemodel.live.showing import Showing
from pipemodel.live.start import job_of_answers, start_html
from pipemodel.messages.units import Units, units_for

ADDRESS = "127.0.0.1"
NAMES = ("127.0.0.1", "localhost")
ALIVE_S = 10.0
"""A word is sent this often where there is no news, so that a closed page is noticed."""
MOST_LISTENERS = 3
"""So many pages are sent news as it comes; a browser opens six connections to a server, and needs some for the page.
Every further page gets the news there is and is asked to come back for more."""
MOST_AT_ONCE = 32
"""More requests than this at one time are turned away, so that nobody can fill the memory with threads."""
MOST_BYTES, MOST_ANSWERS = 20_000, 40
"""What the answers of a guided start come to at the most."""
_OWN_SITES = ("same-origin", "none")


class Server(ThreadingHTTPServer):
    """Serves the page of one showing at `/`, and its news at `/news`."""

    daemon_threads = True
    # On Windows the same option would let another program take the port away.
    allow_reuse_address = os.name == "posix"

    def __init__(self, showing: Showing, port: int = 0) -> None:
        """Take a port of the loopback address; 0 takes any free one.

        Raises:
            OSError: if the port is taken or may not be used.
        """
        super().__init__((ADDRESS, port), _Handler)
        self.showing = showing
        self.listeners = threading.BoundedSemaphore(MOST_LISTENERS)
        self._places = threading.BoundedSemaphore(MOST_AT_ONCE)

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer a request in a thread of its own, or turn it away when there are too many."""
        if not self._places.acquire(blocking=False):
            self.shutdown_request(request)
            return
        super().process_request(request, client_address)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """Answer a request, and give up its place whatever comes of it."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._places.release()

    @property
    def url(self) -> str:
        """Where the page is."""
        return f"http://{ADDRESS}:{self.server_port}/"

    def run(self) -> None:
        """Serve in threads of its own, until `stop`."""
        threading.Thread(target=self.showing.watch, daemon=True).start()
        threading.Thread(target=self.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True).start()

    def stop(self) -> None:
        """End the showing and let go of the port."""
        self.showing.end()
        self.shutdown()
        self.server_close()

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a browser that went away in the middle of an answer."""


class _Handler(BaseHTTPRequestHandler):
    server: Server
    protocol_version = "HTTP/1.1"
    server_version = "pipemodel"
    sys_version = ""
    timeout = 20

    def do_GET(self) -> None:
        if not self._ours():
            self._answer(HTTPStatus.FORBIDDEN, "This view is for this machine alone.\n")
        elif self.path == "/":
            self._answer(HTTPStatus.OK, self.server.showing.state.page, "text/html")
        elif self.path == "/news":
            self._news()
        elif (case := self._case()) is not None and self.server.showing.starts:
            self._start(case, {}, {})
        else:
            self._answer(HTTPStatus.NOT_FOUND, "There is nothing here.\n")

    def do_POST(self) -> None:
        """Take the answers of a guided start: from its own page alone."""
        showing, case = self.server.showing, self._case()
        from_page = self.headers.get("Origin") is not None or self.headers.get("Sec-Fetch-Site") == "same-origin"
        if case is None:
            self._answer(HTTPStatus.NOT_IMPLEMENTED, "Nothing is taken here.\n")
            return
        if not self._ours() or not from_page:
            self._answer(HTTPStatus.FORBIDDEN, "This view is for this machine alone.\n")
            return
        length = self.headers.get("Content-Length", "")
        if not length.isdigit() or int(length) > MOST_BYTES:
            self._answer(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That is no answer.\n")
            return
        try:
            answers = dict(parse_qsl(self.rfile.read(int(length)).decode("utf-8"), max_num_fields=MOST_ANSWERS))
        except ValueError:
            self._answer(HTTPStatus.BAD_REQUEST, "That is no answer.\n")
            return
        if not showing.starts:
            # Somebody wrote the file meanwhile: it is shown as it is.
            self._see_other()
            return
        text, wrong, faults = job_of_answers(case, answers, self._units(), showing.path)
        if text:
            try:
                showing.write(text)
            except OSError as error:
                faults = (f"{showing.name}: {error.strerror or error}",)
        if wrong or faults:
            self._start(case, answers, wrong, faults)
        else:
            self._see_other()

    def _case(self) -> str | None:
        """Return which everyday case is asked for at /start?case=…; None where none is."""
        address = urlsplit(self.path)
        case = dict(parse_qsl(address.query)).get("case") if address.path == "/start" else None
        return case if case in CASES else None

    def _units(self) -> Units:
        return units_for("mm", self.server.showing.language)

    def _start(
        self, case: str, answers: Mapping[str, str], wrong: Mapping[str, str], faults: tuple[str, ...] = ()
    ) -> None:
        page = start_html(case, self._units(), self.server.showing.name, answers, wrong, faults)
        self._answer(HTTPStatus.OK, page, "text/html", "same-origin")

    def _see_other(self) -> None:
        self._begin(HTTPStatus.SEE_OTHER)
        self.send_header("Location", "/")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _ours(self) -> bool:
        """Tell whether a request was made under the server's own name, and not by another page."""
        own = {f"{name}:{self.server.server_port}" for name in NAMES}
        hosts = self.headers.get_all("Host", [])
        origin, site = self.headers.get("Origin"), self.headers.get("Sec-Fetch-Site")
        if len(hosts) != 1 or hosts[0].lower() not in own:
            return False
        if origin is not None and origin.lower() not in {f"http://{name}" for name in own}:
            return False
        return site is None or site in _OWN_SITES

    def _answer(self, status: HTTPStatus, text: str, kind: str = "text/plain", referrer: str = "no-referrer") -> None:
        body = text.encode("utf-8")
        self._begin(status)
        self._head(f"{kind}; charset=utf-8", referrer)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def _begin(self, status: HTTPStatus) -> None:
        # An idle connection would keep its thread.
        self.close_connection = True
        self.send_response(status)
        self.send_header("Connection", "close")

    def _head(self, kind: str, referrer: str = "no-referrer") -> None:
        self.send_header("Content-Type", kind)
        self.send_header("Cache-Control", "no-store")
        self.send_header(
            "Content-Security-Policy", f"{POLICY}; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
        )
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        # Without a referrer a browser does not say from which page a form is sent.
        self.send_header("Referrer-Policy", referrer)
        self.send_header("X-Content-Type-Options", "nosniff")

    def _news(self) -> None:
        """Send every state from now on, each as one server-sent event, until the page closes or the showing ends."""
        stays = self.server.listeners.acquire(blocking=False)
        try:
            self._send_news(stays)
        finally:
            if stays:
                self.server.listeners.release()

    def _send_news(self, stays: bool) -> None:
        showing = self.server.showing
        self._begin(HTTPStatus.OK)
        self._head("text/event-stream")
        self.end_headers()
        self.wfile.write(b"retry: 500\n\n")
        number = -1
        while not showing.ended:
            state = showing.after(number, ALIVE_S)
            if state is None:
                self.wfile.write(b": still here\n\n")
            else:
                number = state.number
                self.wfile.write(f"data: {state.to_json(showing.name)}\n\n".encode())
            if not stays:
                self.wfile.write(b"event: later\ndata:\n\n")
                return
            self.wfile.flush()

    def log_message(self, format: str, *args: object) -> None:
        """Keep quiet; what is worth telling is in the page."""
