"""What a rule's readings of one thing depend on besides that thing: kinds of others a remedy may change."""

NOTHING: frozenset[str] = frozenset()
"""the thing itself, its cables and the site"""
SIGHT = frozenset({"building", "object"})
"""what stands between, hides, shades or keeps the rain off"""
LIGHT = SIGHT | {"camera", "lamp"}
"""what gives or returns light"""
SHOWN = frozenset({"area"})
"""which camera shows an area best"""
VIEWS = SIGHT | {"camera"}
"""whatever any camera sees"""
FEED = frozenset({"cable", "switch", "injector", "supply"})
"""what it is fed through"""
AIR = SIGHT | {"access-point"}
"""what a radio wave meets"""
KEEPING = frozenset({"cable", "recorder"})
"""what keeps its pictures"""
