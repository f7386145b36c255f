"""The nouns that cross a border between areas. No computing, no input or output."""
