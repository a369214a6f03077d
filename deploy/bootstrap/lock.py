"""Reads from `uv.lock` where the installer for this machine is, and what its contents must hash to."""

import platform
import re
import sys
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Wheel:
    """One installer file that the lock names."""

    version: str
    url: str
    sha256: str

    @property
    def name(self) -> str:
        """The file's name, which carries the platforms it runs on."""
        return self.url.rsplit("/", 1)[-1]


@dataclass(frozen=True)
class Machine:
    """What decides which file fits: system, processor, and the C library's version (None: not glibc)."""

    system: str
    processor: str
    glibc: tuple[int, int] | None

    @classmethod
    def here(cls) -> "Machine":
        """This machine."""
        library, version = platform.libc_ver()
        glibc = None
        if library == "glibc":
            major, minor = version.split(".")[:2]
            glibc = (int(major), int(minor))
        return cls(system=sys.platform, processor=platform.machine(), glibc=glibc)


class LockError(ValueError):
    """The lock does not say what the set-up needs."""


def installer_wheels(lock_file: Path) -> list[Wheel]:
    """Every file of the installer that the lock names."""
    packages = tomllib.loads(lock_file.read_text(encoding="utf-8"))["package"]
    found = [package for package in packages if package["name"] == "uv"]
    if len(found) != 1:
        raise LockError(f"{lock_file.name} names the package uv {len(found)} times; it must name it once")
    package = found[0]
    wheels = []
    for wheel in package.get("wheels", []):
        kind, _, digest = wheel["hash"].partition(":")
        if kind != "sha256" or not re.fullmatch(r"[0-9a-f]{64}", digest):
            raise LockError(f"{lock_file.name} gives no SHA-256 for {wheel['url']}")
        wheels.append(Wheel(version=package["version"], url=wheel["url"], sha256=digest))
    return wheels


def pick(wheels: Iterable[Wheel], machine: Machine) -> Wheel:
    """The first file that runs on the machine."""
    for wheel in wheels:
        platforms = wheel.name.removesuffix(".whl").rsplit("-", 1)[-1].split(".")
        if any(_fits(tag, machine) for tag in platforms):
            return wheel
    raise LockError(f"no installer for {machine.system} on {machine.processor} is in the lock file")


def _fits(tag: str, machine: Machine) -> bool:
    """Whether a wheel's platform tag (PEP 600, PEP 656 and the macOS form) covers the machine."""
    if machine.system == "darwin":
        return tag.startswith("macosx_") and tag.endswith(f"_{machine.processor}")
    if machine.system != "linux" or not tag.endswith(f"_{machine.processor}"):
        return False
    if machine.glibc is None:
        return tag.startswith("musllinux_")
    needs = re.match(r"manylinux_(\d+)_(\d+)_", tag)
    return needs is not None and (int(needs[1]), int(needs[2])) <= machine.glibc
