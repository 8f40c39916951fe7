"""Power: what feeds a camera, how far it carries, and how long it lasts."""
