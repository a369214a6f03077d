"""The local authority stays the same; the server's certificate is one that phones accept."""

import socket
import ssl
import stat
import threading
from datetime import UTC, datetime
from http.server import HTTPServer, SimpleHTTPRequestHandler

import pytest
from cryptography import x509

from deploy.demo import tls

NAMES = ["192.0.2.7", "localhost"]


def test_authority_is_kept_and_the_certificate_is_new_at_each_start(tmp_path):
    first = tls.prepare(tmp_path / "tls", names=NAMES)
    authority, chain = first.authority.read_bytes(), first.chain.read_bytes()

    again = tls.prepare(tmp_path / "tls", names=NAMES)

    assert again.authority.read_bytes() == authority
    assert again.fingerprint == first.fingerprint
    assert again.chain.read_bytes() != chain


def test_certificate_is_valid_now_and_for_no_longer_than_phones_accept(tmp_path):
    files = tls.prepare(tmp_path / "tls", names=NAMES)

    certificate = x509.load_pem_x509_certificate(files.chain.read_bytes())

    now = datetime.now(tz=UTC)
    assert certificate.not_valid_before_utc < now < certificate.not_valid_after_utc
    # Phones refuse more than 398 days between the two dates.
    assert (certificate.not_valid_after_utc - certificate.not_valid_before_utc).days <= 398


def test_keys_are_read_by_their_owner_only(tmp_path):
    files = tls.prepare(tmp_path / "tls", names=NAMES)

    modes = {stat.S_IMODE(path.stat().st_mode) for path in files.authority.parent.iterdir()}

    assert modes == {0o600}


@pytest.mark.parametrize(
    ("name", "trusted"), [("localhost", True), ("192.0.2.7", True), ("192.0.2.8", False)]
)
def test_client_that_trusts_the_authority_trusts_its_names_alone(tmp_path, name, trusted):
    files = tls.prepare(tmp_path / "tls", names=NAMES)
    server = HTTPServer(("127.0.0.1", 0), SimpleHTTPRequestHandler)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(files.chain, files.key)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    threading.Thread(target=server.handle_request, daemon=True).start()

    assert _handshake(server.server_port, name=name, authority=files.authority) is trusted
    server.server_close()


def _handshake(port, *, name, authority):
    client = ssl.create_default_context(cafile=str(authority))
    try:
        with (
            socket.create_connection(("127.0.0.1", port)) as raw,
            client.wrap_socket(raw, server_hostname=name),
        ):
            return True
    except ssl.SSLCertVerificationError:
        return False
