"""How kernels are compiled, and where the result is kept.

numba keeps what it compiled in files, but does not notice a change in another file than the
kernel's own. So the folder is named after everything that goes into the result: a stale kernel
would be a wrong verdict.
"""

import hashlib
import os
import shutil
import sys
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import numba
import platformdirs
from numba.extending import register_jitable

__all__ = ["callable_from_kernels", "compiled", "folder", "inlined", "is_kept", "prepare"]

READY = "ready"  # a file that stands in the folder once all kernels do
LONG_UNUSED_S = 60 * 24 * 3600.0

F = TypeVar("F", bound=Callable[..., Any])


def compiled(function: F, *, fast: bool = False) -> F:
    """Compile a function when it is first called, and keep the result where a folder can be written.

    Never parallel: two threads in one such kernel end the process. The signature is that of the
    first call, so the caller owns types, order and the read-only flag. ``fast``: sums may be taken in
    any order and nothing is checked for being finite or for division by zero, which lets loops run on
    several numbers at a time.
    """
    place = folder()
    if place is not None:
        settings: Any = numba.config
        settings.CACHE_DIR = str(place)
    kernel: Any = numba.njit(cache=place is not None, nogil=True, **_rules(fast=fast))(function)
    return kernel  # type: ignore[no-any-return]  # what the compiler makes of a function has no type of its own


def inlined(function: F, *, fast: bool = False) -> F:
    """Make a function part of every kernel that calls it; ``fast`` as for ``compiled``."""
    part: Any = numba.njit(nogil=True, forceinline=True, **_rules(fast=fast))(function)
    return part  # type: ignore[no-any-return]  # as above


def callable_from_kernels(function: F) -> F:
    """Let kernels call a plain function, which stays one for everybody else."""
    kept: F = register_jitable(function)
    return kept


def _rules(*, fast: bool) -> dict[str, Any]:
    return {"fastmath": True, "error_model": "numpy"} if fast else {}


def is_kept() -> bool:
    """Return whether all that is compiled stands ready, so that nobody has to wait for the compiler."""
    place = folder()
    return place is not None and (place / READY).exists()


def prepare(use: Callable[[], object]) -> None:
    """Use all kernels once, so that they are compiled or loaded; what is kept and damaged is made anew.

    A full disk or a power cut can leave half a file; the compiler would stumble over it at every start.
    """
    place = folder()
    try:
        use()
    except Exception:  # whatever a damaged file makes it stumble over; what was no damage is raised by the second try
        if place is None or not any(place.iterdir()):
            raise
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir(parents=True, exist_ok=True)
        use()
    if place is not None:
        if not is_kept():
            _tidy(place)
        (place / READY).touch()  # also the day on which it was last used


def _tidy(place: Path) -> None:
    """Remove what other versions have kept and nobody has used for long."""
    for other in place.parent.glob("kernels-*"):
        used = other / READY if (other / READY).exists() else other
        if other != place and time.time() - used.stat().st_mtime > LONG_UNUSED_S:
            shutil.rmtree(other, ignore_errors=True)


@cache
def folder() -> Path | None:
    """Return the folder of what was compiled, None where none can be written."""
    digest = hashlib.sha256()
    for source in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(source.name.encode() + b"\0" + source.read_bytes() + b"\0")
    python = ".".join(map(str, sys.version_info[:3]))
    name = f"kernels-{digest.hexdigest()[:16]}-numba-{numba.__version__}-python-{python}"
    place = Path(platformdirs.user_cache_path("cutworthy")) / name
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return place if os.access(place, os.W_OK) else None
