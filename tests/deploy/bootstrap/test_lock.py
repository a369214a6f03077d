"""The installer for this machine is found in the lock file, and only with a hash."""

from pathlib import Path

import pytest

from deploy.bootstrap import lock
from deploy.bootstrap.lock import Machine, Wheel

ROOT = Path(__file__).resolve().parents[3]
NAMES = [
    "uv-1.2-py3-none-macosx_11_0_arm64.whl",
    "uv-1.2-py3-none-manylinux_2_17_aarch64.manylinux2014_aarch64.musllinux_1_1_aarch64.whl",
    "uv-1.2-py3-none-manylinux_2_17_x86_64.manylinux2014_x86_64.whl",
    "uv-1.2-py3-none-manylinux_2_31_riscv64.whl",
    "uv-1.2-py3-none-musllinux_1_1_x86_64.whl",
]
WHEELS = [Wheel(version="1.2", url=f"https://files.example/{name}", sha256="0" * 64) for name in NAMES]


@pytest.mark.parametrize(
    ("machine", "index"),
    [
        (Machine(system="linux", processor="x86_64", glibc=(2, 36)), 2),
        (Machine(system="linux", processor="x86_64", glibc=None), 4),
        (Machine(system="linux", processor="aarch64", glibc=(2, 17)), 1),
        (Machine(system="linux", processor="aarch64", glibc=None), 1),
        (Machine(system="linux", processor="riscv64", glibc=(2, 31)), 3),
        (Machine(system="darwin", processor="arm64", glibc=None), 0),
    ],
)
def test_file_that_fits_the_machine_is_picked(machine, index):
    assert lock.pick(WHEELS, machine).name == NAMES[index]


@pytest.mark.parametrize(
    "machine",
    [
        Machine(system="linux", processor="x86_64", glibc=(2, 12)),
        Machine(system="linux", processor="sparc64", glibc=(2, 36)),
        Machine(system="darwin", processor="x86_64", glibc=None),
        Machine(system="win32", processor="AMD64", glibc=None),
    ],
)
def test_machine_without_a_file_is_named(machine):
    with pytest.raises(lock.LockError, match=f"{machine.system} on {machine.processor}"):
        lock.pick(WHEELS, machine)


def test_our_lock_has_an_installer_for_this_machine():
    wheel = lock.pick(lock.installer_wheels(ROOT / "uv.lock"), Machine.here())

    assert wheel.name.startswith(f"uv-{wheel.version}-py3-none-")


@pytest.mark.parametrize("digest", ["md5:0123", "sha256:0123", f"sha256:{'z' * 64}"])
def test_file_without_a_usable_hash_is_refused(tmp_path, digest):
    path = tmp_path / "uv.lock"
    path.write_text(
        '[[package]]\nname = "uv"\nversion = "1"\n'
        f'wheels = [{{ url = "https://files.example/w", hash = "{digest}" }}]'
    )

    with pytest.raises(lock.LockError, match="no SHA-256 for https"):
        lock.installer_wheels(path)


def test_lock_without_the_installer_is_refused(tmp_path):
    path = tmp_path / "uv.lock"
    path.write_text('[[package]]\nname = "django"\nversion = "5"\n')

    with pytest.raises(lock.LockError, match="names the package uv 0 times"):
        lock.installer_wheels(path)
