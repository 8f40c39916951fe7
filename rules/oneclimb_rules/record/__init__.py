"""Recording: how long the pictures are kept, by what, whose they are, and whether they are there when wanted."""
