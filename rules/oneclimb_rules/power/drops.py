"""What the rules about volts lost on a wire have in common: their words."""

CLAD = "copper-clad aluminium"
NAME = "of the least volts it needs"
AT_MOST = "of the least volts it needs, at the most power the wire passes"
"""what the figure is where the wire passes less power than the camera draws: half the source's volts are left then"""
