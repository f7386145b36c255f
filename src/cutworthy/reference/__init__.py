"""What the world says: limits and default bands, as data, each with its source."""
