"""Let a work be done once for all tests that ask for the same: one that knows its request and nothing else."""

import sys


def once(patch, module, name, request):
    """Let a function work once for each request, and answer the same from then on."""
    owner, kept = sys.modules[f"cutworthy.{module}"], {}
    work = getattr(owner, name)

    def remember(*given, **named):
        asked = request(*given, **named)
        if asked not in kept:
            kept[asked] = work(*given, **named)
        return kept[asked]

    patch.setattr(owner, name, remember)
