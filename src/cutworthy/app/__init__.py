"""The shell around the engine: cards and files in, one call of a workflow, words out."""
