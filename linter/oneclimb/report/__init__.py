"""The report: what was found, as text and as files other programs read."""
