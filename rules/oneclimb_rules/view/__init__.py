"""What the frame is spent on."""
