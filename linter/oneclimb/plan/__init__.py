"""The plan: reading it, checking it, and the model of what it says."""
