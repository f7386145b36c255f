"""Steps from each version of the notebook to the next."""
