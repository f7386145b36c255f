"""Commands in processes of their own, for tests that press Ctrl-C."""

import signal
import subprocess
import sys


def _hear():
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell has what it runs in the background ignore it


def started(*words, cwd):
    """Start our command so that it hears Ctrl-C."""
    command = [sys.executable, "-m", "cutworthy", *words]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=cwd, preexec_fn=_hear)  # noqa: PLW1509 - no threads there yet
