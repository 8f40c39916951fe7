"""What fills a frame without being asked for (common practice)."""

NEAR = 5.0
"""m: a wall or fence nearer than this is a near wall"""
FENCES = frozenset({"garden-wall", "fence", "gate", "shed"})
"""kinds of object that are walls to a camera"""
