"""Copper: cables and their routes."""
