"""The command line: options, one call, print, exit code."""
