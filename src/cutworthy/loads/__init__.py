"""What the cut asks of bit, spindle, axes and holding."""
