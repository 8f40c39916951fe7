"""The trade's facts and formulas: tables, constants and physics, each with its source."""
