"""The engine: worlds, measuring, trying remedies, and the round of the rules."""
