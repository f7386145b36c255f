"""What ``cutworthy`` and ``python -m cutworthy`` start."""

import os
import sys

__all__ = ["main"]


def main() -> None:
    """Run the command line, and leave quietly when Ctrl-C comes while it is still being loaded."""
    try:
        from cutworthy.cli.main import run  # noqa: PLC0415 - loading takes a moment
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        sys.stderr.flush()
        os._exit(130)  # one that passes through an import would have the interpreter end itself by the signal
    run()


if __name__ == "__main__":
    main()
