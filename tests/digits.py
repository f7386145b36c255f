"""Numbers as a source prints them."""

import pytest


def printed(text):
    """Return what agrees with a printed, rounded number: within half a unit of its last digit."""
    decimals = len(text.partition(".")[2])
    return pytest.approx(float(text), rel=0, abs=0.5 * 10.0**-decimals * (1 + 1e-9))
