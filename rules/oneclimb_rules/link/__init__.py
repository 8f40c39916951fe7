"""The way the pictures travel."""
