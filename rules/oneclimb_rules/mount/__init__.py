"""MOUNT: what holds the camera, what it stands up to, and the climb to it."""
