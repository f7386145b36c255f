"""Ctrl-C, heard also where a library swallows it.

A call back from compiled code loses the exception that Ctrl-C raises: the work would go on to its end. So the press is
remembered, and raised again where the work next tells how far it is.
"""

import signal
import sys
from types import FrameType

from cutworthy.errors import Stopped

__all__ = ["go_on", "listen"]

_pressed: list[int] = []


def listen() -> None:
    """Hear Ctrl-C from now on, unless whoever started the command has it ignored."""
    _pressed.clear()
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _press)
        sys.unraisablehook = _unraisable


def go_on() -> None:
    """Return if the work may go on; raise ``Stopped`` after Ctrl-C."""
    if _pressed:
        raise Stopped


def _unraisable(lost: "sys.UnraisableHookArgs") -> None:
    """Say nothing of a Ctrl-C that a call back has lost: it is remembered."""
    if lost.exc_type is not KeyboardInterrupt:
        sys.__unraisablehook__(lost)


def _press(number: int, _frame: FrameType | None) -> None:
    _pressed.append(number)
    raise KeyboardInterrupt
