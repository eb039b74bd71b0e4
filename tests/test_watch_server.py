"""The server of a watch: it answers its own page, and hides from everybody else."""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import re
import secrets
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shaped import Plate

from bladegeom.quantities.file_errors import ExportError
from bladegeom.watch import guard, saves
from bladegeom.watch.desk import Desk
from bladegeom.watch.serve import run

PATIENCE = 10.0
JSON = "application/json"


@dataclass(frozen=True)
class Served:
    """A desk behind its address."""

    plates: tuple[Plate, ...]
    port: int
    token: str

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    def raw(self, request: bytes, *, wait: float = PATIENCE) -> bytes:
        """What comes back on a connection until it is closed."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=wait) as wire:
            wire.sendall(request)
            out = b""
            while part := wire.recv(65536):
                out += part
        return out

    def get(self, path: str, method: str = "GET", **headers: str) -> tuple[int, str, bytes]:
        """Status, head and body; the path stands behind the token."""
        return self.at(f"/{self.token}/{path}", method, b"", **headers)

    def post(self, path: str, body: bytes, **headers: str) -> tuple[int, str, bytes]:
        """The same with a body, as the page sends it unless a header says otherwise."""
        own = {"Origin": f"http://{self.host}", "Content-Type": JSON, "Content-Length": str(len(body))}
        return self.at(
            f"/{self.token}/{path}", "POST", body, **own | {k.replace("_", "-"): v for k, v in headers.items()}
        )

    def at(self, path: str, method: str, body: bytes, **headers: str) -> tuple[int, str, bytes]:
        told = {"Host": self.host, "Connection": "close"} | {k.replace("_", "-"): v for k, v in headers.items()}
        lines = [f"{method} {path} HTTP/1.1", *(f"{name}: {value}" for name, value in told.items() if value), "", ""]
        head, _, rest = self.raw("\r\n".join(lines).encode("latin-1") + body).partition(b"\r\n\r\n")
        return int(head.split()[1]), head.decode(), rest

    def json(self, path: str) -> dict[str, Any]:
        status, _, body = self.get(path)
        assert status == 200
        answer: dict[str, Any] = json.loads(body)
        return answer


@contextlib.contextmanager
def served(*plates: Plate) -> Iterator[Served]:
    """A server in a thread of its own, which must be gone afterwards."""
    token, begun = secrets.token_urlsafe(24), threading.Event()
    listening = socket.create_server(("127.0.0.1", 0))
    ends: list[Any] = []

    async def serve() -> None:
        stopped = asyncio.Event()
        ends.extend((asyncio.get_running_loop(), stopped))
        begun.set()
        await run(Desk(plates), listening, token, stopped)

    thread = threading.Thread(target=lambda: asyncio.run(serve()))
    port = listening.getsockname()[1]
    thread.start()
    try:
        assert begun.wait(PATIENCE)
        yield Served(plates=plates, port=port, token=token)
    finally:
        loop, stopped = ends
        loop.call_soon_threadsafe(stopped.set)
        thread.join(PATIENCE)
        assert not thread.is_alive()
        listening.close()


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    script = tmp_path_factory.mktemp("desk") / "plate.py"
    script.write_text("100")
    with served(Plate(script)) as there:
        yield there


def test_the_page_and_all_that_it_names_is_there(desk: Served) -> None:
    status, head, page = desk.get("")
    assert status == 200
    assert "text/html" in head
    named = re.findall(rb'(?:href|src)="([\w.]+)"', page)
    assert len(named) >= 3
    for name in named:
        status, _, text = desk.get(name.decode())
        assert status == 200
        for module in re.findall(rb'from "\./(\w+\.js)"', text):
            assert desk.get(module.decode())[0] == 200


def test_nothing_comes_from_elsewhere_and_nothing_is_kept(desk: Served) -> None:
    for path in ("", "page.js", "0/picture", "nothing"):
        _, head, _ = desk.get(path)
        for name, value in guard.HEADERS.items():
            assert f"{name.lower()}: {value}" in head
    policy = guard.HEADERS["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; ")
    assert {word for word in policy.replace(";", " ").split() if "'" in word} == {"'none'", "'self'"}


def test_the_page_holds_no_script_or_style_of_its_own_and_no_address(desk: Served) -> None:
    page = desk.get("")[2].decode()
    assert not re.search(r"<style|<script(?![^>]*src=)|\sstyle=|\son\w+=|https?:|//", page)


def test_model_work_leaves_the_server_free(tmp_path: Path) -> None:
    script = tmp_path / "plate.py"
    script.write_text("100")
    go_on = threading.Event()
    plate = Plate(script, before_picture=lambda: go_on.wait(PATIENCE))
    with served(plate) as there:
        assert there.get("page.css")[0] == 200
        assert not go_on.is_set()
        go_on.set()
        assert there.json("0/picture")["title"] == "Plate"


@pytest.mark.parametrize(
    "host",
    [
        "",
        "127.0.0.1",
        "localhost",
        "knives.example",
        "knives.example:{port}",
        "127.0.0.1:{port}.knives.example",
        "[::1]:{port}",
    ],
)
def test_another_name_finds_nothing(desk: Served, host: str) -> None:
    status, _, body = desk.get("0/picture", Host=host.format(port=desk.port))
    assert (status, body) in ((404, b""), (400, b"Invalid HTTP request received."))


def test_both_names_of_this_machine_are_known(desk: Served) -> None:
    assert desk.get("0/picture", Host=f"localhost:{desk.port}")[0] == 200
    two = f"GET /{desk.token}/ HTTP/1.1\r\nHost: {desk.host}\r\nHost: knives.example\r\nConnection: close\r\n\r\n"
    assert desk.raw(two.encode()).split()[1] in (b"404", b"400")


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_request_that_another_page_makes_finds_nothing(desk: Served, site: str) -> None:
    assert desk.get("0/picture", Sec_Fetch_Site=site)[0] == 404
    assert desk.get("0/picture", Sec_Fetch_Site="same-origin")[0] == 200


def paths(desk: Served) -> list[str]:
    token = desk.token
    return [
        *("/", "", "*", "/favicon.ico", "/page.js", "/0/picture", f"/{token}", f"//{token}/", f"/{token[:-1]}/"),
        *(f"/{token}x/", f"/{token.swapcase()}/", f"/x/{token}/", f"/{token}/x", f"/{token}/page.html", f"/{token}//"),
        *(
            f"/{token}/../",
            f"/{token}/../../etc/passwd",
            f"/{token}/..%2f..%2fetc%2fpasswd",
            f"/{token}/%2e%2e/server.py",
        ),
        *(f"/{token}/page%2ejs", f"/{token}%2f", f"/%{ord(token[0]):02x}{token[1:]}/", f"/{token}/0%2Fpicture"),
        *(
            f"/{token}/page.js/",
            f"/{token}/page.js%00",
            f"/{token}/__init__.py",
            f"/{token}/1/picture",
            f"/{token}/-1/picture",
        ),
        *(f"/{token}/\\..\\server.py", f"http://knives.example/{token}/", f"/{token}/page.js;x", "/" + "a" * 60000),
    ]


def test_every_other_path_finds_nothing(desk: Served) -> None:
    for path in paths(desk):
        status, head, body = desk.at(path, "GET", b"", Host=desk.host)
        # A target that is none, or larger than any head may be, is refused before anybody looks at it.
        assert status in (404, 400), path
        assert body in (b"", b"Invalid HTTP request received."), path
        assert "server" not in head.lower()


@given(st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=30))
def test_no_path_without_the_token_finds_anything(path: str) -> None:
    reached = []

    async def app(*_: object) -> None:
        reached.append(path)

    async def send(message: Any) -> None:
        assert message.get("status", 404) == 404

    async def receive() -> Any:
        raise AssertionError("nobody reads the body")

    scope = {"type": "http", "headers": [(b"host", b"127.0.0.1:5000")], "raw_path": path.encode()}
    asyncio.run(guard.Guard(app, token="0" * 32, port=5000)(scope, receive, send))
    assert reached == []


@pytest.mark.parametrize("hosts", [(), ("127.0.0.1:5000", "knives.example"), ("127.0.0.1:5000", "127.0.0.1:5000")])
def test_a_request_names_one_host(hosts: tuple[str, ...]) -> None:
    """The server's own reader refuses others; nothing hangs on it."""
    reached: list[object] = []

    async def app(*_: object) -> None:
        reached.append(app)

    async def send(message: Any) -> None:
        assert message.get("status", 404) == 404

    headers = [(b"host", host.encode()) for host in hosts]
    scope = {"type": "http", "headers": headers, "raw_path": f"/{'0' * 32}/".encode()}
    asyncio.run(guard.Guard(app, token="0" * 32, port=5000)(scope, None, send))  # type: ignore[arg-type]  # nobody reads
    assert reached == []
    scope["headers"] = [(b"host", b"127.0.0.1:5000")]
    asyncio.run(guard.Guard(app, token="0" * 32, port=5000)(scope, None, send))  # type: ignore[arg-type]  # nobody reads
    assert len(reached) == 1


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "HEAD", "OPTIONS", "TRACE", "BREW"])
def test_another_method_is_refused(desk: Served, method: str) -> None:
    status, head, _ = desk.get("0/picture", method)
    assert status == 405
    assert "allow: GET" in head
    assert desk.get("0/move", "GET" if method == "POST" else method)[0] == 405


@pytest.mark.parametrize(
    "origin",
    ["", "null", "http://knives.example", "https://127.0.0.1:{port}", "http://127.0.0.1", "http://localhost:{port}"],
)
def test_nothing_is_changed_from_another_origin(desk: Served, origin: str) -> None:
    before = desk.plates[0].state
    assert desk.post("0/move", b'{"length": "120"}', Origin=origin.format(port=desk.port))[0] == 403
    assert desk.post("0/write", b"", Origin=origin.format(port=desk.port))[0] == 403
    assert desk.plates[0].state == before


@pytest.mark.parametrize(
    "kind", ["", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "application/json5"]
)
def test_nothing_is_changed_by_what_is_no_json(desk: Served, kind: str) -> None:
    assert desk.post("0/move", b'{"length": "120"}', Content_Type=kind)[0] == 415


BAD_JSON = [
    b"",
    b"{",
    b"[]",
    b"null",
    b'"length"',
    b'{"length": 120}',
    b'{"length": null}',
    b'{"length": ["1"]}',
    b"\xff\xfe",
]


def test_letters_that_no_encoding_has_come_and_go(tmp_path: Path) -> None:
    with served(Half(tmp_path / "half.py")) as there:
        status, _, body = there.post("0/move", b'{"name": "\\ud800 of a pair"}')
        assert (status, json.loads(body)["title"]) == (200, "\ud800 of a pair")
        assert there.json("0/picture")["title"] == "\ud800 of a pair"


@pytest.mark.parametrize("body", [*BAD_JSON, b"[" * 30000, b"{} {}", b'{"a": 1e999}'])
def test_a_body_that_is_no_set_of_values_is_refused(desk: Served, body: bytes) -> None:
    before = desk.plates[0].state
    assert desk.post("0/move", body)[0] == 400
    assert desk.plates[0].state == before


class Half(Plate):
    """A plate with a name."""

    def __init__(self, script: Path) -> None:
        script.write_text("100")
        super().__init__(script)

    def picture(self) -> dict[str, Any]:
        return super().picture() | {"title": self.values.get("name", "")}


def test_write_takes_no_body(desk: Served) -> None:
    assert desk.post("0/write", b"{}")[0] == 400


def test_a_huge_body_is_not_read(desk: Served) -> None:
    told = str(10**12)
    assert desk.post("0/move", b"{", Content_Length=told)[0] == 413
    assert desk.post("0/move", b'{"length": "' + b"9" * guard.LARGEST_BODY + b'"}')[0] == 413
    # Whoever sends much more than that finds the connection closed, and may never read why.
    chunk = b"%x\r\n" % 40000 + b"9" * 40000 + b"\r\n"
    status, _, _ = desk.post("0/move", chunk * 2, Content_Length="", Transfer_Encoding="chunked")
    assert status == 413


def test_a_slow_body_is_not_waited_for(desk: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "PATIENCE", 0.2)
    start = time.monotonic()
    assert desk.post("0/move", b'{"len', Content_Length="18")[0] == 408
    assert time.monotonic() - start < PATIENCE / 2


@pytest.mark.parametrize("stations", ["x", "1,", "nan", "inf", "1e999", ",".join("1" * 13), "1;2", "1" * 5000])
def test_stations_that_are_none_are_refused(desk: Served, stations: str) -> None:
    assert desk.get(f"0/sections?stations={stations}")[0] == 400
    assert desk.get(f"0/judged?stations={stations}")[0] == 400


def test_what_the_page_asks_is_answered(desk: Served) -> None:
    assert desk.json("0/picture")["parameters"][0]["name"] == "length"
    assert [cut["x"] for cut in desk.json("0/sections?stations=1,-2.5")["sections"]] == [1.0, -2.5]
    status, _, body = desk.post("0/move", b'{"length": "120"}')
    assert status == 200
    assert json.loads(body)["parameters"][0]["value"] == "120"
    assert desk.json("0/judged")["numbers"][0]["value"] == f"{(120 + 60) * 30} mm2"
    assert desk.json("0/picture")["state"] == json.loads(body)["state"]
    assert json.loads(desk.post("0/write", b"")[2]) == {"said": "length = 120"}
    assert desk.plates[0].script.read_text() == "120"
    now = desk.json("0/picture")["parameters"][0]
    assert (now["default"], now["moved"]) == ("120", False)


def test_a_save_counts_by_whichever_name_the_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "real" / "plate.py").write_text("100")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    plate = Plate(tmp_path / "link" / "plate.py")

    async def states() -> list[int]:
        desk = Desk((plate,))
        await desk.open()
        told = [plate.state]
        for folder in ("real", "link"):
            await desk.saved({tmp_path / folder / "plate.py"})
            told.append(plate.state)
        await desk.saved({tmp_path / "real" / "other.py"})
        return [*told, plate.state]

    assert asyncio.run(states()) == [1, 2, 3, 3]


def test_a_picture_that_comes_late_is_not_kept(tmp_path: Path) -> None:
    script = tmp_path / "plate.py"
    script.write_text("100")
    plate = Plate(script)

    async def overtaken() -> tuple[dict[str, Any], dict[str, Any]]:
        desk = Desk((plate,))
        await desk.open()
        go_on = threading.Event()
        plate.after_picture = lambda: go_on.wait(PATIENCE)
        late = asyncio.create_task(desk.move(0, {"length": "120"}))
        await asyncio.sleep(0.1)
        plate.after_picture = lambda: None
        await desk.move(0, {"length": "130"})
        go_on.set()
        return await late, await desk.picture(0)

    late, kept = asyncio.run(overtaken())
    assert late["state"] < kept["state"] == plate.state
    assert kept["parameters"][0]["value"] == "130"


def heard_of(there: Served, length: str) -> bool:
    """Whether the desk comes to show a length."""
    end = time.monotonic() + PATIENCE
    while there.json("0/picture")["parameters"][0]["default"] != length and time.monotonic() < end:
        time.sleep(0.02)
    return time.monotonic() < end


def test_saves_are_seen_in_a_folder_that_was_taken_away_and_made_anew(tmp_path: Path) -> None:
    script = tmp_path / "knives" / "plate.py"
    script.parent.mkdir()
    script.write_text("100")
    with served(Plate(script)) as there:
        assert heard_of(there, "100")
        for away in (lambda: shutil.rmtree(script.parent), lambda: script.parent.rename(tmp_path / "old")):
            away()
            script.parent.mkdir()
            script.write_text("110")
            assert heard_of(there, "110")
            script.write_text("100")
            assert heard_of(there, "100")


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_a_link_that_leads_round_in_a_circle_ends_no_watch(tmp_path: Path) -> None:
    script = tmp_path / "plate.py"
    script.write_text("100")
    with served(Plate(script)) as there:
        assert heard_of(there, "100")
        aside = tmp_path / "aside.py"
        aside.symlink_to(script)
        aside.replace(script)
        time.sleep(0.2)
        script.unlink()
        script.write_text("110")
        assert heard_of(there, "110")


def test_where_saves_are_not_told_of_the_watch_ends_with_the_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def awatch(*_: object, **__: object) -> Any:
        changes: tuple[Any, ...] = ()
        for change in changes:
            yield change
        raise OSError("OS file watch limit reached")

    monkeypatch.setattr(saves, "awatch", awatch)
    script = tmp_path / "plate.py"
    script.write_text("100")

    async def watch() -> None:
        with socket.create_server(("127.0.0.1", 0)) as listening:
            await run(Desk((Plate(script),)), listening, "token", asyncio.Event())

    with pytest.raises(ExportError, match=rf"saves cannot be seen in {tmp_path}.*: OS file watch limit reached"):
        asyncio.run(asyncio.wait_for(watch(), PATIENCE))


def test_what_cannot_be_written_is_said_in_words(tmp_path: Path) -> None:
    script = tmp_path / "plate.py"
    script.write_text("100")
    with served(Plate(script)) as there:
        status, _, body = there.post("0/write", b"")
        assert (status, json.loads(body)) == (422, {"refused": "nothing is moved"})


def test_events_tell_of_moves_and_saves_and_end_with_the_server(tmp_path: Path) -> None:
    script, other = tmp_path / "plate.py", tmp_path / "other.py"
    script.write_text("100")
    other.write_text("50")
    with served(Plate(script), Plate(other)) as there:
        there.json("0/picture"), there.json("1/picture")
        with socket.create_connection(("127.0.0.1", there.port), timeout=PATIENCE) as wire:
            wire.sendall(f"GET /{there.token}/events HTTP/1.1\r\nHost: {there.host}\r\n\r\n".encode())
            heard = wire.makefile("rb")
            assert told(heard) == [1, 1]
            there.post("0/move", b'{"length": "120"}')
            assert told(heard) == [2, 1]
            time.sleep(0.2)
            other.write_text("60")
            assert told(heard) == [2, 2]
            # As an editor saves: a new file is given the old one's name.
            new = tmp_path / "plate.py.new"
            new.write_text("oops")
            new.replace(script)
            assert told(heard) == [3, 2]
            assert there.json("0/picture")["error"]["source"] == "oops"


def told(heard: Any) -> list[int]:
    """The next event."""
    for line in heard:
        if line.startswith(b"data: "):
            states: list[int] = json.loads(line[6:])
            return states
    raise AssertionError("the stream ended")
