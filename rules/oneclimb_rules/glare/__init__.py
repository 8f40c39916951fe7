"""Light that spoils the picture after dark."""
