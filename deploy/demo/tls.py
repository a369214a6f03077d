"""A certificate authority of this machine's own, for a trusted connection to a phone nearby."""

import hashlib
import os
import socket
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import trustme

# Phones refuse server certificates that are valid for much longer than a year.
_VALID_DAYS = 390


@dataclass(frozen=True)
class Files:
    """What the web server needs, and what the phone has to be told."""

    authority: Path
    chain: Path
    key: Path
    fingerprint: str


def prepare(folder: Path, *, names: list[str]) -> Files:
    """Keep one authority in the folder for good, and issue a new server certificate at each start."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    authority = _authority(folder)
    since = datetime.now(tz=UTC) - timedelta(days=1)  # the phone's clock may be behind
    until = since + timedelta(days=_VALID_DAYS)
    leaf = authority.issue_cert(*names, common_name=names[0], not_before=since, not_after=until)
    files = Files(
        authority=folder / "authority.pem",
        chain=folder / "server.pem",
        key=folder / "server.key",
        fingerprint=fingerprint(folder / "authority.pem"),
    )
    _write(files.chain, b"".join(blob.bytes() for blob in leaf.cert_chain_pems))
    _write(files.key, leaf.private_key_pem.bytes())
    return files


def fingerprint(certificate: Path) -> str:
    """The SHA-256 of a certificate, as phones show it."""
    der = ssl.PEM_cert_to_DER_cert(certificate.read_text(encoding="ascii"))
    return hashlib.sha256(der).digest().hex(":").upper()


def _authority(folder: Path) -> trustme.CA:
    certificate, key = folder / "authority.pem", folder / "authority.key"
    if certificate.exists() and key.exists():
        return trustme.CA.from_pem(certificate.read_bytes(), key.read_bytes())
    made = trustme.CA(
        path_length=0, organization_name="Pourtally", organization_unit_name=socket.gethostname()
    )
    _write(key, made.private_key_pem.bytes())
    _write(certificate, made.cert_pem.bytes())
    return made


def _write(path: Path, content: bytes) -> None:
    """Write a file that only its owner may read, whole or not at all."""
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as stream:
        stream.write(content)
    draft.replace(path)
