"""The installer is fetched over HTTP, checked against the lock's hash, and kept."""

import hashlib
import io
import os
import threading
import zipfile
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest

from deploy.bootstrap import fetch
from deploy.bootstrap.lock import Wheel

PROGRAM = b"#!/bin/sh\necho uv\n"


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *arguments):
        """Say nothing."""


@pytest.fixture
def files(tmp_path):
    """A folder that a web server serves, and its address."""
    folder = tmp_path / "served"
    folder.mkdir()
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield folder, f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def wheel_in(files, *, member="uv-1.2.data/scripts/uv"):
    folder, url = files
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        archive.writestr(member, PROGRAM)
    (folder / "uv.whl").write_bytes(content.getvalue())
    return Wheel(version="1.2", url=f"{url}/uv.whl", sha256=hashlib.sha256(content.getvalue()).hexdigest())


def test_program_is_fetched_once_and_can_be_run(files, tmp_path):
    wheel = wheel_in(files)

    program = fetch.installer(wheel, folder=tmp_path / "tools")
    (files[0] / "uv.whl").unlink()

    assert fetch.installer(wheel, folder=tmp_path / "tools") == program
    assert program.read_bytes() == PROGRAM
    assert os.access(program, os.X_OK)


def test_other_content_is_refused_and_nothing_is_kept(files, tmp_path):
    wheel = wheel_in(files)
    (files[0] / "uv.whl").write_bytes(b"something else")

    with pytest.raises(fetch.FetchError, match=f"the lock file says {wheel.sha256}. Nothing was run"):
        fetch.installer(wheel, folder=tmp_path / "tools")

    assert not (tmp_path / "tools").exists()


def test_archive_without_the_program_is_refused(files, tmp_path):
    wheel = wheel_in(files, member="uv/readme")

    with pytest.raises(fetch.FetchError, match="holds 0 programs"):
        fetch.installer(wheel, folder=tmp_path / "tools")


def test_address_that_does_not_answer_is_named(monkeypatch):
    monkeypatch.setattr(fetch.time, "sleep", lambda _: None)

    with pytest.raises(fetch.FetchError, match=r"/uv\.whl could not be fetched after 3 tries"):
        fetch.download("http://127.0.0.1:1/uv.whl")
