"""The jobs people have, each a pure function of its request; only here areas are called."""
